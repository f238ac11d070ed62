"""Calibrate each wood's drying rate on the printed air-drying times, and count how many fall inside.

When the model, the climates or the printed ranges change, write the package's table anew:
python -m benchmarks.calibrate_drying --write
"""

from __future__ import annotations

import csv
import io
import math
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from statistics import fmean

from pithline.dry.calibrate import CLIMATES, Fit, fit, printed

TABLE = Path(__file__).parents[1] / "src/pithline/dry/data/drying_rates.csv"
COLUMNS = (
    "printed_name", "wood", "least_days", "most_days", "theory", "rate", "low", "high",
    "before_quick", "before_middle", "before_slow", "after_quick", "after_middle", "after_slow",
    "inside_before", "inside_after",
)  # fmt: skip


def row(made: Fit) -> list[str]:
    days = [f"{value:.0f}" for value in (*made.before, *made.after)]
    rates = [f"{value:.4g}" for value in (made.theory, made.rate, made.low, made.high)]
    shares = [f"{value:.3f}" for value in (made.inside_before, made.inside_after)]
    return [made.printed_name, made.wood, f"{made.least:g}", f"{made.most:g}", *rates, *days, *shares]


def main() -> None:
    began = time.perf_counter()
    with ThreadPoolExecutor(2) as two:
        fits = list(two.map(fit, printed()))
    text, places = io.StringIO(), "; ".join(f"{k}: {' and '.join(v)}" for k, v in CLIMATES.items())
    text.write(
        "# source: computed by benchmarks/calibrate_drying.py from air_drying_days.csv (from memory)\n"
        "# status: computed\n"
        "# Times northern red oak's coefficient in moving air: theory by density, rate calibrated, low and\n"
        "# high keep the middle stacking month inside. Days to 20 % of 25.4 mm: quickest, middle and\n"
        "# slowest of the stacking months. inside: share of the months inside the printed range.\n"
        f"# Places: {places}.\n"
    )
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    table.writerows(row(made) for made in fits)
    if "--write" in sys.argv:
        TABLE.write_text(text.getvalue(), encoding="utf-8")
    for name, middle, share in (
        ("before", lambda f: f.before[1], lambda f: f.inside_before),
        ("after", lambda f: f.after[1], lambda f: f.inside_after),
    ):
        good = sum(f.least <= middle(f) <= f.most for f in fits)
        print(
            f"{name}: middle stacking month inside for {good} of {len(fits)} woods; "
            f"all months for {sum(share(f) == 1 for f in fits)}; "
            f"{100 * fmean(share(f) for f in fits):.0f} % of all stacking months"
        )
    mean = math.exp(fmean(math.log(f.rate / f.theory) for f in fits))
    same = text.getvalue() == TABLE.read_text(encoding="utf-8")
    print(f"the package's table is {'the same' if same else 'ANOTHER: write it anew'}")
    print(f"calibrated over theory, geometric mean: {mean:.2f} (1: the stack's own factor is right)")
    print(f"{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main()

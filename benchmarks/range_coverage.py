"""How often the forecast's 80 % range holds the truth, on invented stacks whose truth is known.

The truth has other weather, surface exchange, coefficient, thickness and reading errors than the
forecast assumes (tests/dry/simulated_stacks.py lists them). Says what the widenings do: the
model's own doubt at each reading (with its profile's shape), and the drift of what lies ahead.

    python benchmarks/range_coverage.py            # 400 stacks, then 400 nobody has seen: two minutes
    python benchmarks/range_coverage.py 100        # fewer
    python benchmarks/range_coverage.py 400 731    # those of a seed that was told

The widenings were chosen on one set of stacks; how they do there flatters them. So another set is drawn from
a seed that the machine makes up anew each time, and told too.
"""

from __future__ import annotations

import secrets
import sys
import time
from pathlib import Path

import numpy as np

from pithline.dry.learning import likelihood, readings, update

sys.path.insert(0, str(Path(__file__).parent.parent))  # for the invented stacks of the tests

from tests.dry.simulated_stacks import TARGETS, Study, study

DRAWS = 100
CHOSEN = 11  # the seed of the stacks on which the widenings were chosen


def tell(name: str, made: Study, seconds: float) -> None:
    held, before = np.nanmean(made.held), np.nanmean(made.held_before)
    count = int(np.isfinite(made.held).sum())
    # Targets of one stack go together: the error is that of as many stacks.
    error = np.sqrt(held * (1 - held) / len(made.held))
    each = ", ".join(
        f"{target * 100:.0f} %: {share * 100:.1f}"
        for target, share in zip(TARGETS, np.nanmean(made.held, axis=0), strict=True)
    )
    print(
        f"{name}: the 80 % range held {held * 100:.1f} % ± {error * 100:.1f} of {count} days of "
        f"{len(made.held)} stacks ({each}); before the readings {before * 100:.1f} %.\n"
        f"    Its width is {np.nanmedian(made.narrower) * 100:.0f} % of that before (median); "
        f"draws worth {np.median(made.effective):.0f}, one stack in twenty under "
        f"{np.percentile(made.effective, 5):.0f}; {seconds / len(made.held):.2f} s a stack."
    )


def main() -> None:
    stacks = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    fresh = int(sys.argv[2]) if len(sys.argv) > 2 else secrets.randbelow(10**6)
    at_depth, mean = readings.MODEL_AT_DEPTH, readings.MODEL_MEAN
    shape = likelihood.SHAPE
    built = f"as built (model's doubt {at_depth:g} and {mean:g}, shape {shape:g}, drift {update.DRIFT:g})"
    for name, seed, doubt, drift in (
        (built, CHOSEN, 1.0, update.DRIFT),
        (f"as built, stacks of a fresh seed ({fresh})", fresh, 1.0, update.DRIFT),
        ("without drift", CHOSEN, 1.0, 0.0),
        ("without any widening", CHOSEN, 0.0, 0.0),
    ):
        readings.MODEL_AT_DEPTH, readings.MODEL_MEAN = at_depth * doubt, mean * doubt
        likelihood.SHAPE = shape * doubt
        began = time.perf_counter()
        # The widenings off are only to compare: half of the stacks will do.
        made = study(stacks if drift else max(stacks // 2, 1), seed=seed, draws=DRAWS, drift=drift)
        tell(name, made, time.perf_counter() - began)


if __name__ == "__main__":
    main()

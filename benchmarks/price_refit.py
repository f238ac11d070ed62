"""How fast a refit of 5,000 sales is, against scipy's general robust least squares on the same rows.

Both minimise Huber's loss; scipy is handed the scale that ours has to find. Their slopes must agree where
no prior leans on them: with 5,000 sales every premium that was sold is the user's own.
"""

from __future__ import annotations

import math
import os
import sys
import time
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

sys.path.insert(0, str(Path(__file__).parent.parent))  # for the drawn sales of the tests

from pithline.money.price.fit import fit_prices
from pithline.money.price.robust import HUBER, huber_fit
from tests.money.test_price_fit import drawn

SALES = 5000


def best_of(times: int, work):  # type: ignore[no-untyped-def]
    """Wall time of the fastest of several runs [s], and what it gave."""
    took, made = [], None
    for _ in range(times):
        began = time.perf_counter()
        made = work()
        took.append(time.perf_counter() - began)
    return min(took), made


def main() -> None:
    """Print both times, their ratio, and how far the slopes lie apart."""
    print(f"load before: {os.getloadavg()[0]:.2f}")
    sales = drawn(np.random.default_rng(14), SALES, odd=0.05)
    whole, fit = best_of(3, lambda: fit_prices(sales))
    x = np.column_stack([np.ones(SALES), [[math.log(s.piece.thickness), math.log(s.piece.width),
                                          float(s.piece.pair), s.piece.figure] for s in sales]])  # fmt: skip
    y = np.log([s.per_board_foot for s in sales])
    free = np.full(x.shape[1], np.inf)
    ours, robust = best_of(3, lambda: huber_fit(x, y, np.zeros(x.shape[1]), free))
    theirs, general = best_of(
        3,
        lambda: least_squares(
            lambda b: x @ b - y, np.zeros(x.shape[1]), loss="huber", f_scale=HUBER * robust.scale, xtol=1e-12
        ),
    )
    apart = float(np.max(np.abs(general.x - robust.slopes)))
    print(f"refit of {SALES} sales, all marks, from the sales up: {whole:.3f} s (scatter {fit.scatter:.0%})")
    print(f"the same five columns: ours with its scale {ours:.4f} s, scipy at that scale {theirs:.4f} s")
    print(f"scipy / ours {theirs / ours:.1f}; slopes apart by {apart:.1e}")
    assert apart < 1e-5
    assert whole < 2, "a refit of 5,000 sales must take less than 2 s"


if __name__ == "__main__":
    main()

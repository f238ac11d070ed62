"""The one number of the kiln model, fitted on whole runs as told, and tried on what it was not fitted on.

The wood's own rate comes from the yard (printed air-drying times), the coefficient's growth with warmth
from the published fit; what is fitted is how slowly a loaded kiln's air takes the water (`air.LOADED`).

    python -m benchmarks.kiln_film        # some twenty seconds
"""

from __future__ import annotations

import math

import numpy as np

from pithline.dry.air import LOADED
from tests.dry.kiln_runs import factors, fitted, runs
from tests.sources import table


def main() -> None:
    best = fitted()
    print(f"fitted: {best:.4f} of moving air's film (taken: {LOADED})")
    for row, off in zip(table("kiln_runs"), runs(LOADED), strict=True):
        told = float(row["days"])
        print(f"    {row['run']}: {told * math.exp(off):.0f} days, told {told:.0f}")
    off = runs(LOADED)
    alone = [fitted(n) for n in range(len(off))]
    apart = np.array([runs(film)[n] for n, film in enumerate(alone)])
    print(
        f"    off by {100 * np.sqrt((off**2).mean()):.0f} % in the mean of squares; "
        f"{100 * np.sqrt((apart**2).mean()):.0f} % where each is told by the others alone "
        f"(film {min(alone):.3f} to {max(alone):.3f})"
    )
    print("not fitted on: days against 4/4, green red oak, each under its own schedule")
    for name, film in (("ours", LOADED), ("moving air's film", 1.0)):
        print(f"    {name}: " + ", ".join(f"{each:.2f}" for each in factors(film)))
    print("    printed: " + ", ".join(row["times_4_4"] for row in table("thickness_factors")))


if __name__ == "__main__":
    main()

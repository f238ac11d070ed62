"""How far other laws of drying part from ours at a depth, with rate and start set so that the means agree.

Says where the two doubts of a meter reading come from: the profile's shape (`likelihood.SHAPE`) and what is
left after it (`readings.MODEL_AT_DEPTH`); and what a millimetre of depth is worth (`readings.TIP_DOUBT`).

    python -m benchmarks.depth_doubt        # 60 stacks, some ten seconds
"""

from __future__ import annotations

import datetime
import sys
from dataclasses import replace

import numpy as np
from scipy.optimize import least_squares

from pithline.dry.diffusion import course
from pithline.dry.diffusivity import RED_OAK, Diffusivity
from pithline.dry.learning.likelihood import SHAPE
from pithline.dry.learning.readings import MODEL_AT_DEPTH, TIP_DOUBT
from pithline.dry.months import place, places, through
from pithline.dry.profile import at_depth

PLACES = (0.1, 0.2, 0.3, 0.5)  # depths, as shares of the thickness


def law(kind: str, rng: np.random.Generator) -> Diffusivity:
    """Another coefficient or face, as fast as ours at 20 % moisture."""
    film, rise = RED_OAK.film, RED_OAK.rise
    if kind == "face":
        film = float(np.exp(rng.uniform(np.log(3e-8), np.log(1e-6))))
    elif kind == "coefficient as printed":
        rise = float(rng.uniform(0.4, 1.9))
    else:  # cell-wall theory and aspen: it grows eightfold from 2.5 to 18 % (Simpson 1974, read)
        rise = float(rng.uniform(3, 9))
    return replace(RED_OAK, film=film, rise=rise, rate=float(np.exp((RED_OAK.rise - rise) * 0.20)))


def one(kind: str, thickness: float, rng: np.random.Generator) -> np.ndarray:
    """Rows of (off, apart, slope per mm) at five days and four depths. [fraction]"""
    months, start = place(str(rng.choice(places()))), datetime.date(2025, int(rng.integers(1, 13)), 1)
    air, wood = through(months, start, 1095), law(kind, rng)
    reached = course(thickness, air, [0.0], 0.8, wood=wood, targets=(0.30,), error=5e-3).reached[0]
    days = np.array([0.25, 0.5, 0.75, 1, 1.3]) * min(float(reached), 800)
    true = course(thickness, air, days, 0.8, wood=wood, error=1e-3)

    def off(x: np.ndarray) -> np.ndarray:
        made = course(thickness, air, days, np.exp(x[1]) * 0.8, np.exp(x[0]), error=5e-3)
        return np.append(made.mean - true.mean, 0.1 * x[1])

    x = least_squares(off, [0, 0], diff_step=1e-2).x
    ours = course(thickness, air, days, np.exp(x[1]) * 0.8, np.exp(x[0]), error=1e-3)
    rows = []
    for i in range(len(days)):
        for share in PLACES:
            theirs, here, under = (
                float(at_depth(c.profile[i], c.face[i], c.depths, share * thickness - less))
                for c, less in ((true, 0), (ours, 0), (ours, 0.001))
            )
            rows.append((theirs - here, here - ours.mean[i], here - under, here))
    return np.array(rows)


def main() -> None:
    rng, stacks = np.random.default_rng(5), int(sys.argv[1]) if len(sys.argv) > 1 else 60
    made = []
    for n in range(stacks):
        kind = ("face", "coefficient as printed", "steep coefficient")[n % 3]
        made.append(one(kind, (0.028, 0.053, 0.080)[n // 3 % 3], rng))
    all_of = np.stack(made)  # (stacks, days x depths, 4)
    off, apart, slope, here = np.moveaxis(all_of, 2, 0)
    shape = (off * apart).sum(axis=1) / (apart**2).sum(axis=1)
    left = off - shape[:, None] * apart
    print(f"{stacks} stacks: the profile's shape strays by {shape.std():.2f} about {shape.mean():+.2f} "
          f"({np.sqrt((shape**2).mean()):.2f} about ours; taken: {SHAPE})")  # fmt: skip
    told = here < 0.30  # what a meter can tell
    for n, share in enumerate(PLACES):
        at = np.zeros_like(told)
        at[:, n :: len(PLACES)] = True
        at &= told
        rms = [100 * float(np.sqrt((each[at] ** 2).mean())) for each in (off, left)]
        print(
            f"at {share:g} of the thickness, under 30 %: off by {rms[0]:.1f} % moisture, {rms[1]:.1f} once "
            f"the shape is known\n    (taken: {100 * MODEL_AT_DEPTH:g}); a millimetre is "
            f"{100 * slope[at].mean():.1f} %, and {1000 * TIP_DOUBT:g} mm are taken"
        )


if __name__ == "__main__":
    main()

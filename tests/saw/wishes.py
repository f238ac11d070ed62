"""Uses and orders to try things on, drawn from a seed; all invented."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pithline.saw.uses.use import Grain, Use
from tests.strategies import Case

__all__ = ["uses", "with_uses"]


def uses(seed: int, job: Case, counted: bool = True) -> tuple[Use, ...]:
    """One to four uses of sizes that the log may hold, with prices near what its wood brings."""
    rng = np.random.default_rng(seed)
    length = job.shape.length
    width = 2 * float(np.abs(job.shape.outlines).max())
    labels = [aim.label for aim in job.aims.thicknesses]
    each = np.mean([c.sold * c.rate for c in job.model.choices])  # money for a square metre of face
    found = []
    for k in range(int(rng.integers(1, 5))):
        w, at = width * rng.uniform(0.15, 0.7), length * rng.uniform(0.15, 0.5)
        most = int(rng.integers(1, 3)) if counted and rng.random() < 0.7 else None
        found.append(
            Use(
                f"thing {k}",
                w,
                at,
                () if rng.random() < 0.6 else (labels[int(rng.integers(len(labels)))],),
                price=None if rng.random() < 0.15 else float(rng.uniform(0.9, 4.0) * w * at * each),
                at_most=most,
                ordered=most is not None and rng.random() < 0.35,
                pair=bool(rng.random() < 0.3),
                figure=float(rng.choice([0.0] * 8 + [0.02])),
                grain=list(Grain)[int(rng.choice([0] * 7 + [1, 2, 3]))],
                clear_of_pith=bool(rng.random() < 0.2),
            )
        )
    return tuple(found)


def with_uses(job: Case, wanted: tuple[Use, ...]) -> Case:
    """The same job, with uses sold and orders taken."""
    return replace(
        job,
        aims=replace(job.aims, orders=tuple(u for u in wanted if u.ordered)),
        rates=replace(job.rates, uses=tuple(u for u in wanted if not u.ordered)),
    )

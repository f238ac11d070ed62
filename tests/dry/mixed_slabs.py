"""Made-up slabs of every kind: tapered, curved, short, all of one thickness."""

from __future__ import annotations

import numpy as np

from pithline.dry.laying.footprint import Footprint

__all__ = ["mixed_slabs"]

THICKNESS = 0.08


def mixed_slabs(seed: int, count: int, *, mass: bool = False) -> list[Footprint]:
    """Half long and tapered, a third bent as well, the rest short pieces."""
    rng = np.random.default_rng(seed)
    slabs = []
    for n in range(count):
        kind = rng.choice(3, p=[0.5, 0.3, 0.2])
        length = rng.uniform(1.2, 2.0) if kind == 2 else rng.uniform(2.4, 4.1)
        z = np.linspace(0.0, length, 9)
        butt = rng.uniform(0.35, 0.85)
        width = butt * (1 - rng.uniform(0.05, 0.14) * z) * (1 + 0.03 * rng.standard_normal(9))
        bow = rng.uniform(0.03, 0.14) if kind == 1 else rng.uniform(0.0, 0.02)
        middle = bow * 4 * (z / length) * (1 - z / length) * rng.choice([-1, 1])
        volume = float(np.trapezoid(width, z)) * THICKNESS
        weight = volume * rng.uniform(700, 1000) if mass else 0.0
        slabs.append(Footprint.of(f"m{n}", z, middle - width / 2, middle + width / 2, THICKNESS, weight))
    return slabs

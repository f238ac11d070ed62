"""Where planes, outlines and labels of a plan fall in the frame of the saw.

The frame of the saw has its y along the cut normal, so cuts lie level on the paper
whichever way the log was rolled.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pithline.saw.plan import Cut, Plan, PlannedSlab

__all__ = ["band", "chord", "ground", "kerf_at", "level", "rolled", "round_scale", "slab_at", "slabs_of"]

Floats = NDArray[np.float64]

SCALES = (2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 25, 28, 30, 35, 40, 45, 50, 60, 75, 100, 150, 200)


def round_scale(wide: float, high: float, width: float, height: float) -> float:
    """The largest scale 1:n of the usual ones that fits a box.

    Parameters
    ----------
    wide, high : float
        Of the thing drawn. [m]
    width, height : float
        Of the paper it may take. [mm]
    """
    least = max(1000 * wide / width, 1000 * high / height)
    return float(next((n for n in SCALES if n >= least), math.ceil(least)))


def rolled(points: Floats, roll: float) -> Floats:
    """Points of a cross-section once the log is rolled, shape (..., 2); cuts then lie level. [m]

    `roll` counts anticlockwise seen from the butt. [rad]
    """
    c, s = math.cos(roll), math.sin(roll)
    x, y = points[..., 0], points[..., 1]
    return np.stack([c * x - s * y, s * x + c * y], axis=-1)


def level(plan: Plan, at_middle: float, z: float) -> float:
    """Height above the pith line at `z` of a plane known at mid-length. [m]"""
    return at_middle + plan.pitch * (z - plan.shape.length / 2)


def kerf_at(plan: Plan, cut: Cut, z: float) -> tuple[float, float]:
    """Lower and upper side of the kerf above the pith line at `z`. [m]"""
    upper = level(plan, cut.upper, z)
    return upper - plan.kerf, upper


def slab_at(plan: Plan, slab: PlannedSlab, z: float) -> tuple[float, float]:
    """Lower and upper face above the pith line at `z`. [m]"""
    return level(plan, slab.lower, z), level(plan, slab.upper, z)


def slabs_of(plan: Plan, cut: Cut) -> tuple[PlannedSlab, ...]:
    """The slabs that a cut frees: none for an opening piece, two where the last cut parts a pair."""
    named = cut.frees.split(" and ")
    return tuple(s for s in plan.slabs if f"slab {s.number}" in named)


def ground(plan: Plan) -> tuple[float, float]:
    """Ground below the pith mark at butt and top, as the log lies for sawing. [m]"""
    setup = plan.setup
    return setup.rail_butt - setup.above_ground_butt, setup.rail_top - setup.above_ground_top


def chord(outline: Floats, height: float) -> tuple[float, float] | None:
    """Outermost crossings of a level line with one outline, shape (points, 2). [m]"""
    x, y = outline[:, 0], outline[:, 1]
    x2, y2 = np.roll(x, -1), np.roll(y, -1)
    crossing = (y > height) != (y2 > height)
    if not crossing.any():
        return None
    run = (height - y[crossing]) / (y2[crossing] - y[crossing])
    at = x[crossing] + run * (x2[crossing] - x[crossing])
    return float(at.min()), float(at.max())


def band(outline: Floats, low: float, high: float) -> Floats:
    """The part of an outline between two level lines, shape (points, 2); may be empty. [m]"""
    points = outline
    for height, sign in ((low, 1.0), (high, -1.0)):
        kept: list[Floats] = []
        inside = (points[:, 1] - height) * sign >= 0
        for k in range(len(points)):
            a, b = points[k - 1], points[k]
            if inside[k] != inside[k - 1]:
                kept.append(a + (b - a) * (height - a[1]) / (b[1] - a[1]))
            if inside[k]:
                kept.append(b)
        if not kept:
            return np.empty((0, 2))
        points = np.array(kept)
    return points

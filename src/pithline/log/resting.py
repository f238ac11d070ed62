"""Where a log comes to rest: its lie from what was measured, or from its own weight."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.log.lie import Lie
from pithline.log.shape import LogShape, polygon_areas

__all__ = ["Ground", "lie_on", "sag"]

Floats = NDArray[np.float64]

# A tape to the ground through grass and chips reads that much wrong. [m] common practice, no source
_SLACK = 0.03


@dataclass(frozen=True, slots=True)
class Ground:
    """What a person said about the ground; None where nothing was said. Lengths in metres."""

    pith_butt: float | None = None
    pith_top: float | None = None
    bearer_butt: float | None = None
    bearer_top: float | None = None
    slope: float = 0.0  # [m/m]
    powerhead_room: float = 0.0


def lie_on(shape: LogShape, ground: Ground) -> Lie:
    """The log's lie.

    Parameters
    ----------
    shape : LogShape
    ground : Ground
        With both pith heights, or both bearer heights, or neither: then the log lies on
        level ground, on the two points that carry it.

    Returns
    -------
    lie : Lie

    Raises
    ------
    BadValue
        Where a pith height would put the log's underside into the ground.
    """
    low = _undersides(shape)
    at_butt, at_top = float(low[0]), float(low[-1])
    if ground.pith_butt is not None and ground.pith_top is not None:
        pith_butt, pith_top = ground.pith_butt, ground.pith_top
        for name, pith, reach in (("pith_butt", pith_butt, at_butt), ("pith_top", pith_top, at_top)):
            if pith + reach < -_SLACK:
                raise BadValue(
                    f"lie.{name}",
                    f"{pith * 1000:.0f} mm above the ground",
                    f"at least {-reach * 1000:.0f} mm: so far does the log reach below its pith mark there",
                    "Measure from the ground straight up to the pith mark.",
                )
    elif ground.bearer_butt is not None and ground.bearer_top is not None:
        pith_butt, pith_top = ground.bearer_butt - at_butt, ground.bearer_top - at_top
    else:
        pith_butt, pith_top = _at_rest(shape, low)
    return Lie(
        pith_butt=pith_butt,
        pith_top=pith_top,
        bearer_butt=max(pith_butt + at_butt, 0.0),
        bearer_top=max(pith_top + at_top, 0.0),
        side_slope=ground.slope,
        powerhead_room=ground.powerhead_room,
    )


def sag(shape: LogShape, lie: Lie) -> float:
    """How far the log would dip into the ground between its ends; 0 where it is clear. [m]"""
    line = lie.pith_butt + (lie.pith_top - lie.pith_butt) * shape.z / shape.length
    return float(max(-(line + _undersides(shape)).min(), 0.0))


def _undersides(shape: LogShape) -> Floats:
    """Lowest point over bark at each station, from the pith line, shape (stations,). [m]"""
    low: Floats = shape.over_bark()[..., 1].min(axis=1)
    return low


def _at_rest(shape: LogShape, low: Floats) -> tuple[float, float]:
    """Pith heights of a log laid on a plane: it rests on the two points beside its middle of mass."""
    z = shape.z
    area = polygon_areas(shape.outlines)
    middle = float(np.trapezoid(area * z, z) / np.trapezoid(area, z))
    hull: list[int] = []
    for k in range(z.size):  # lower convex hull, from butt to top
        while len(hull) > 1 and _not_left(z, low, hull[-2], hull[-1], k):
            hull.pop()
        hull.append(k)
    k = int(np.clip(np.searchsorted(z[hull], middle), 1, len(hull) - 1))
    a, b = hull[k - 1], hull[k]
    slope = (low[b] - low[a]) / (z[b] - z[a])
    at_butt = low[a] - slope * z[a]
    return float(-at_butt), float(-(at_butt + slope * shape.length))


def _not_left(z: Floats, low: Floats, a: int, b: int, c: int) -> bool:
    return bool((z[b] - z[a]) * (low[c] - low[a]) - (low[b] - low[a]) * (z[c] - z[a]) <= 0)

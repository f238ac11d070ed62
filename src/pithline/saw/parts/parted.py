"""A log split by a plane parallel to its pith: the part on one side, as a shape of its own."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.log.shape import LogShape, polygon_areas
from pithline.saw.mill import Mill

__all__ = ["beyond", "chords_at", "clipped", "passes_needed"]

Floats = NDArray[np.float64]


def clipped(outline: Floats, roll: float, least: float) -> Floats:
    """The part of one outline at or above a plane, with as many points as before.

    Parameters
    ----------
    outline : ndarray, shape (points, 2)
        Closed. [m]
    roll : float
        Direction of the plane's normal: 0 is up, anticlockwise as a log's roll. [rad]
    least : float
        Height of the plane above the pith line along that normal. [m]

    Returns
    -------
    ndarray, shape (points, 2)
        Points below are moved along their edge, or straight, onto the plane: point k of
        one station still belongs to point k of the next. Exact where the outline crosses
        the plane twice. All on the plane where nothing is above it. [m]
    """
    sine, cosine = math.sin(roll), math.cos(roll)
    u = outline[:, 0] * sine + outline[:, 1] * cosine
    v = outline[:, 0] * cosine - outline[:, 1] * sine
    above = u > least
    if above.all():
        return np.array(outline)
    moved_u, moved_v = np.maximum(u, least), v.copy()
    if above.any():
        crossings = []
        for step in (1, -1):  # the neighbour on either side that is above
            beside_u, beside_v = np.roll(u, step), np.roll(v, step)
            edge = ~above & (beside_u > least)
            share = (least - u[edge]) / (beside_u[edge] - u[edge])
            moved_v[edge] = v[edge] + share * (beside_v[edge] - v[edge])
            crossings.append(moved_v[edge])
        ends = np.concatenate(crossings)
        # A bulge below the plane must leave no sliver beside the face.
        moved_v[~above] = np.clip(moved_v[~above], ends.min(), ends.max())
    return np.stack([moved_u * sine + moved_v * cosine, moved_u * cosine - moved_v * sine], axis=1)


def beyond(shape: LogShape, roll: float, least: float) -> LogShape:
    """The part of a log at or above a plane parallel to its pith.

    Parameters
    ----------
    shape : LogShape
        Described at enough stations: between them the part runs straight.
    roll, least : float
        See `clipped`. [rad], [m]

    Raises
    ------
    BadValue
        Where nothing is left at some station: the log's sweep carries it past the plane.
    """
    outlines = np.stack([clipped(o, roll, least) for o in shape.outlines])
    if not np.all(polygon_areas(outlines) > 1e-6):
        raise BadValue(
            "first cut",
            f"at {math.degrees(roll):.0f}°",
            "wood on both sides at every place along the log",
            "Cut the log shorter, so that its sweep is less, or turn the cut.",
        )
    return LogShape.of(shape.z, outlines, shape.bark, shape.second_pith, shape.zones)


def chords_at(outlines: Floats, roll: float, height: float) -> Floats:
    """Widest extent of each outline along a plane, shape (stations,). [m]

    Parameters
    ----------
    outlines : ndarray, shape (stations, points, 2)
        [m]
    roll, height : float
        See `clipped`. [rad], [m]
    """
    u = outlines[..., 0] * math.sin(roll) + outlines[..., 1] * math.cos(roll) - height
    v = outlines[..., 0] * math.cos(roll) - outlines[..., 1] * math.sin(roll)
    u2, v2 = np.roll(u, -1, axis=1), np.roll(v, -1, axis=1)
    crosses = (u > 0) != (u2 > 0)
    share = np.where(crosses, u / np.where(crosses, u - u2, 1.0), 0.0)
    at = v + share * (v2 - v)
    widest = np.where(crosses, at, -np.inf).max(axis=1) - np.where(crosses, at, np.inf).min(axis=1)
    return np.asarray(np.where(crosses.any(axis=1), widest, 0.0), dtype=np.float64)


def passes_needed(width: float, mill: Mill) -> int:
    """Passes for a chord of `width` [m]: 1, 2 from opposite sides, or 0 where even these do not meet.

    Every pass cuts as deep as the bar is usable; clearance is kept once, as in any cut.
    """
    needed = width + mill.clearance - 1e-9
    return 1 if needed <= mill.usable else 2 if needed <= 2 * mill.usable else 0

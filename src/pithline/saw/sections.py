"""Wood between cutting planes, exactly.

An outline moves straight from station to station, so a section's area is a
quadratic along the log and Simpson's rule with the mid-section is exact.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pithline.log.shape import LogShape

__all__ = ["areas_below", "quadrature", "volumes_between"]

Floats = NDArray[np.float64]


def areas_below(outlines: Floats, roll: float, heights: Floats) -> Floats:
    """Area of each outline below each plane.

    Parameters
    ----------
    outlines : ndarray, shape (stations, points, 2)
        Closed, anticlockwise; may be non-convex. [m]
    roll : float
        Of the log, anticlockwise. [rad]
    heights : ndarray, shape (planes, stations)
        Above the pith line along the cut normal. [m]

    Returns
    -------
    ndarray, shape (planes, stations)
        [m2]

    Notes
    -----
    Green's theorem: the boundary integral of x dy over the part of the outline that
    lies below; the closing line along the plane has dy = 0 and adds nothing.
    """
    u = outlines[..., 0] * math.sin(roll) + outlines[..., 1] * math.cos(roll)
    v = outlines[..., 0] * math.cos(roll) - outlines[..., 1] * math.sin(roll)
    u2, v2 = np.roll(u, -1, axis=1), np.roll(v, -1, axis=1)
    rise = np.where(u2 == u, 1.0, u2 - u)
    slope = (v2 - v) / rise
    areas = np.empty(heights.shape)
    for k, h in enumerate(heights):
        a, b = np.minimum(u, h[:, None]), np.minimum(u2, h[:, None])
        va, vb = v + (a - u) * slope, v + (b - u) * slope
        areas[k] = 0.5 * np.sum((va + vb) * (b - a), axis=1)
    return areas


def quadrature(z: Floats) -> tuple[Floats, Floats]:
    """Places and weights of Simpson's rule on every interval between stations.

    Returns
    -------
    places, weights : ndarray, shape (2 * stations - 1,)
        [m]
    """
    places = np.empty(2 * z.size - 1)
    places[::2] = z
    places[1::2] = 0.5 * (z[:-1] + z[1:])
    gap = np.diff(z)
    weights = np.zeros(places.size)
    weights[1::2] = gap * 4 / 6
    weights[:-1:2] += gap / 6
    weights[2::2] += gap / 6
    return places, weights


def volumes_between(
    shape: LogShape, roll: float, pitch: float, planes: Floats, start: float = 0.0, end: float | None = None
) -> Floats:
    """Wood under bark between neighbouring planes over a run of the log.

    Parameters
    ----------
    planes : ndarray, shape (planes,)
        Heights above the pith line at mid-length, falling; +-inf allowed. [m]
    start, end : float
        The run. [m]

    Returns
    -------
    ndarray, shape (planes - 1,)
        Exact but for planes that cross a corner of an outline inside an interval. [m3]
    """
    end = shape.length if end is None else end
    if end <= start:
        return np.zeros(len(planes) - 1)
    # Stations of the log, and some more: a plane leaves the wood somewhere between them.
    inner = np.concatenate([shape.z, np.linspace(start, end, 41)])
    places, weights = quadrature(
        np.unique(np.concatenate([[start, end], inner[(inner > start) & (inner < end)]]))
    )
    outlines = shape.at(places).outlines
    far = 10.0 * float(np.abs(outlines).max())  # a plane above or below all wood
    heights = np.clip(planes, -far, far)[:, None] + pitch * (places - 0.5 * shape.length)[None, :]
    below = areas_below(outlines, roll, heights) @ weights
    return np.asarray(below[:-1] - below[1:])

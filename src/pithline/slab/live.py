"""Slabs of one thickness through a round log: the plain case with a closed form.

The planner does not use this. It answers "what could geometry alone give?" before
anything but a diameter is known, and it checks the planner from outside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.errors import BadValue

__all__ = ["LiveLayout", "boxed_offset", "live_layout", "split_offset", "strip_area"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LiveLayout:
    """What parallel slabs without gaps give at one offset.

    Attributes
    ----------
    slabs : int
    solid, narrow, mean : float
        True volume, narrow-face tally and mean-of-faces tally of the slabs over the
        log's volume. [fraction]
    """

    slabs: int
    solid: float
    narrow: float
    mean: float


def boxed_offset(thickness: float) -> float:
    """Offset [m] that centres a slab on the pith."""
    return -0.5 * thickness


def split_offset(kerf: float) -> float:
    """Offset [m] that centres a cut on the pith."""
    return 0.5 * kerf


def strip_area(radius: ArrayLike, low: ArrayLike, high: ArrayLike) -> Floats:
    """Part of a disc between two parallel lines.

    Parameters
    ----------
    radius : array_like
        [m]
    low, high : array_like
        Distances of the lines from the centre, signed. [m]

    Returns
    -------
    area : ndarray
        [m2], broadcast over the arguments.
    """
    r, low, high = (np.asarray(a, dtype=np.float64) for a in (radius, low, high))

    def below(y: Floats) -> Floats:
        y = np.clip(y, -r, r)
        return np.asarray(y * np.sqrt(r * r - y * y) + r * r * np.arcsin(y / r))

    return np.maximum(below(high) - below(low), 0.0)


def live_layout(
    diameter: ArrayLike,
    thickness: float,
    kerf: float,
    offset: float,
    least_width: float,
    *,
    z: ArrayLike = (0.0, 1.0),
    centre: ArrayLike = 0.0,
) -> LiveLayout:
    """Recovery of a round log sawn into equal slabs without gaps.

    Slab i reaches from ``offset + i (thickness + kerf)`` upward by `thickness`. It
    counts when both faces reach `least_width` over the whole length.

    Parameters
    ----------
    diameter : array_like, shape (stations,) or scalar
        Under bark. [m]
    thickness, kerf : float
        [m]
    offset : float
        Lower face of slab 0 above the origin of the cuts. [m]
    least_width : float
        [m]
    z : array_like, shape (stations,)
        Stations; between them trapezium rule. [m]
    centre : array_like, shape (stations,) or scalar
        Height of the pith above the origin of the cuts: 0 for cuts parallel to the
        pith, half the growth in diameter for cuts parallel to the lower side. [m]

    Returns
    -------
    LiveLayout

    Raises
    ------
    BadValue
        Sizes of 0 or less.

    Notes
    -----
    Straight round log with the pith in its middle. Width at height h is
    2 sqrt(r^2 - h^2).
    """
    z = np.asarray(z, dtype=np.float64)
    r = np.broadcast_to(0.5 * np.asarray(diameter, dtype=np.float64), z.shape)
    centre = np.broadcast_to(np.asarray(centre, dtype=np.float64), z.shape)
    if not np.all(r > 0):
        raise BadValue("diameter", (2 * r).tolist(), "more than 0")
    if not (thickness > 0 and kerf >= 0):
        raise BadValue("thickness and kerf", (thickness, kerf), "more than 0, and 0 or more")
    pitch = thickness + kerf
    first = np.floor((float(np.min(centre - r)) - offset) / pitch)
    last = np.ceil((float(np.max(centre + r)) - offset) / pitch)
    low = offset + np.arange(first, last + 1)[:, None] * pitch - centre  # (slabs, stations)
    high = low + thickness
    faces = [2 * np.sqrt(np.maximum(r * r - h * h, 0.0)) for h in (low, high)]
    narrow, mean = np.minimum(*faces), 0.5 * (faces[0] + faces[1])
    # max(.., tiny): a face that has left the wood is no face, even if any width will do.
    whole = np.all(narrow >= max(least_width, 1e-12), axis=1)
    log = float(np.trapezoid(np.pi * r * r, z))

    def share(sections: Floats) -> float:
        return float(np.trapezoid(sections[whole], z, axis=1).sum()) / log

    return LiveLayout(
        slabs=int(whole.sum()),
        solid=share(strip_area(r, low, high)),
        narrow=share(thickness * narrow),
        mean=share(thickness * mean),
    )

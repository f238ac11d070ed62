"""From tape readings to the log's shape."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.log.bark import BarkRule
from pithline.log.shape import LogShape
from pithline.log.size import Size, Station

__all__ = ["Sweep", "pith_path", "shape_from_tape"]

Floats = NDArray[np.float64]

# A parabola drawn with so many straight pieces is off by amount/SWEEP_PIECES^2 at most.
SWEEP_PIECES = 16

Sweep = tuple[float, float]
"""Largest departure [m] and its direction, anticlockwise from +x seen from the butt [rad]."""


def pith_path(z: Floats, length: float, sweep: Sweep) -> Floats:
    """Where the grown pith runs against the straight pith line.

    Parameters
    ----------
    z : ndarray, shape (stations,)
        [m]
    length : float
        [m]
    sweep : Sweep

    Returns
    -------
    xy : ndarray, shape (stations, 2)
        Parabola through both pith marks, farthest at mid-length. [m]
    """
    t = np.asarray(z, dtype=np.float64) / length
    amount, towards = sweep
    path: Floats = (4 * amount * t * (1 - t))[:, None] * np.array([math.cos(towards), math.sin(towards)])
    return path


def shape_from_tape(
    length: float,
    butt: Size,
    top: Size,
    stations: Sequence[Station],
    bark: BarkRule,
    sweep: Sweep = (0.0, 0.0),
    pieces: int = SWEEP_PIECES,
) -> LogShape:
    """Outlines at every taped section, and between them where the log is swept.

    Parameters
    ----------
    length : float
        [m]
    butt, top : Size
        Seen from the butt.
    stations : sequence of Station
        In any order, strictly between the ends.
    bark : BarkRule
    sweep : Sweep
    pieces : int
        Straight pieces of a swept log.

    Returns
    -------
    shape : LogShape
        Without zones and second pith.

    Raises
    ------
    BadValue
        Bark thicker than a radius, pith mark outside, station beyond the ends or doubled.

    Notes
    -----
    A section whose form was taped (both ends; stations with four readings or two widths)
    keeps it. A station with one width, a diameter or a girth takes the form and the pith's
    place interpolated between its neighbours of known form, at its own size.
    """
    taped = sorted(stations, key=lambda s: s.at)
    for before, s in zip([None, *taped], taped, strict=False):
        if not 0 < s.at < length:
            raise BadValue(
                f"{s.size.field}.at", f"{s.at:g} m", f"between the ends (more than 0, less than {length:g} m)"
            )
        if before is not None and s.at - before.at < 1e-6:
            raise BadValue(f"{s.size.field}.at", f"{s.at:g} m", "said once", "Keep one of the two.")
    at = np.array([0.0, *(s.at for s in taped), length])
    sizes: list[Size] = []
    barks: list[float] = []
    for z, size in zip(at, [butt, *(s.size for s in taped), top], strict=True):
        thickness = bark.thickness(float(z) / length, size.mean, size.over_bark)
        sizes.append(size.under_bark(thickness))
        barks.append(thickness)
    outlines = _outlines(at, sizes)
    shape = LogShape.of(at, outlines, np.array(barks))
    if sweep[0] == 0.0:
        return shape
    shape = shape.at(np.union1d(at, np.linspace(0.0, length, pieces + 1)))
    moved = shape.outlines + pith_path(shape.z, length, sweep)[:, None, :]
    return LogShape.of(shape.z, moved, shape.bark)


def _outlines(at: Floats, sizes: list[Size]) -> Floats:
    last = len(sizes) - 1
    known = {k: s.outline() for k, s in enumerate(sizes) if s.whole or k in (0, last)}
    anchors = sorted(known)
    outlines = []
    for k, size in enumerate(sizes):
        if k not in known:
            below = max(a for a in anchors if a < k)
            above = min(a for a in anchors if a > k)
            f = (at[k] - at[below]) / (at[above] - at[below])
            known_form = known[below] * (1 - f) + known[above] * f
            outlines.append(size.outline(known_form))
        else:
            outlines.append(known[k])
    return np.array(outlines)

"""The clear wood of a slab: inside both faces, off the checked ends, off bark and pith."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.slab.outline import SlabOutline

__all__ = ["Allowance", "Band", "clear_bands", "on_stations"]

Floats = NDArray[np.float64]
_HAIR = 1e-9  # [m]


@dataclass(frozen=True, slots=True)
class Allowance:
    """What is taken off before anything is cut from a slab.

    Attributes
    ----------
    trim_butt, trim_top : float
        Checked ends. [m]
    edge : float
        Strip along each edge under bark, square across the slab. [m]
    pith : float, optional
        Half width of the strip about the pith line that is left out; None keeps the pith.
    across, along : float
        What the slab has still to shrink in width and length. [fraction]
    """

    trim_butt: float = 0.0
    trim_top: float = 0.0
    edge: float = 0.0
    pith: float | None = None
    across: float = 0.0
    along: float = 0.0

    @classmethod
    def of(
        cls,
        trim_butt: float = 0.0,
        trim_top: float = 0.0,
        edge: float = 0.0,
        pith: float | None = None,
        across: float = 0.0,
        along: float = 0.0,
    ) -> Self:
        """Check what a person or a record gave.

        Raises
        ------
        BadValue
            A strip below 0, or shrinkage outside 0 to under 1.
        """
        strips = (
            ("trim at the butt", trim_butt),
            ("trim at the top", trim_top),
            ("edge", edge),
            ("pith", pith),
        )
        for name, strip in strips:
            if strip is not None and not 0 <= strip < np.inf:
                raise BadValue(name, strip, "0 m or more")
        for name, share in (("shrinkage across", across), ("shrinkage along", along)):
            if not 0 <= share < 1:
                raise BadValue(name, share, "from 0 to under 100 %")
        return cls(trim_butt, trim_top, edge, pith, across, along)


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """Wood between two edges that are straight from station to station.

    Attributes
    ----------
    z : ndarray, shape (stations,)
        Along the slab, strictly rising. [m]
    low, high : ndarray, shape (stations,)
        Edges across the slab; `low` nowhere above `high`. [m]
    """

    z: Floats
    low: Floats
    high: Floats

    @property
    def area(self) -> float:
        """[m2]."""
        return float(np.trapezoid(self.high - self.low, self.z))

    @property
    def ring(self) -> Floats:
        """Corners in order, low edge first, shape (2 stations, 2) as (z, across). [m]"""
        there = np.column_stack([self.z, self.low])
        return np.concatenate([there, np.column_stack([self.z, self.high])[::-1]])

    def mirrored(self) -> Band:
        """The same turned over about the line across = 0."""
        return Band(self.z, -self.high, -self.low)


def clear_bands(outline: SlabOutline, allowance: Allowance | None = None) -> tuple[Band, ...]:
    """Bands of clear wood, at the size that is left after shrinking.

    Parameters
    ----------
    outline : SlabOutline
        Across from the pith line.
    allowance : Allowance, optional

    Returns
    -------
    bands : tuple of Band
        From butt to top; where the pith is left out, what lies on either side of it
        comes one after the other. Empty where nothing is clear.

    Notes
    -----
    Only wood under both faces counts, so the piece keeps its full thickness and
    neither face shows bark. Shrinkage draws towards the pith line and the butt; trims
    and strips are then taken off the shrunk slab.
    """
    allowance = allowance or Allowance()
    z = outline.z * (1 - allowance.along)
    faces = np.stack([outline.upper, outline.lower]) * (1 - allowance.across)
    lows, highs = faces[:, :, 0] + allowance.edge, faces[:, :, 1] - allowance.edge
    start, end = z[0] + allowance.trim_butt, z[-1] - allowance.trim_top
    if not start < end - _HAIR:
        return ()
    if allowance.pith is None:
        return tuple(_split(z, [*lows], [*highs], start, end))
    strip = np.full(z.shape, allowance.pith)
    sides = _split(z, [*lows], [*highs, -strip], start, end) + _split(z, [*lows, strip], [*highs], start, end)
    return tuple(sorted(sides, key=lambda band: (band.z[0], band.low[0])))


def on_stations(bands: Iterable[Band]) -> list[Band]:
    """The same bands over their common length, all with the same stations; [] where there is none."""
    bands = list(bands)
    start, end = max(b.z[0] for b in bands), min(b.z[-1] for b in bands)
    if not start < end - _HAIR:
        return []
    z = np.unique(np.concatenate([b.z for b in bands]))
    z = _apart(np.concatenate([[start], z[(z > start) & (z < end)], [end]]))
    return [Band(z, np.interp(z, b.z, b.low), np.interp(z, b.z, b.high)) for b in bands]


def _split(z: Floats, lows: list[Floats], highs: list[Floats], start: float, end: float) -> list[Band]:
    """Runs where every low edge lies under every high edge."""
    edges = np.stack(lows + highs)
    # Where any two edges cross the innermost one changes, or the wood runs out.
    at = [z, np.array([start, end])]
    for i in range(len(edges)):
        for j in range(i):
            gap = edges[i] - edges[j]
            where = np.nonzero(gap[:-1] * gap[1:] < 0)[0]
            part = gap[where] / (gap[where] - gap[where + 1])
            at.append(z[where] + part * (z[where + 1] - z[where]))
    z_all = np.unique(np.concatenate(at))
    z_all = _apart(z_all[(z_all >= start) & (z_all <= end)])
    inner = np.stack([np.interp(z_all, z, e) for e in edges])
    low, high = inner[: len(lows)].max(axis=0), inner[len(lows) :].min(axis=0)
    middle = 0.5 * (low[:-1] + low[1:] - high[:-1] - high[1:])
    open_ = np.concatenate([[False], middle < -_HAIR, [False]])
    turns = np.nonzero(open_[1:] != open_[:-1])[0]
    return [
        Band(z_all[a : b + 1], low[a : b + 1], np.maximum(high[a : b + 1], low[a : b + 1]))
        for a, b in zip(turns[::2], turns[1::2], strict=True)
    ]


def _apart(z: Floats) -> Floats:
    """Drop stations that rounding has set beside each other; the last one stays."""
    apart: Floats = z[np.concatenate([np.diff(z) > _HAIR, [True]])]
    return apart

"""Contact profiles: outlines as steps on a grid, so that laying one against another is whole numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.dry.laying.footprint import Footprint, Turn

__all__ = ["CELL", "GRAIN", "Floor", "Profiles", "profile", "profiles"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

CELL = 0.025  # along; an edge within a cell counts at its outermost, so slabs never overlap. [m]
GRAIN = 1e-4  # across, rounded outward. [m]


@dataclass(frozen=True, slots=True)
class Floor:
    """A cart, a kiln's floor or the ground of a stack.

    Attributes
    ----------
    length, width : float
        Slabs lie along its length. [m]
    gap : float
        Kept between two slabs, across and end to end. [m]
    skew : float
        Most that a slab may lie askew. [rad]
    """

    length: float
    width: float
    gap: float = 0.0
    skew: float = math.radians(4)

    @property
    def area(self) -> float:
        """[m2]"""
        return self.length * self.width

    @property
    def cells(self) -> int:
        """Along, with the gap that only neighbours need beyond the end."""
        return math.floor(self.length / CELL + 1e-9) + self.gap_cells

    @property
    def gap_cells(self) -> int:
        """Kept free behind each slab."""
        return math.ceil(self.gap / CELL - 1e-9)

    @property
    def grains(self) -> int:
        """Across, with the gap that only neighbours need beyond the side."""
        return math.floor(self.width / GRAIN + 1e-6) + self.gap_grains

    @property
    def gap_grains(self) -> int:
        """Kept free beside each slab."""
        return math.ceil(self.gap / GRAIN - 1e-6)


@dataclass(frozen=True, slots=True, eq=False)
class Profiles:
    """Every way that slabs can be laid, on the floor's grid.

    Attributes
    ----------
    low, high : ndarray, shape (ways, cells), int32
        Least and greatest reach across in each cell; the least of all is 0. [GRAIN]
    cells : ndarray, shape (ways,), int32
        Taken along.
    own : ndarray, shape (ways,), int32
        Which slab.
    turns : tuple of Turn
    """

    low: Ints
    high: Ints
    cells: Ints
    own: Ints
    turns: tuple[Turn, ...]


def profile(ring: Floats) -> tuple[Ints, Ints]:
    """Least and greatest reach of a ring in each cell.

    Parameters
    ----------
    ring : ndarray, shape (corners, 2)
        (along, across), least values 0. [m]

    Returns
    -------
    low, high : ndarray, shape (cells,), int32
        Rounded outward. [GRAIN]
    """
    count = max(1, math.ceil(ring[:, 0].max() / CELL - 1e-9))
    a, b = ring, np.roll(ring, -1, axis=0)
    swap = (a[:, 0] > b[:, 0])[:, None]
    a, b = np.where(swap, b, a), np.where(swap, a, b)
    # An upright edge lies between the ends of its neighbours and adds nothing.
    keep = b[:, 0] - a[:, 0] > 1e-12
    a, b = a[keep][:, None, :], b[keep][:, None, :]
    near = np.maximum(a[..., 0], np.arange(count) * CELL)
    far = np.minimum(b[..., 0], np.arange(1, count + 1) * CELL)
    # A cell is touched where more than rounding of an edge lies in it.
    inside = far - near > 1e-12
    slope = (b[..., 1] - a[..., 1]) / (b[..., 0] - a[..., 0])
    ends = [np.where(inside, a[..., 1] + slope * (x - a[..., 0]), np.nan) for x in (near, far)]
    low = np.nanmin(np.minimum(*ends), axis=0)
    high = np.nanmax(np.maximum(*ends), axis=0)
    return (
        np.floor(low / GRAIN + 1e-6).astype(np.int32),
        np.ceil(high / GRAIN - 1e-6).astype(np.int32),
    )


def profiles(slabs: Sequence[Footprint], floor: Floor) -> Profiles:
    """All ways to lay these slabs that the floor has room for.

    Parameters
    ----------
    slabs : sequence of Footprint
    floor : Floor

    Returns
    -------
    Profiles
        Turned end for end and over, straight and with either edge along the floor's side; a
        slab that fits in no way has none.
    """
    gap, behind = floor.gap_grains, floor.gap_cells
    rows: list[tuple[int, Turn, Ints, Ints]] = []
    for n, slab in enumerate(slabs):
        seen: set[bytes] = set()
        for turn in _turns(slab, floor.skew):
            low, high = profile(slab.ring(turn))
            if behind:
                low, high = (np.concatenate([x, np.repeat(x[-1:], behind)]) for x in (low, high))
            high = high + np.int32(gap)
            if len(low) > floor.cells or high.max() > floor.grains:
                continue
            outlined = low.tobytes() + b"|" + high.tobytes()
            if outlined not in seen:  # a slab alike at both ends lies in fewer ways
                seen.add(outlined)
                rows.append((n, turn, low, high))
    low, high = (np.zeros((len(rows), floor.cells), dtype=np.int32) for _ in range(2))
    for k, (_, _, its_low, its_high) in enumerate(rows):
        low[k, : len(its_low)], high[k, : len(its_high)] = its_low, its_high
    return Profiles(
        low,
        high,
        np.array([len(row[2]) for row in rows], dtype=np.int32),
        np.array([row[0] for row in rows], dtype=np.int32),
        tuple(row[1] for row in rows),
    )


def _turns(slab: Footprint, most: float) -> list[Turn]:
    """The least work first: of ways alike the first is kept."""
    leans = slab.leans(most)
    return [
        Turn(end_for_end, face_down, -lean if face_down else lean)
        for face_down in (False, True)
        for end_for_end in (False, True)
        for lean in leans
    ]

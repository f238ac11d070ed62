"""Rows of stickers: how many, where, how long, and which ends reach too far past the last."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.units import INCH

__all__ = ["OVERHANG", "SPACING", "Stickers", "overhang", "rows_along", "spacing_for", "suited"]

OVERHANG = 0.1  # an end past its last sticker; 75 to 100 mm are usual, common practice, no source [m]

SPACING = {
    "valuable": (0.4, "thick or warp-prone hardwood, AH-188 ch. 5 and FPL-GTR-117, from memory"),
    "usual": (0.4, "E. M. Wengert 2000: 12 to 16 in. for stock up to 1 in., read"),
    "most": (0.61, "E. M. Wengert 2000: never wider than 20 to 24 in., read"),
}
"""Between rows, mid to mid, with its source. [m]"""


@dataclass(frozen=True, slots=True)
class Stickers:
    """The sticks of a stack or a kiln load; one pattern in all layers, row above row.

    Attributes
    ----------
    thickness, width : float
        Of one stick. [m]
    rows : tuple of float
        Middle of each row from the near end. [m]
    """

    thickness: float
    width: float
    rows: tuple[float, ...]

    @classmethod
    def spaced(
        cls, length: float, spacing: float, thickness: float = 0.025, width: float = 0.032
    ) -> Stickers:
        """Rows evenly from end to end, no further apart than `spacing`; raises `BadValue`."""
        return cls(thickness, width, rows_along(length, spacing, width))

    @property
    def spacing(self) -> float:
        """Widest between two rows. [m]"""
        return max((b - a for a, b in zip(self.rows, self.rows[1:], strict=False)), default=0.0)


def spacing_for(thickness: float) -> float:
    """Usual distance between rows for slabs of a thickness. [m]

    Notes
    -----
    400 mm whatever the thickness: up to 1 inch 300 to 400 mm are printed (E. M. Wengert 2000,
    read); thick hardwood may have 610 mm, warp-prone or valuable stock 400 mm or less (AH-188
    ch. 5, FPL-GTR-117, from memory), and a slab is both. Below 16 mm, 300 mm.
    """
    if not 0 < thickness < 1:  # NaN fails here too
        raise BadValue("thickness", thickness, "more than 0 and under 1 m")
    return 0.3 if thickness < 16e-3 else SPACING["valuable"][0]


def rows_along(length: float, spacing: float, width: float = 0.032) -> tuple[float, ...]:
    """Middles of rows over a length, the outermost flush with its ends.

    Parameters
    ----------
    length : float
        Of the slabs, or of the floor. [m]
    spacing : float
        Most between two rows. [m]
    width : float
        Of a stick. [m]

    Returns
    -------
    rows : tuple of float
        [m]

    Raises
    ------
    BadValue
        A spacing that is no distance, or wider than any source has it (610 mm).

    Notes
    -----
    Stickers flush with both ends of each course: AH-188 ch. 5 (from memory).
    """
    most = SPACING["most"][0]
    if not 2 * INCH <= spacing <= most + 1e-9:
        raise BadValue("spacing", spacing, "from 50 mm to 610 mm", 'Write "400 mm" or "16 in".')
    if not width < length:
        raise BadValue("length", length, "longer than a stick is wide")
    run = length - width
    spaces = max(1, math.ceil(run / spacing - 1e-9))
    return tuple(width / 2 + run * k / spaces for k in range(spaces + 1))


def suited(stickers: Stickers, reaches: Sequence[tuple[float, float]]) -> Stickers:
    """Move the rows so that as few ends as can be reach past their last row.

    Parameters
    ----------
    stickers : Stickers
        Whose widest spacing is not exceeded.
    reaches : sequence of (float, float)
        Near and far end of every slab along the floor. [m]

    Returns
    -------
    Stickers
        Rows evenly from the first near end to one of the far ends, up to two more rows than
        needed; of the best, the one with fewest rows.
    """
    first, last = min(near for near, _ in reaches), max(far for _, far in reaches)
    width, spacing = stickers.width, stickers.spacing
    if last - first <= 2 * width or spacing <= 0:
        return stickers
    best: tuple[int, int, float] | None = None
    found = stickers.rows
    ends = sorted({round(far, 3) for _, far in reaches if far >= last - OVERHANG})
    for end in ends:
        run = end - first - width
        fewest = max(1, math.ceil(run / spacing - 1e-9))
        for spaces in range(fewest, fewest + 3):
            rows = tuple(first + width / 2 + run * k / spaces for k in range(spaces + 1))
            bare = sum(
                reach > OVERHANG for near, far in reaches for reach in overhang(near, far, rows, width)
            )
            if best is None or (bare, spaces, -end) < best:
                best, found = (bare, spaces, -end), rows
    return Stickers(stickers.thickness, width, found)


def overhang(near: float, far: float, rows: Sequence[float], width: float) -> tuple[float, float]:
    """How far a slab's ends reach past its first and last row of sticks.

    Parameters
    ----------
    near, far : float
        Its ends along the floor. [m]
    rows : sequence of float
        Middles. [m]
    width : float
        Of a stick; one that lies half under the end carries it. [m]

    Returns
    -------
    at_near, at_far : float
        0 where a row lies at the end; the whole length where no row carries the slab. [m]
    """
    under = [row for row in rows if near - width / 2 <= row <= far + width / 2]
    if not under:
        return far - near, far - near
    return (
        max(0.0, min(under) - width / 2 - near),
        max(0.0, far - (max(under) + width / 2)),
    )

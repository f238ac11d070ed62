"""What a piece of a slab is for: uses that pay by the piece, and orders that come first."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["STARTERS", "Grain", "Piece", "Use"]


class Grain(StrEnum):
    """Which grain at least half of the wider face must show, at mid-length."""

    ANY = "any"
    FLAT = "flat"
    RIFT = "rift"
    QUARTER = "quarter"


@dataclass(frozen=True, slots=True)
class Use:
    """A thing that a slab, or a length of it, makes. Lengths in metres.

    Attributes
    ----------
    name : str
    width : float
        Least narrow face over the length, under bark.
    length : float
    thicknesses : tuple of str
        Labels of the thickness menu that serve; empty = all of them.
    price : float or None
        Money for the piece, or for both of a pair; None = at the rate, for the size asked.
    at_most : int or None
        Pieces (or pairs) that can be sold from this log; None = any number.
    ordered : bool
        `at_most` pieces are ordered: as many as the log can give are cut before all else.
    pair : bool
        Two neighbouring slabs of one thickness with one kerf between them, opened like a book.
    figure : float
        Least share of the slab's counted face that shows figure.
    grain : Grain
    clear_of_pith : bool
        Not from a slab that holds the pith.
    """

    name: str
    width: float
    length: float
    thicknesses: tuple[str, ...] = ()
    price: float | None = None
    at_most: int | None = None
    ordered: bool = False
    pair: bool = False
    figure: float = 0.0
    grain: Grain = Grain.ANY
    clear_of_pith: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """A length of a slab, and what it makes.

    Attributes
    ----------
    use : str
        "" where it is sold by the tally.
    start, end : float
        Along the log from the butt. [m]
    value : float
        In money or tally units, before the slab's costs; of a pair half the price.
    area : float
        Counted face of what is sold by the tally; 0 of a use. [m2]
    tally : float
        The same in the unit of the aims.
    """

    use: str
    start: float
    end: float
    value: float
    area: float = 0.0
    tally: float = 0.0


# Sizes to start from, to be overruled: common practice, no source. The prices are the user's own.
STARTERS = (
    Use("dining top", 0.80, 2.0),
    Use("half of a wide table", 0.45, 2.0, pair=True),
    Use("bench", 0.38, 1.5),
    Use("mantel", 0.20, 1.6),
    Use("shelf", 0.22, 1.0),
)

"""What is sold: the marks of a piece that its price may hang on."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass, field
from enum import StrEnum

from pithline.errors import BadValue
from pithline.units import BOARD_FOOT

__all__ = ["Dried", "Piece", "Sale"]


class Dried(StrEnum):
    """How far a piece was dried when it was sold."""

    GREEN = "green"
    AIR = "air dried"
    KILN = "kiln dried"


@dataclass(frozen=True, slots=True)
class Piece:
    """A slab or board as a buyer sees it.

    Attributes
    ----------
    species : str
        Name of the `Species`.
    thickness, width, length : float
        As sold; the width is the mean that is tallied. [m]
    volume : float
        Tallied. [m3]
    dried : Dried
    flattened, pair, live, flawed : bool
        Flattened; one of a book-matched pair; with live edges; with checks, punky sapwood or stain.
    figure : float
        Share of the face that shows figure. [fraction]
    use : str
        What it was sold for ("table"), or "".
    """

    species: str
    thickness: float
    width: float
    length: float
    volume: float
    dried: Dried = Dried.GREEN
    flattened: bool = False
    pair: bool = False
    live: bool = True
    flawed: bool = False
    figure: float = 0.0
    use: str = ""

    def __post_init__(self) -> None:
        for name in ("thickness", "width", "length", "volume"):
            if not 0 < getattr(self, name) < math.inf:
                raise BadValue(f"{name} of the piece", getattr(self, name), "more than 0")
        if not 0 <= self.figure <= 1:
            raise BadValue("figure of the piece", f"{self.figure:.0%}", "from 0 % to 100 %")

    @property
    def board_feet(self) -> float:
        """Tallied volume. [bf]"""
        return self.volume / BOARD_FOOT


@dataclass(frozen=True, slots=True)
class Sale:
    """A price that is known: the user's own sale, or a comparable noted elsewhere.

    Attributes
    ----------
    name : str
    piece : Piece
    price : float
        For the piece, in the book's currency. [money]
    day : date
    own : bool
        The user's own sale.
    asked : bool
        A price asked, not paid.
    source : str
        Of a comparable.
    noted : str
        As it was written, with the rate it was turned over at: "300 EUR at 1.08 of 2025-03-01".
    """

    name: str
    piece: Piece
    price: float
    day: datetime.date
    own: bool = True
    asked: bool = False
    source: str = ""
    noted: str = field(default="", compare=False)

    @property
    def per_board_foot(self) -> float:
        """[money/bf]"""
        return self.price / self.piece.board_feet

"""Which marks of a piece move its price per board foot, and what custom says of each."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pithline.money.price.piece import Dried, Piece
from pithline.units import FOOT, INCH

__all__ = ["PREMIUMS", "Premium", "customary_factor", "thickness_factor"]

_CUSTOM = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Premium:
    """One mark of a piece; the price per board foot is base x product of exp(slope x amount).

    Attributes
    ----------
    key : str
        In JSON.
    words : str
        For people.
    unit_words : str
        What a slope of it is said over: "for each doubling".
    unit : float
        The amount that `unit_words` stands for.
    amount : callable (Piece) -> float
        0 for a plain piece: 1 in thick, 12 in wide, 8 ft long, square-edged, green, sound.
    custom, doubt : float
        Customary slope, and how far it may be off (one standard deviation): what a fit
        leans on while there are few sales.
    source : str
        Of the custom.
    """

    key: str
    words: str
    unit_words: str
    unit: float
    amount: Callable[[Piece], float]
    custom: float
    doubt: float
    source: str

    @property
    def customary(self) -> float:
        """Customary factor over `unit`."""
        return math.exp(self.custom * self.unit)


def _flag(
    key: str, words: str, of: Callable[[Piece], float], factor: float, off: float, source: str
) -> Premium:
    """Let a mark that is there or not multiply the price; `off` is a factor two thirds sure."""
    return Premium(key, words, "where it is so", 1.0, of, math.log(factor), math.log(off), source)


PREMIUMS = (
    Premium(
        "thickness",
        "thickness",
        "for twice as thick",
        math.log(2),
        lambda p: math.log(p.thickness / INCH),
        0.4,
        0.25,
        "exponent 0.06 to 0.53 in three price lists of lumber (read); 0.4 in the middle",
    ),
    Premium(
        "width",
        "width",
        "for twice as wide",
        math.log(2),
        lambda p: math.log(p.width / (12 * INCH)),
        0.25,
        0.2,
        f"10 to 50 % from 24 in, more above 36 in: {_CUSTOM}",
    ),
    Premium(
        "length",
        "length",
        "for twice as long",
        math.log(2),
        lambda p: math.log(p.length / (8 * FOOT)),
        0.1,
        0.15,
        f"long slabs are asked for tables: {_CUSTOM}",
    ),
    _flag(
        "figure", "figure", lambda p: p.figure, 1.9, 1.5, f"x 1.5 to 4: {_CUSTOM}; x 1.9 in one list (read)"
    ),
    _flag("pair", "one of a pair", lambda p: float(p.pair), 1.15, 1.1, f"10 to 25 %: {_CUSTOM}"),
    _flag("live", "live edge", lambda p: float(p.live), 1.12, 1.12, f"0 to 30 %: {_CUSTOM}"),
    _flag(
        "air_dried",
        "air dried",
        lambda p: float(p.dried is Dried.AIR),
        1.25,
        1.2,
        f"between green and kiln dried: {_CUSTOM}",
    ),
    _flag(
        "kiln_dried",
        "kiln dried",
        lambda p: float(p.dried is Dried.KILN),
        1.5,
        1.2,
        "1.35 to 1.76 for 4/4 lumber in one trade list (read)",
    ),
    _flag(
        "flattened",
        "flattened",
        lambda p: float(p.flattened),
        1.12,
        1.15,
        f"dried and flat 30 to 80 %: {_CUSTOM}",
    ),
    _flag(
        "flawed", "checks, punk or stain", lambda p: float(p.flawed), 0.65, 1.3, f"x 0.4 to 0.9: {_CUSTOM}"
    ),
)


def thickness_factor(thickness: float, exponent: float = 0.4) -> float:
    """Price per board foot against 1 in stock, (T / 1 in)^k.

    Parameters
    ----------
    thickness : float
        [m]
    exponent : float
        0.19 to 0.53 in a dealer's retail list, 0.06 to 0.35 in wholesale green lists;
        no public list was found for live-edge slabs.

    >>> round(thickness_factor(0.0508), 4)
    1.3195
    """
    return float((thickness / INCH) ** exponent)


def customary_factor(piece: Piece) -> float:
    """Price per board foot against a plain piece's, by custom alone."""
    return math.exp(sum(each.custom * each.amount(piece) for each in PREMIUMS))

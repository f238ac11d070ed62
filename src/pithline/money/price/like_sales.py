"""Sales of pieces much like this one; under ten of them are shown, not fitted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pithline.money.price.piece import Dried, Piece, Sale
from pithline.money.price.premiums import PREMIUMS, customary_factor

__all__ = ["ENOUGH", "ByUse", "Carried", "by_use", "carried", "like"]

ENOUGH = 10
# Like in thickness: within this factor.
_THICKNESS = 1.5


@dataclass(frozen=True, slots=True)
class Carried:
    """A like sale, carried over to another piece by custom.

    Attributes
    ----------
    sale : Sale
    price : float
        What the other piece would bring by it. [money]
    far : float
        How unlike the two are: 0 the same, in standard deviations of ln price. [-]
    """

    sale: Sale
    price: float
    far: float


@dataclass(frozen=True, slots=True)
class ByUse:
    """What pieces of one use brought.

    Attributes
    ----------
    use : str
    count : int
    piece : tuple of float
        Price a piece at 10, 50 and 90 % of the sales. [money]
    per_board_foot : tuple of float
        Likewise. [money/bf]
    """

    use: str
    count: int
    piece: tuple[float, float, float]
    per_board_foot: tuple[float, float, float]


def like(sales: Sequence[Sale], piece: Piece) -> list[Sale]:
    """Paid prices of the same species, thick within half again, green or dried as the piece is."""
    return [
        sale
        for sale in sales
        if not sale.asked
        and sale.piece.species == piece.species
        and (sale.piece.dried is Dried.GREEN) == (piece.dried is Dried.GREEN)
        and max(sale.piece.thickness, piece.thickness)
        <= _THICKNESS * min(sale.piece.thickness, piece.thickness) * (1 + 1e-9)
    ]


def carried(sales: Sequence[Sale], piece: Piece) -> list[Carried]:
    """Carry sales over to `piece`: per board foot, by customary premiums; the likest first.

    Notes
    -----
    By custom alone, since so few sales cannot tell a premium: price x (bf/bf) x (factor/factor).
    """
    factor = customary_factor(piece)
    found = []
    for sale in sales:
        theirs = customary_factor(sale.piece)
        price = sale.per_board_foot * piece.board_feet * factor / theirs
        far = math.sqrt(sum((p.doubt * (p.amount(sale.piece) - p.amount(piece))) ** 2 for p in PREMIUMS))
        found.append(Carried(sale, price, far))
    return sorted(found, key=lambda c: (c.far, c.sale.name))


def by_use(sales: Sequence[Sale]) -> list[ByUse]:
    """Paid prices by use, a piece and per board foot; sales without a use are left out."""
    found = []
    for use in sorted({sale.piece.use for sale in sales} - {""}):
        these = [sale for sale in sales if sale.piece.use == use and not sale.asked]
        if these:
            found.append(
                ByUse(
                    use,
                    len(these),
                    _quantiles([sale.price for sale in these]),
                    _quantiles([sale.per_board_foot for sale in these]),
                )
            )
    return found


def _quantiles(values: Sequence[float]) -> tuple[float, float, float]:
    low, mid, high = np.quantile(values, (0.1, 0.5, 0.9))
    return float(low), float(mid), float(high)

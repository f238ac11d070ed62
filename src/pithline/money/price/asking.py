"""A suggested asking price, its range, and the reasons line by line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pithline.errors import BadValue
from pithline.money.price.fit import NINE_IN_TEN, SCATTER, Fit, fit_prices
from pithline.money.price.like_sales import ENOUGH, Carried, carried, like
from pithline.money.price.piece import Piece, Sale
from pithline.money.price.premiums import PREMIUMS, customary_factor

__all__ = ["BASES", "ROOM", "Asking", "Line", "asking", "built_up", "shop_price"]

# Room to be beaten down; a guess, common practice, no source.
ROOM = 0.05
# With nothing but a rate and custom, prices scatter by about half; a guess.
_CUSTOM_SPREAD = 1.5
# Shown under ten like sales.
_SHOWN = 9

BASES = {
    "fit": "a fit to known sales",
    "sales": f"under {ENOUGH} like sales: these sales, carried over by custom; not a fit",
    "rate": "your own rate and customary premiums; no like sale",
}


@dataclass(frozen=True, slots=True)
class Line:
    """One step of the build-up: what it is, its factor (or rate, first), and the running price per bf."""

    words: str
    factor: float
    running: float


@dataclass(frozen=True, slots=True)
class Asking:
    """What may be asked for one piece.

    Attributes
    ----------
    basis : str
        Key of `BASES`.
    brings : tuple of float
        What a sale brings at 10, 50 and 90 %. [money]
    price : float
        Suggested: the middle with room to be beaten down, at least the floor, as a shop price. [money]
    at_floor : bool
        The floor decided.
    lines : tuple of Line
        Per board foot; empty where like sales are shown instead.
    shown : tuple of Carried
        Like sales under ten, the likest first.
    fit : Fit or None
    like : int
        Like sales there are.
    """

    basis: str
    brings: tuple[float, float, float]
    price: float
    at_floor: bool
    lines: tuple[Line, ...]
    shown: tuple[Carried, ...]
    fit: Fit | None
    like: int


def built_up(board_feet: float, base: float, factors: Sequence[float]) -> float:
    """Price by the trade's build-up: board feet x base rate x every factor. [money]

    >>> round(built_up(40, 7.00, [1.30, 1.20, 1.50, 1.10, 1.00, 0.90]), 3)
    648.648
    """
    return board_feet * base * math.prod(factors)


def shop_price(price: float) -> float:
    """Round to what stands on a price tag: 5 up to 200, 10 up to 1000, 50 above. [money]"""
    step = 5 if price < 200 else 10 if price < 1000 else 50
    return float(step * math.floor(price / step + 0.5))


def asking(
    piece: Piece,
    sales: Sequence[Sale],
    rate: float | None = None,
    floor: float = 0.0,
    room: float = ROOM,
    fitted: Fit | None = None,
) -> Asking:
    """Suggest a price for one piece.

    Parameters
    ----------
    piece : Piece
    sales : sequence of Sale
        Own sales and comparables, of any piece.
    rate : float, optional
        The user's own rate of a plain green 1 in board, for when no like piece was sold. [money/bf]
    floor : float
        Never ask less. [money]
    room : float
        To be beaten down. [fraction]
    fitted : Fit, optional
        Of these sales, for who prices many pieces by them; made here where left out.

    Returns
    -------
    Asking

    Raises
    ------
    BadValue
        No like sale and no rate, a rate of 0, a negative floor or room.

    Notes
    -----
    Ten like sales or more: the fit to all sales. Fewer: those sales carried over by
    customary premiums: their median and whole span, but never a span narrower than a
    scatter of a fifth and the doubt in those premiums make it. None: rate x customary premiums,
    with a factor of 1.5 to either side, a guess.
    """
    if not 0 <= floor < math.inf:
        raise BadValue("floor", floor, "zero or more")
    if not 0 <= room < 5:
        raise BadValue("room", f"{room:.0%}", "from 0 % to 500 %")
    if rate is not None and not 0 < rate < math.inf:
        raise BadValue("rate", rate, "more than 0", "Say what a plain green board brings.")
    near = like(sales, piece)
    lines: tuple[Line, ...] = ()
    shown: tuple[Carried, ...] = ()
    fit = None
    if len(near) >= ENOUGH:
        fit = fitted or fit_prices(sales)
        per = fit.expected(piece)
        brings = (per[0] * piece.board_feet, per[1] * piece.board_feet, per[2] * piece.board_feet)
        lines, basis = _running(fit.lines(piece)), "fit"
    elif near:
        shown = tuple(carried(near, piece))
        brings = _span(shown)
        basis = "sales"
    elif rate is not None:
        mid = piece.board_feet * rate * customary_factor(piece)
        brings = (mid / _CUSTOM_SPREAD, mid, mid * _CUSTOM_SPREAD)
        steps = [("your rate of a plain green 1 in board, per bf", rate)]
        steps += [(p.words, math.exp(p.custom * p.amount(piece))) for p in PREMIUMS if p.amount(piece) != 0]
        lines, basis = _running(steps), "rate"
    else:
        raise BadValue(
            "like sales",
            "none",
            "one or more, or a rate given",
            "Note a comparable with its source and date, or say what a plain green board brings.",
        )
    wanted = brings[1] * (1 + room)
    price = shop_price(max(wanted, floor))
    if price < floor:  # rounded down past it
        price = float(math.ceil(floor))
    return Asking(basis, brings, price, floor > wanted, lines, shown[:_SHOWN], fit, len(near))


def _span(shown: Sequence[Carried]) -> tuple[float, float, float]:
    """Lowest, middle and highest of sales carried over; three that agree by luck are not sure."""
    prices = [each.price for each in shown]
    mid = float(np.median(prices))
    unlike = float(np.median([each.far for each in shown]))
    wide = math.exp(NINE_IN_TEN * math.sqrt(SCATTER**2 * (1 + 1 / len(prices)) + unlike**2))
    return min(*prices, mid / wide), mid, max(*prices, mid * wide)


def _running(steps: Sequence[tuple[str, float]]) -> tuple[Line, ...]:
    lines, running = [], 1.0
    for words, factor in steps:
        running *= factor
        lines.append(Line(words, factor, running))
    return tuple(lines)

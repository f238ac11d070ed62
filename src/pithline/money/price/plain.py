"""The same slab as plain square-edged lumber: ripped exactly where its widths are known, else a guess."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from pithline.errors import BadValue
from pithline.money.market_boards import market_boards
from pithline.money.price.piece import Piece
from pithline.saw.rip.boards import Along
from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyUnit
from pithline.units import BOARD_FOOT, show_length

__all__ = ["LEFT", "How", "Plain", "by_share", "ripped"]

LEFT = (0.55, 0.70, 0.80)
"""Of a slab's tally that edging and ripping leave, at 10, 50 and 90 %: a guess, no source. [fraction]"""

# One slab can be ripped finer than the thousands that a log is planned from.
_STEP = 0.001


class How(StrEnum):
    """How the boards were found."""

    RIPPED = "ripped"
    SAID = "as you say"
    GUESS = "a guess"


@dataclass(frozen=True, slots=True)
class Plain:
    """A slab as plain lumber.

    Attributes
    ----------
    price : float
        [money]
    rate : float
        [money/bf]
    share : float
        Of the slab's tally that is left in square-edged boards. [fraction]
    spread : tuple of float
        What it brings at 10 and 90 %; both the price where the boards are known. [money]
    boards : tuple of (width, length)
        From the left; () where the share is a guess. [m]
    how : How
    """

    price: float
    rate: float
    share: float
    spread: tuple[float, float]
    boards: tuple[tuple[float, float], ...]
    how: How

    @property
    def board_feet(self) -> float:
        """[bf]"""
        return self.price / self.rate if self.rate > 0 else 0.0


def by_share(piece: Piece, rate: float, share: float | None = None) -> Plain:
    """A guess, for a slab of which only a mean width is known.

    Parameters
    ----------
    piece : Piece
    rate : float
        Of square-edged lumber of that species, thickness and dryness. [money/bf]
    share : float, optional
        Of the slab's tally that edging leaves, where the user says so; else `LEFT`. [fraction]

    Raises
    ------
    BadValue
        A share of 0 or above 1, a rate below 0.
    """
    if share is not None and not 0 < share <= 1:
        raise BadValue("share left by edging", f"{share:.0%}", "above 0 % and at most 100 %")
    _check(rate)
    low, mid, high = LEFT if share is None else (share, share, share)
    whole = piece.board_feet * rate
    how = How.GUESS if share is None else How.SAID
    return Plain(whole * mid, rate, mid, (whole * low, whole * high), (), how)


def ripped(piece: Piece, outline: SlabOutline, rate: float) -> Plain:
    """The slab ripped into the boards that bring most.

    Parameters
    ----------
    piece : Piece
        Its thickness is what the boards are sold by.
    outline : SlabOutline
        Both faces; widths as measured.
    rate : float
        Of square-edged lumber of that species, thickness and dryness. [money/bf]

    Returns
    -------
    Plain
        Worth 0 where not one board fits.

    Raises
    ------
    BadValue
        A rate below 0, or an outline of another length than the piece.

    Notes
    -----
    `saw.rip`: boards of `market_boards`, parallel to the pith (the middle line of what was taped) or to
    either edge, whichever brings most; no wane on either face. Exact for straight edges from one measured
    place to the next. Checks, rot and knots are not in it, nor the hours of edging.
    """
    _check(rate)
    long = float(outline.z[-1] - outline.z[0])
    if abs(long - piece.length) > max(0.05, 0.05 * piece.length):
        raise BadValue(
            "outline",
            f"{show_length(long, kind='long')} long",
            f"as long as the piece, {show_length(piece.length, kind='long')}",
            "Measure the widths anew.",
        )
    from pithline.saw.rip.lone import rip_lone

    # At a rate of 1 the best boards are those with most board feet, whatever a board foot brings.
    boards = replace(market_boards(1.0, TallyUnit.BF_SAWN), along=Along.BEST, step=_STEP)
    rip = rip_lone(outline, boards, piece.thickness)
    feet = sum(board.width * board.length for board in rip.boards) * piece.thickness / BOARD_FOOT
    price = feet * rate
    cut = tuple((board.width, board.length) for board in rip.boards)
    return Plain(price, rate, feet / piece.board_feet, (price, price), cut, How.RIPPED)


def _check(rate: float) -> None:
    if not 0 <= rate < math.inf:
        raise BadValue("lumber rate", rate, "zero or more")

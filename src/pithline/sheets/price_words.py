"""A suggested price as page and paper say it: the reasons line by line, or the like sales."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pithline.money.amount import show_money
from pithline.money.price.asking import BASES
from pithline.units import System, show_length

if TYPE_CHECKING:
    from pithline.money.price.asking import Asking
    from pithline.money.price.piece import Piece
    from pithline.money.price.plain import Plain

__all__ = ["ADVICE", "Lines", "priced_lines"]

ADVICE = "A price is your own decision; nothing here foresees a buyer. No tax, legal or investment advice."


@dataclass(frozen=True, slots=True)
class Lines:
    """A price in words.

    Attributes
    ----------
    ask, per_foot, low, mid, high : str
    basis : str
    reasons : tuple of (factor, words, running price)
    sales : tuple of (day, name, paid, carried over)
    plain, times : str
        As plain lumber, and how many times that is asked.
    at_floor : bool
    """

    ask: str
    per_foot: str
    low: str
    mid: str
    high: str
    basis: str
    reasons: tuple[tuple[str, str, str], ...]
    sales: tuple[tuple[str, str, str, str], ...]
    plain: str
    times: str
    at_floor: bool


def priced_lines(
    piece: Piece, asking: Asking | None, plain: Plain | None, code: str, system: System, pending: bool = False
) -> Lines | None:
    """Word a suggestion; None where there is none.

    Parameters
    ----------
    piece : Piece
    asking : Asking or None
    plain : Plain or None
        The same slab as plain lumber.
    code : str
        Of the currency.
    system : {"metric", "inch"}
    pending : bool
        Its boards are not worked out yet, though its outline is known.
    """
    if asking is None:
        return None
    feet = piece.board_feet
    low, mid, high = (show_money(each, code) for each in asking.brings)
    return Lines(
        ask=show_money(asking.price, code),
        per_foot=f"{asking.price / feet:.2f} {code} a board foot ({feet:.1f} bf)",
        low=low,
        mid=mid,
        high=high,
        basis=f"by {BASES[asking.basis]} ({asking.like} like it)",
        reasons=tuple(
            (f"{line.factor:.2f}" if n == 0 else f"× {line.factor:.3f}", line.words, f"{line.running:.2f}")
            for n, line in enumerate(asking.lines)
        ),
        sales=tuple(
            (
                each.sale.day.isoformat(),
                each.sale.name + (f", {each.sale.source}" if each.sale.source else ""),
                show_money(each.sale.price, code),
                show_money(each.price, code),
            )
            for each in asking.shown
        ),
        plain=_plain(plain, pending, code, system),
        times="" if plain is None or plain.price <= 0 else f"{asking.price / plain.price:.1f}",
        at_floor=asking.at_floor,
    )


def _plain(plain: Plain | None, pending: bool, code: str, system: System) -> str:
    from pithline.money.price.plain import LEFT, How

    if plain is None:
        return ""
    share, rate = f"{plain.share * 100:.0f} % of the tally", f"at {plain.rate:.2f} per bf"
    if plain.how is How.RIPPED:
        count = len(plain.boards)
        wide = " + ".join(show_length(width, system) for width, _ in plain.boards)
        boards = f"{count} board{'s' * (count != 1)}, {wide} wide" if count else "no board of 3 in by 4 ft"
        left = f"{plain.board_feet:.0f} bf, {share}, {rate}"
        return f"{show_money(plain.price, code)}, ripped into {boards}: {left}"
    low, high = (show_money(each, code) for each in plain.spread)
    why = (
        "its boards are still being worked out, load the page again"
        if pending
        else "its widths are not known"
    )
    span = f"{LEFT[0] * 100:.0f} to {LEFT[2] * 100:.0f} %"
    return f"{show_money(plain.price, code)}, {low} to {high}: {share} {rate} ({span}, a guess: {why})"

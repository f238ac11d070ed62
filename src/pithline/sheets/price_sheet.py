"""One slab's price on paper, for the seller: what it cost, what to ask, how long to wait, as a PDF."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import TYPE_CHECKING

from pithline.sheets.cost_words import NEVER_BELOW
from pithline.sheets.one_page import one_page
from pithline.sheets.price_words import ADVICE

if TYPE_CHECKING:
    from pithline.sheets.cost_words import CostRow
    from pithline.sheets.price_words import Lines

__all__ = ["FOR_THE_SELLER", "Hold", "PriceSheet", "price_sheet"]

FOR_THE_SELLER = "For the seller's eyes: keep it from buyers."
_SALES, _REASONS = 5, 12  # lines of each at most
_OFFERS = 3  # lines to note offers on


@dataclass(frozen=True, slots=True)
class Hold:
    """How long it may wait, in words.

    Attributes
    ----------
    rows : tuple of (name, words)
    tags : tuple of (day, 10 %, ask, 90 %)
        Prices to hang up till the day it should be gone.
    by : str
        That day.
    told : tuple of str
        What it was learned from, and what else is said of it.
    """

    rows: tuple[tuple[str, str], ...]
    tags: tuple[tuple[str, str, str, str], ...] = ()
    by: str = ""
    told: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PriceSheet:
    """Everything on the paper; what nobody knows is left out.

    Attributes
    ----------
    title : str
        Names the slab.
    facts : tuple of (name, words)
        Size, moisture, state.
    drawing : str
        Its outline as SVG, or "".
    cost : tuple of CostRow
    cost_told : tuple of str
        Remarks about it.
    lines : Lines or None
        The price; None where none can be suggested.
    whence : str
        Where the rate of plain lumber is from.
    price_told : tuple of str
        What else is said of the price, or why there is none.
    hold : Hold or None
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    drawing: str = ""
    cost: tuple[CostRow, ...] = ()
    cost_told: tuple[str, ...] = ()
    lines: Lines | None = None
    whence: str = ""
    price_told: tuple[str, ...] = field(default=())
    hold: Hold | None = None


def price_sheet(sheet: PriceSheet, code: str, paper: str = "a4", dated: str = "") -> bytes:
    """Lay a slab's price out.

    Parameters
    ----------
    sheet : PriceSheet
    code : str
        Of the currency.
    paper : {"a4", "us-letter"}
    dated : str
        For the right-hand end of the title line.

    Returns
    -------
    bytes
        A PDF of one page.
    """
    lines, hold = sheet.lines, sheet.hold
    content = {
        "title": sheet.title,
        "dated": dated,
        "paper": paper,
        "seller": FOR_THE_SELLER,
        "facts": [list(pair) for pair in sheet.facts],
        "drawing": sheet.drawing,
        "cost": [asdict(row) for row in sheet.cost],
        "cost_told": [*sheet.cost_told, *((NEVER_BELOW,) if sheet.cost else ())],
        "ask": _asked(lines) if lines else "",
        "brings": _brings(lines) if lines else "",
        "plain": _plain(lines, sheet.whence) if lines and lines.plain else "",
        "code": code,
        "reasons": [list(row) for row in lines.reasons[:_REASONS]] if lines else [],
        "sales": [list(row) for row in lines.sales[:_SALES]] if lines and not lines.reasons else [],
        "price_told": list(sheet.price_told),
        "hold": [list(row) for row in hold.rows] if hold else [],
        "tags": [list(row) for row in hold.tags] if hold else [],
        "by": hold.by if hold else "",
        "hold_told": list(hold.told) if hold else [],
        "offers": _OFFERS,
        "advice": ADVICE,
    }
    return one_page("price_sheet.typ", lambda _: content)


def _asked(lines: Lines) -> str:
    return f"Ask {lines.ask}" + (" (its floor)" if lines.at_floor else "")


def _brings(lines: Lines) -> str:
    return (
        f"{lines.per_foot}. A sale brings {lines.mid}, {lines.low} to {lines.high}; {lines.basis}. "
        "Room to be beaten down is in the asking price."
    )


def _plain(lines: Lines, whence: str) -> str:
    times = f" The asking price is {lines.times} times that." if lines.times else ""
    return f"As plain lumber {lines.plain}" + (f" ({whence})" if whence else "") + f".{times}"

"""One slab reckoned for its page: price and cost, by what the form on the page says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pithline.errors import BadValue
from pithline.units import BOARD_FOOT
from pithline.web.clock import today
from pithline.web.money.asked_shown import priced_lines
from pithline.web.money.known_prices import Known, known_prices
from pithline.web.money.overhead import GLUED, overhead_now
from pithline.web.money.slab_sum import priced, slab_sum, sold_as
from pithline.yard.actions.selling import how_dry
from pithline.yard.cost_facts import usual_costs
from pithline.yard.models import Slab
from pithline.yard.preferences import setting
from pithline.yard.sizing import outline_of

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.money.price.piece import Piece
    from pithline.web.money.asked_shown import Lines
    from pithline.web.money.slab_sum import Priced, SlabSum

__all__ = ["View", "rate_said", "reckoned"]


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """One slab reckoned: `sum` and `overhead` are None where nobody said what an hour costs."""

    piece: Piece
    is_now: bool
    prices: Known
    priced: Priced
    lines: Lines | None
    costs: Costs | None = None
    sum: SlabSum | None = None
    overhead: float | None = None
    overhead_key: str = ""


def reckoned(found: Slab, said: dict[str, Any]) -> View:
    """Price and cost of a slab; `said` holds code, rate and dried.

    Raises
    ------
    BadValue
        It was not measured, or the rate cannot be meant.
    """
    day, code, system = today(), said["code"], setting("system")
    prices = known_prices(day)
    rate = rate_said(said["rate"], code)
    piece = sold_as(found, said["dried"])
    outline = next((outline_of(size) for size in found.sizes.filter(current=True)), None)
    first = priced(piece, prices, rate, outline=outline)
    is_now = piece.dried.value == how_dry(found)
    written = usual_costs()
    if written is None:
        return View(piece, is_now, prices, first, priced_lines(first, code, system))
    costs = written.value
    brings = first.asking.brings[1] if first.asking else None
    plain = first.plain.price if first.plain else None
    made = slab_sum(found, costs, prices, day, setting("share_cost_by"), brings, plain)
    floored = priced(piece, prices, rate, made.made.floor, outline) if first.asking else first
    overhead = overhead_now(costs, prices, day)
    return View(
        piece,
        is_now,
        prices,
        floored,
        priced_lines(floored, code, system),
        costs,
        made,
        overhead.of(str(found.log) if found.log else GLUED),
        overhead.key,
    )


def rate_said(text: str, code: str) -> float | None:
    """A rate as typed on the page, a board foot; None where nothing was. [money/bf]"""
    from pithline.saw.written.price import price

    if not text.strip():
        return None
    its = price(text.strip(), "rate", ("m3", "bf", "ft3"), 'Write "4 per bf".')
    if its.currency and code and its.currency != code:
        raise BadValue("rate", text, f"in {code}, the currency of this book")
    return its.amount * BOARD_FOOT

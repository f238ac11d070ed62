"""One slab reckoned for its page: price and cost, by what the form on the page says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pithline.sheets.cost_words import cost_rows
from pithline.sheets.price_words import priced_lines
from pithline.web.clock import today
from pithline.web.money.known_prices import Known, known_prices
from pithline.web.money.overhead import GLUED, overhead_now
from pithline.web.money.slab_asked import SlabAsked
from pithline.web.money.slab_sum import priced, slab_sum, sold_as
from pithline.web.money.thickness_argued import thickness_argued
from pithline.yard.actions.selling import how_dry
from pithline.yard.cost_facts import usual_costs
from pithline.yard.models import Slab
from pithline.yard.preferences import setting
from pithline.yard.sizing import outline_of

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.money.price.piece import Piece
    from pithline.sheets.cost_words import CostRow
    from pithline.sheets.price_words import Lines
    from pithline.units import System
    from pithline.web.money.slab_sum import Priced, SlabSum

__all__ = ["View", "reckoned"]


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """One slab reckoned: `sum` is None, and `cost` empty, where nobody said what an hour costs."""

    piece: Piece
    is_now: bool
    prices: Known
    priced: Priced
    lines: Lines | None
    costs: Costs | None = None
    sum: SlabSum | None = None
    cost: tuple[CostRow, ...] = ()
    argued: str = ""


def reckoned(found: Slab, asked: SlabAsked, code: str) -> View:
    """Price and cost of a slab, by the form and in the book's currency.

    Raises
    ------
    BadValue
        It was not measured.
    """
    day, system = today(), setting("system")
    prices = known_prices(day)
    piece = sold_as(found, asked.dried)
    outline = next((outline_of(size) for size in found.sizes.filter(current=True)), None)
    first = priced(piece, prices, asked.rate, outline=outline)
    is_now = piece.dried.value == how_dry(found)
    written = usual_costs()
    if written is None:
        return View(piece, is_now, prices, first, _lines(first, code, system))
    costs = written.value
    brings = first.asking.brings[1] if first.asking else None
    plain = first.plain.price if first.plain else None
    made = slab_sum(found, costs, prices, day, setting("share_cost_by"), brings, plain)
    floored = priced(piece, prices, asked.rate, made.made.floor, outline) if first.asking else first
    overhead = overhead_now(costs, prices, day)
    return View(
        piece,
        is_now,
        prices,
        floored,
        _lines(floored, code, system),
        costs,
        made,
        cost_rows(made.made, code, overhead.of(str(found.log) if found.log else GLUED), overhead.key),
        thickness_argued(piece, floored.asking, costs),
    )


def _lines(priced: Priced, code: str, system: System) -> Lines | None:
    return priced_lines(priced.piece, priced.asking, priced.plain, code, system, priced.pending)

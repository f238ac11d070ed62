"""How long one slab may wait, in the words of its page."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pithline.errors import BadValue
from pithline.money.price.piece import Dried as Dry
from pithline.sheets.hold_words import (
    green_row,
    hold_rows,
    learned_from,
    limit_rows,
    offer_row,
    other_use_row,
    pair_row,
    said_day,
)
from pithline.web.clock import today
from pithline.web.money.slab_sum import priced
from pithline.web.money.slab_view import View
from pithline.web.money.till_dry import till_dry
from pithline.web.money.waiting import Choice, Held, green_first, held, terms_of
from pithline.web.rack.piece import partners
from pithline.yard.cost_facts import major
from pithline.yard.models import Offer, Slab
from pithline.yard.money import shown

if TYPE_CHECKING:
    from pithline.money.hold.posted import Terms

__all__ = ["waiting_of"]


def waiting_of(found: Slab, known: dict[str, Any]) -> dict[str, Any]:
    """How long it may wait: what the page shows after the rest, as it takes longer."""
    view: View | None = known.get("view")
    if view is None or view.priced.asking is None or view.costs is None or view.sum is None:
        return {}
    day, brings = today(), view.priced.asking.brings[1]
    asked = major(found.asking_minor) if found.asking_minor else None
    terms = terms_of(view.costs, view.sum.volume, brings)
    try:
        made = held(
            view.prices.learned,
            brings,
            terms,
            day,
            known["asked_by"].by,
            known["code"],
            asked=asked,
            cost=view.sum.made.so_far,
            salvage=view.sum.made.other_use[1],
            paired=bool(partners(found)),
        )
        choice = _choice(found, view, terms, known["asked_by"].rate, day)
    except BadValue as wrong:
        return {"problem": str(wrong)}
    code, until = known["code"], f"by {said_day(made.by)}"
    return {
        "held": made,
        "rows": [
            *hold_rows(made.best, made.looked, until, code, asked is not None),
            *limit_rows(made.loses, made.least, made.best.worth + terms.at_sale, code),
            *other_use_row(view.sum.made.other_use, made.best.worth, code),
            *(_in_hand(one, made, terms, code) for one in found.offers.filter(answer="open")),
            *((_choosing(choice, code),) if choice else ()),
            *(() if made.apart is None else (pair_row(made.apart),)),
        ],
        "learned_from": learned_from(view.prices.learned),
    }


def _choice(found: Slab, view: View, terms: Terms, rate: float | None, day: datetime.date) -> Choice | None:
    """Green now or dry first, for wood that is not dry yet and whose price green is known, too."""
    if found.state not in (Slab.State.GREEN, Slab.State.DRYING) or view.priced.asking is None:
        return None
    states = [replace(view.piece, dried=dried, flattened=False) for dried in (Dry.GREEN, Dry.AIR)]
    green, dry = (priced(each, view.prices, rate).asking for each in states)
    # A price by sales beside one by a rate would compare two guesses, not two states.
    if green is None or dry is None or green.basis != dry.basis:
        return None
    return green_first(view.prices.learned, green.brings[1], dry.brings[1], terms, till_dry(found, day))


def _in_hand(offer: Offer, held: Held, terms: Terms, code: str) -> tuple[str, str]:
    """An offer beside what waiting brings: for buyers at a posted price, and for those who name a limit."""
    amount = major(offer.amount_minor)
    net = amount - terms.at_sale
    passes = "yes" if amount >= held.least[2] else "no" if amount < held.least[0] else "perhaps"
    what = shown(offer.amount_minor, code)
    what += f" from {offer.contact}" if offer.contact else ""
    what += f", until {said_day(offer.good_until)}" if offer.good_until else ""
    return offer_row(what, net, net >= held.best.worth, passes, code)


def _choosing(choice: Choice, code: str) -> tuple[str, str]:
    low, mid, high = choice.till.months
    rests = (
        f"{choice.till.told}; a year an inch, as people say, would leave {choice.till.folk:.0f}"
        if choice.till.forecast
        else "a year an inch, as people say (common practice, no source), as there is no forecast: "
        f"{choice.till.told}"
    )
    till = f"{mid:.0f} months till dry ({low:.0f} to {high:.0f}): {rests}"
    return green_row(choice.green, choice.dry, choice.longest[1], till, code)

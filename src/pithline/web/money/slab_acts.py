"""What can be done with a slab that is for sale: listing, offers, the sale; each with its form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from pithline.errors import BadValue
from pithline.web.clock import today
from pithline.web.forms import Form, form_of
from pithline.web.money.known_prices import known_prices
from pithline.web.money.slab_sum import priced, sold_as
from pithline.web.names import contacts
from pithline.yard.actions.slabs import GONE
from pithline.yard.models import Slab
from pithline.yard.money import currency, shown

__all__ = ["ACTS", "Act", "acts_of", "form_for"]


@dataclass(frozen=True, slots=True)
class Act:
    """One thing to do with a slab that is for sale."""

    kind: str
    title: str
    button: str


ACTS = (
    Act("list_slab", "Put it up for sale, or change its price", "It is up for sale at this price"),
    Act("withdraw_slab", "Take it off sale", "It is off sale"),
    Act("note_offer", "Note an offer", "Keep this offer"),
    Act("answer_offer", "Answer an offer", "Keep this answer"),
    Act("sell_slab", "It is sold", "It is sold"),
)


def acts_of(found: Slab) -> list[Act]:
    """Of all `ACTS` those that make sense now."""
    if found.state in GONE:
        return []
    listed = found.listings.filter(ends_on=None).exists()
    offered = found.offers.filter(answer="open").exists()
    left_out = {*(() if listed else ("withdraw_slab",)), *(() if offered else ("answer_offer",))}
    return [act for act in ACTS if act.kind not in left_out]


def form_for(found: Slab, kind: str) -> Form | None:
    """The form of one of them, filled in as far as the book can; None where it makes no sense now."""
    act = next((one for one in acts_of(found) if one.kind == kind), None)
    if act is None:
        return None
    said: dict[str, Any] = {}
    fixed: dict[str, Any] = {"slab": found.label}
    listing = found.listings.filter(ends_on=None).first()
    open_offer = found.offers.filter(answer="open").first()
    if kind == "answer_offer":
        fixed = {"offer": str(open_offer.pk)}
    elif kind == "sell_slab" and open_offer:
        said = {"price": shown(open_offer.amount_minor), "buyer": str(open_offer.contact or "")}
    elif kind == "list_slab" and listing:
        said = {"where": listing.where}
        if listing.reference_minor:
            said["reference"] = shown(listing.reference_minor)
    elif kind == "list_slab":
        said = _suggested(found)
    return form_of(
        kind,
        reverse("money:do", args=[found.label, kind]),
        button=act.button,
        fixed=fixed,
        said=said,
        offers={"contact": contacts(), "buyer": contacts()},
    )


def _suggested(found: Slab) -> dict[str, Any]:
    """A first price and its reference, where the book knows any."""
    try:
        made = priced(sold_as(found), known_prices(today()))
    except BadValue:
        return {}
    if made.asking is None:
        return {}
    code = currency()
    price, brings = f"{made.asking.price:.0f} {code}", f"{made.asking.brings[1]:.0f} {code}"
    return {"asking": price, "reference": brings}

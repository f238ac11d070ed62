"""What to ask for one slab: its price with reasons, its cost, how long to wait; listing, offers, sale."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.errors import BadValue
from pithline.money.months import DAYS_A_MONTH
from pithline.money.price.piece import Dried as Dry
from pithline.units import BOARD_FOOT
from pithline.web.clock import today
from pithline.web.forms import Form, form_of, submit
from pithline.web.money.asked_shown import priced_lines
from pithline.web.money.known_prices import Known, known_prices
from pithline.web.money.overhead import GLUED, overhead_now
from pithline.web.money.slab_sum import priced, slab_sum, sold_as
from pithline.web.money.waiting import Choice, Held, green_first, held, terms_of
from pithline.web.names import contacts
from pithline.web.rack.piece import find, partners
from pithline.yard.actions.selling import how_dry
from pithline.yard.actions.slabs import GONE
from pithline.yard.cost_facts import major, usual_costs
from pithline.yard.models import Dried, Offer, Slab
from pithline.yard.money import currency, shown
from pithline.yard.preferences import setting

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.money.hold.posted import Terms
    from pithline.money.price.piece import Piece
    from pithline.web.money.asked_shown import Lines
    from pithline.web.money.slab_sum import Priced, SlabSum

__all__ = ["ACTS", "do", "part", "slab", "waiting"]


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


@require_safe
def slab(request: HttpRequest, number: str) -> HttpResponse:
    """The whole page."""
    return _page(request, find(number))


@require_safe
def part(request: HttpRequest, number: str) -> HttpResponse:
    """The same for the slab's own page: a part that comes after it."""
    found = find(number)
    return render(request, "money/_ask.html", _known(request, found) | {"within": True})


@require_safe
def waiting(request: HttpRequest, number: str) -> HttpResponse:
    """How long it may wait, which the page asks for when the rest of it stands."""
    found = find(number)
    known = _known(request, found)
    known |= _waiting(found, known)
    return render(request, "money/_waiting.html" if request.htmx else "money/waiting.html", known)


@require_http_methods(["GET", "HEAD", "POST"])
def do(request: HttpRequest, number: str, kind: str) -> HttpResponse:
    """One entry about its sale."""
    found = find(number)
    form = _form(found, kind)
    if form is None:
        raise Http404("There is no such thing to do with this slab.")
    if request.method != "POST":
        if request.htmx:
            return render(request, "form/entry.html", {"form": form})
        return _page(request, found, form)
    return submit(
        request,
        form,
        lambda r, f, status: _page(r, found, f, status),
        reverse("money:slab", args=[found.label]),
        f"It is written down for slab {found.label}.",
    )


def _page(request: HttpRequest, found: Slab, form: Form | None = None, status: int = 200) -> HttpResponse:
    return render(request, "money/slab.html", _known(request, found) | {"form": form}, status=status)


def _acts(found: Slab) -> list[Act]:
    if found.state in GONE:
        return []
    listed = found.listings.filter(ends_on=None).exists()
    offered = found.offers.filter(answer="open").exists()
    left_out = {*(() if listed else ("withdraw_slab",)), *(() if offered else ("answer_offer",))}
    return [act for act in ACTS if act.kind not in left_out]


def _form(found: Slab, kind: str) -> Form | None:
    act = next((one for one in _acts(found) if one.kind == kind), None)
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


def _known(request: HttpRequest, found: Slab) -> dict[str, Any]:
    """Price and cost, and what the form on the page says; `problem` where they cannot be reckoned."""
    asked = request.GET
    known: dict[str, Any] = {
        "slab": found,
        "tab": "",
        "code": currency(),
        "acts": _acts(found),
        "listings": found.listings.prefetch_related("asked"),
        "offers": found.offers.select_related("contact"),
        "sale": getattr(found, "sale", None),
        "gone": found.state in GONE,
        "by": asked.get("by", ""),
        "rate": asked.get("rate", ""),
        "dried": asked.get("dried", "") if asked.get("dried") in Dried.values else "",
        "all_dried": Dried.values,
        "words": asked.urlencode(),
    }
    if known["gone"]:
        return known
    try:
        known["view"] = _reckoned(found, known)
    except BadValue as wrong:
        known["problem"] = str(wrong)
    return known


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


def _reckoned(found: Slab, said: dict[str, Any]) -> View:
    day, code = today(), said["code"]
    prices = known_prices(day)
    rate = _rate(said["rate"], code)
    piece = sold_as(found, said["dried"])
    first = priced(piece, prices, rate)
    is_now = piece.dried.value == how_dry(found)
    written = usual_costs()
    if written is None:
        return View(piece, is_now, prices, first, priced_lines(first, code))
    costs = written.value
    brings = first.asking.brings[1] if first.asking else None
    plain = first.plain.price if first.plain else None
    made = slab_sum(found, costs, prices, day, setting("share_cost_by"), brings, plain)
    floored = priced(piece, prices, rate, made.made.floor) if first.asking else first
    overhead = overhead_now(costs, prices, day)
    return View(
        piece,
        is_now,
        prices,
        floored,
        priced_lines(floored, code),
        costs,
        made,
        overhead.of(str(found.log) if found.log else GLUED),
        overhead.key,
    )


def _waiting(found: Slab, known: dict[str, Any]) -> dict[str, Any]:
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
            _day(known["by"], day),
            known["code"],
            asked=asked,
            cost=view.sum.made.so_far,
            salvage=view.sum.made.other_use[1],
            paired=bool(partners(found)),
        )
        choice = _choice(found, view, terms, _rate(known["rate"], known["code"]), day)
    except BadValue as wrong:
        return {"problem": str(wrong)}
    low, mid, high = (f"{each * 100:.0f} %" for each in made.looked.by_then)
    return {
        "held": made,
        "asked": asked,
        "learned": view.prices.learned,
        "chance": f"{mid} ({low} to {high})",
        "in_hand": [_in_hand(one, made, terms) for one in found.offers.filter(answer="open")],
        "choice": choice,
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
    gone = (day - found.sawn_on).days / DAYS_A_MONTH if found.sawn_on and found.sawn_on < day else 0.0
    return green_first(view.prices.learned, green.brings[1], dry.brings[1], terms, view.piece.thickness, gone)


def _in_hand(offer: Offer, held: Held, terms: Terms) -> dict[str, Any]:
    """An offer beside what waiting brings: for buyers at a posted price, and for those who name a limit."""
    amount = major(offer.amount_minor)
    net = amount - terms.at_sale
    return {
        "offer": offer,
        "net": net,
        "more": net >= held.best.worth,
        "passes": "yes" if amount >= held.least[2] else "no" if amount < held.least[0] else "perhaps",
    }


def _rate(text: str, code: str) -> float | None:
    from pithline.saw.written.price import price

    if not text.strip():
        return None
    its = price(text.strip(), "rate", ("m3", "bf", "ft3"), 'Write "4 per bf".')
    if its.currency and code and its.currency != code:
        raise BadValue("rate", text, f"in {code}, the currency of this book")
    return its.amount * BOARD_FOOT


def _day(text: str, day: datetime.date) -> datetime.date:
    if not text.strip():
        return day + datetime.timedelta(days=365)
    try:
        return datetime.date.fromisoformat(text.strip())
    except ValueError:
        raise BadValue("by", text, "a day", 'Write "2026-05-01".') from None

"""What to ask for one slab: its price with reasons, its cost, how long to wait; listing, offers, sale."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.errors import BadValue
from pithline.units import BOARD_FOOT
from pithline.web.clock import today
from pithline.web.forms import Form, form_of, submit
from pithline.web.money.asked_shown import priced_lines
from pithline.web.money.known_prices import Known, known_prices
from pithline.web.money.overhead import overhead_now
from pithline.web.money.slab_sum import priced, slab_sum
from pithline.web.money.waiting import held, terms_of
from pithline.web.names import contacts
from pithline.web.rack.piece import find, partners
from pithline.yard.actions.slabs import GONE
from pithline.yard.cost_facts import major, usual_costs
from pithline.yard.models import Slab
from pithline.yard.money import currency, shown
from pithline.yard.preferences import setting

__all__ = ["ACTS", "do", "part", "slab"]


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
        made = priced(found, known_prices(today()))
    except BadValue:
        return {}
    if made.asking is None:
        return {}
    code = currency()
    price, brings = f"{made.asking.price:.0f} {code}", f"{made.asking.brings[1]:.0f} {code}"
    return {"asking": price, "reference": brings}


def _known(request: HttpRequest, found: Slab) -> dict[str, Any]:
    """Price, cost and waiting, each with its own refusal where it cannot be reckoned."""
    day, code = today(), currency()
    listings = found.listings.prefetch_related("asked")
    known: dict[str, Any] = {
        "slab": found,
        "tab": "",
        "code": code,
        "system": setting("system"),
        "acts": _acts(found),
        "listings": listings,
        "offers": found.offers.select_related("contact"),
        "sale": getattr(found, "sale", None),
        "gone": found.state in GONE,
        "by": request.GET.get("by", ""),
        "rate": request.GET.get("rate", ""),
        "problems": [],
    }
    if known["gone"]:
        return known
    prices = known_prices(day)
    known["remarks"] = prices.remarks
    try:
        known |= _reckoned(found, prices, day, code, known)
    except BadValue as wrong:
        known["problems"].append(str(wrong))
    return known


def _reckoned(
    found: Slab, prices: Known, day: datetime.date, code: str, said: dict[str, Any]
) -> dict[str, Any]:
    rate = _rate(said["rate"], code)
    first = priced(found, prices, rate)
    known: dict[str, Any] = {"priced": first, "lines": priced_lines(first, code)}
    written = usual_costs()
    if written is None:
        known["no_costs"] = True
        return known
    costs = written.value
    brings = first.asking.brings[1] if first.asking else None
    plain = first.plain.price if first.plain else None
    made = slab_sum(found, costs, prices, day, setting("share_cost_by"), brings, plain)
    overhead = overhead_now(costs, prices, day)
    known |= {
        "sum": made,
        "overhead": overhead.of(str(found.log) if found.log else "glued up"),
        "overhead_key": overhead.key,
    }
    if first.asking is None:
        return known
    floored = priced(found, prices, rate, made.made.floor)
    known |= {"priced": floored, "lines": priced_lines(floored, code)}
    asked = major(found.asking_minor) if found.asking_minor else None
    try:
        by = _day(said["by"], day)
        known["held"] = held(
            prices.learned,
            brings or 0.0,
            terms_of(costs, made.volume, brings or 0.0),
            day,
            by,
            code,
            asked=asked,
            cost=made.made.so_far,
            salvage=made.made.other_use[1],
            paired=bool(partners(found)),
        )
        known |= {"asked": asked, "learned": prices.learned, "odds": prices.odds}
    except BadValue as wrong:
        said["problems"].append(str(wrong))
    return known


def _rate(text: str, code: str) -> float | None:
    from pithline.saw.price import price

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

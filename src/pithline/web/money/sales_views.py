"""What is for sale since when, what was sold; prices seen elsewhere, and what premiums all that shows."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.db.models import Prefetch
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.money.price.like_sales import ENOUGH, by_use
from pithline.web.clock import today
from pithline.web.forms import Form, form_of, submit
from pithline.web.money.known_prices import known_prices
from pithline.web.names import woods
from pithline.yard.models import Asked, Comparable, Listing, LumberRate, Offer, Sale
from pithline.yard.money import currency
from pithline.yard.preferences import setting

__all__ = ["index", "note", "prices"]

_A_PAGE = 60
_NOTED = {
    "note_comparable": ("Note a price seen elsewhere", "Keep this price"),
    "note_lumber": ("Note what plain lumber sells at", "Keep this rate"),
}


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """Listings and sales."""
    tags = Prefetch("asked", Asked.objects.order_by("from_on"))
    up = (
        Listing.objects.filter(ends_on=None)
        .select_related("slab__log", "partner__log")
        .prefetch_related(tags)
    )
    day = today()
    known = {
        "tab": "sales",
        "up": [(one, (day - one.begins_on).days) for one in up],
        "ended": Listing.objects.exclude(ends_on=None)
        .select_related("slab__log")
        .prefetch_related(tags)
        .order_by("-ends_on")[:_A_PAGE],
        "offers": Offer.objects.filter(answer="open").select_related("slab__log", "contact"),
        "page": Paginator(
            Sale.objects.select_related("slab__log", "buyer").order_by("-sold_on", "-created_at"), _A_PAGE
        ).get_page(request.GET.get("page")),
        "currency": currency(),
        "today": day,
    }
    return render(request, "money/index.html", known)


@require_safe
def prices(request: HttpRequest) -> HttpResponse:
    """Comparables, lumber rates, premiums."""
    return _prices_page(request)


@require_http_methods(["GET", "HEAD", "POST"])
def note(request: HttpRequest, kind: str) -> HttpResponse:
    """A price seen elsewhere."""
    if kind not in _NOTED:
        raise Http404("There is no such price to note.")
    form = form_of(
        kind, reverse("money:note", args=[kind]), button=_NOTED[kind][1], offers={"species": woods()}
    )
    if request.method != "POST":
        if request.htmx:
            return render(request, "form/entry.html", {"form": form})
        return _prices_page(request, form)
    return submit(request, form, _prices_page, reverse("money:prices"), "The price is kept.")


def _prices_page(request: HttpRequest, form: Form | None = None, status: int = 200) -> HttpResponse:
    known_now = known_prices(today())
    code = currency()
    known: dict[str, Any] = {
        "tab": "prices",
        "form": form,
        "acts": [(kind, title) for kind, (title, _) in _NOTED.items()],
        "page": Paginator(Comparable.objects.order_by("-seen_on", "-created_at"), _A_PAGE).get_page(
            request.GET.get("page")
        ),
        "rates": LumberRate.objects.order_by("species", "thickness_m", "-seen_on")[:200],
        "fit": known_now.fit,
        "factors": known_now.fit.factors() if known_now.fit else (),
        "enough": ENOUGH,
        "sales": [] if known_now.fit else known_now.book.sales,
        "uses": by_use(known_now.book.sales),
        "remarks": known_now.remarks,
        "learned": known_now.learned,
        "code": code,
        "system": setting("system"),
    }
    return render(request, "money/prices.html", known, status=status)

"""Mills, aims, rates, kilns and costs: forms made from the same tables that a record file is read by."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from pithline.dry.kiln.written import KILN
from pithline.fields import Field, Quantity, Table
from pithline.money.cost import written as written_costs
from pithline.saw.written import aims as written_aims
from pithline.saw.written import mill as written_mill
from pithline.saw.written import rates as written_rates
from pithline.web.forms import Form, leave, sent_identity, submit, who
from pithline.web.inputs import Asking
from pithline.web.names import woods
from pithline.web.settings.wear import hours_form, part_form, parts_of
from pithline.yard.ids import new_id
from pithline.yard.kinds import perform
from pithline.yard.models import Profile

__all__ = ["SORTS", "new", "profile", "usual"]

SORTS = {"mill": "Mills", "aims": "Aims", "rates": "Rates", "kiln": "Kilns", "costs": "Costs"}
_NEW = {
    "mill": "A new mill",
    "aims": "New aims",
    "rates": "New rates",
    "kiln": "A new kiln",
    "costs": "New costs",
}
_TABLES = {
    "mill": written_mill.MILL,
    "aims": written_aims.AIMS,
    "rates": written_rates.RATES,
    "kiln": KILN,
    "costs": written_costs.COSTS,
}
_WHY = {
    "mill": written_mill.WHY,
    "aims": written_aims.WHY,
    "rates": written_rates.WHY,
    "kiln": {"like": "its figures are guesses with a range; they stand beside every result"},
    "costs": written_costs.WHY,
}


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest, kind: str) -> HttpResponse:
    """A further table of a kind."""
    return _answer(request, kind, None)


@require_http_methods(["GET", "HEAD", "POST"])
def profile(request: HttpRequest, kind: str, pk: str) -> HttpResponse:
    """One that is kept."""
    found = Profile.objects.filter(kind=kind, pk=pk).first()
    if found is None:
        raise Http404("There is no such table in the book.")
    return _answer(request, kind, found)


@require_POST
def usual(request: HttpRequest, kind: str) -> HttpResponse:
    """Take one where nothing else is said."""
    said = {"kind": kind, "name": request.POST.get("name", "")}
    perform("make_usual", said, who=who(request), id=sent_identity(request))
    return leave(request, reverse("settings:index"))


def _answer(request: HttpRequest, kind: str, found: Profile | None) -> HttpResponse:
    form = _form(kind, found)

    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        known = {
            "form": form,
            "title": found.name if found else _NEW[kind],
            "profile": found,
            "fresh": new_id,
        }
        if found and kind == "mill":
            known |= {"parts": parts_of(found), "part": part_form(found), "hours": hours_form(found)}
        return render(request, "settings/profile.html", known, status=status)

    if request.method == "POST":
        return submit(request, form, page, reverse("settings:index"), "Kept. Later plans may use it.")
    return page(request, form)


def _form(kind: str, found: Profile | None) -> Form:
    if kind not in _TABLES:
        raise Http404("There is no such table.")
    table = Table(
        "",
        "",
        (
            Field("name", Quantity.TEXT, "What you call it. The same name again replaces it.", required=True),
            Field("usual", Quantity.FLAG, "Taken where nothing else is said.", default=False),
            _TABLES[kind],
        ),
    )
    here = reverse("settings:profile-new", args=[kind])
    said: dict[str, Any] = {}
    if found:
        here = reverse("settings:profile", args=[kind, found.pk])
        said = {"name": found.name, "usual": found.usual, kind: found.table}

    def entered(words: Mapping[str, Any]) -> dict[str, Any]:
        entry = {"kind": kind, "name": words.get("name", ""), "table": words.get(kind, {})}
        return entry | ({"usual": True} if words.get("usual") is True else {})

    return Form(
        "keep_profile",
        table,
        here,
        "Keep it",
        said,
        asking=Asking(sources=_WHY[kind], offers={"species": woods()}),
        entered=entered,
    )

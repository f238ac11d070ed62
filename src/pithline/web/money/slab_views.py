"""What to ask for one slab: its price with reasons, its cost, how long to wait; listing, offers, sale."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.errors import BadValue
from pithline.sheets.cost_words import NEVER_BELOW
from pithline.sheets.price_words import ADVICE
from pithline.web.clock import today
from pithline.web.forms import Form, submit
from pithline.web.money.slab_acts import acts_of, form_for
from pithline.web.money.slab_asked import slab_asked
from pithline.web.money.slab_paper import slab_paper
from pithline.web.money.slab_view import reckoned
from pithline.web.money.slab_waiting import waiting_of
from pithline.web.rack.piece import find
from pithline.yard.actions.slabs import GONE
from pithline.yard.models import Dried, Slab
from pithline.yard.money import currency
from pithline.yard.preferences import setting

__all__ = ["do", "paper", "part", "slab", "waiting"]


@require_safe
def slab(request: HttpRequest, number: str) -> HttpResponse:
    """The whole page."""
    found = find(number)
    known = _known(request, found)
    return render(request, "money/slab.html", known | {"form": None}, status=_status(known))


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
    known |= waiting_of(found, known)
    whole = "money/_waiting.html" if request.htmx else "money/waiting.html"
    return render(request, whole, known, status=_status(known))


@require_safe
def paper(request: HttpRequest, number: str) -> HttpResponse:
    """The same on one page for the seller, as a PDF; the page itself where its form is refused."""
    from pithline.sheets.price_sheet import price_sheet

    found = find(number)
    known = _known(request, found)
    if known["gone"]:
        raise Http404(f"There is no price of slab {found.label}: it is no longer there.")
    if known["problems"] or "view" not in known:
        return render(request, "money/slab.html", known | {"form": None}, status=422)
    if known["view"].priced.pending:
        # Paper cannot be loaded again: wait for the boards that the same slab would make.
        wait = {"title": f"What to ask for slab {found.label}"}
        answer = render(request, "money/compiling.html", known | wait)
        answer["Refresh"] = "3"
        return answer
    known |= waiting_of(found, known)
    sheet = slab_paper(found, known, setting("system"))
    data = price_sheet(sheet, known["code"], setting("paper"), today().isoformat())
    answer = HttpResponse(data, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="price-{found.label}.pdf"'
    return answer


@require_http_methods(["GET", "HEAD", "POST"])
def do(request: HttpRequest, number: str, kind: str) -> HttpResponse:
    """One entry about its sale."""
    found = find(number)
    form = form_for(found, kind)
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


def _status(known: dict[str, Any]) -> int:
    return 422 if known.get("problems") else 200


def _known(request: HttpRequest, found: Slab) -> dict[str, Any]:
    """Price and cost, and what the form on the page says; `problem` where they cannot be reckoned."""
    asked = request.GET
    known: dict[str, Any] = {
        "slab": found,
        "tab": "",
        "code": currency(),
        "acts": acts_of(found),
        "listings": found.listings.prefetch_related("asked"),
        "offers": found.offers.select_related("contact"),
        "sale": getattr(found, "sale", None),
        "gone": found.state in GONE,
        "by": asked.get("by", ""),
        "rate": asked.get("rate", ""),
        "dried": asked.get("dried", ""),
        "all_dried": Dried.values,
        "advice": ADVICE,
        "never_below": NEVER_BELOW,
        "words": asked.urlencode(),
    }
    if known["gone"]:
        return known
    known["asked_by"] = slab_asked(asked, known["code"], today())
    known["problems"] = known["asked_by"].problems
    try:
        known["view"] = reckoned(found, known["asked_by"], known["code"])
    except BadValue as wrong:
        known["problem"] = str(wrong)
    return known

"""One slab's page: drawn, its whole history, and what can be done with it."""

from __future__ import annotations

import uuid

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.web.forms import Form, submit
from pithline.web.rack.acts import act_form, acts_for
from pithline.web.rack.fitting import ASKED, Fitted, fitted
from pithline.web.rack.piece import current_size, find, partners, piece
from pithline.web.words import words
from pithline.yard.ids import new_id
from pithline.yard.models import Slab
from pithline.yard.money import currency
from pithline.yard.preferences import setting

__all__ = ["by_code", "do", "fits", "slab"]


@require_safe
def by_code(request: HttpRequest, slab: uuid.UUID) -> HttpResponse:
    """Where the code on a label leads."""
    return HttpResponseRedirect(reverse("rack:slab", args=[find(str(slab)).label]))


@require_safe
def slab(request: HttpRequest, number: str) -> HttpResponse:
    """One slab."""
    return _page(request, find(number))


@require_safe
def fits(request: HttpRequest, number: str) -> HttpResponse:
    """What fits into it: the part alone for htmx, else on its page."""
    found = find(number)
    shown = _fitted(request, found)
    if request.htmx:
        known = {"slab": found, "fitted": shown}
        return render(request, "rack/fits.html", known, status=422 if shown.refused else 200)
    return _page(request, found, fitted=shown)


@require_http_methods(["GET", "HEAD", "POST"])
def do(request: HttpRequest, number: str, kind: str) -> HttpResponse:
    """One entry about the slab; its form stands on the slab's page."""
    found = find(number)
    form = act_form(found, kind, current_size(found), setting("system"))
    if form is None:
        raise Http404("There is no such thing to do with a slab.")
    if request.method != "POST":
        if request.htmx:
            return render(request, "form/entry.html", {"form": form})
        return _page(request, found, form)
    return submit(
        request,
        form,
        lambda r, f, status: _page(r, found, f, status),
        reverse("rack:slab", args=[found.label]),
        f"It is written down for slab {found.label}.",
    )


def _fitted(request: HttpRequest, found: Slab) -> Fitted:
    others = partners(found)
    return fitted(found, others[0] if others else None, words(ASKED, request.GET), setting("system"))


def _page(
    request: HttpRequest,
    found: Slab,
    form: Form | None = None,
    status: int = 200,
    fitted: Fitted | None = None,
) -> HttpResponse:
    known = piece(found, setting("system"))
    known |= {
        "acts": acts_for(found, bool(known["pairs"])),
        "form": form,
        "fitted": fitted or (_fitted(request, found) if known["drawing"] else None),
        "fresh": new_id,
        "currency": currency(),
        "back": reverse("rack:slab", args=[found.label]),
    }
    if fitted and fitted.refused:
        status = 422
    return render(request, "rack/slab.html", known, status=status)

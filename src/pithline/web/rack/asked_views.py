"""What buyers asked for, and what there is for it."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pithline.errors import Refused
from pithline.web.forms import Form, form_of, leave, sent_identity, submit, who
from pithline.web.names import contacts, woods
from pithline.web.rack.matching import TRIED, matches
from pithline.yard.ids import new_id
from pithline.yard.kinds import Done, perform
from pithline.yard.models import Want
from pithline.yard.money import shown
from pithline.yard.preferences import setting

__all__ = ["asked", "new", "settle", "want"]


def _wants() -> QuerySet[Want]:
    return Want.objects.select_related("contact")


@require_safe
def asked(request: HttpRequest) -> HttpResponse:
    """Everything that was asked for; what is open comes first."""
    known = {"wants": _wants()[:200], "system": setting("system"), "fresh": new_id}
    return render(request, "rack/asked.html", known)


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Write down what somebody asked for."""
    form = form_of(
        "ask_for",
        reverse("rack:ask"),
        button="Keep it and look for it",
        offers={"contact": contacts(), "species": woods()},
    )

    def page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
        return render(request, "rack/enter.html", {"form": form, "title": "Asked for"}, status=status)

    def to(done: Done) -> str:
        return reverse("rack:want", args=[done.subject.pk])  # type: ignore[union-attr]

    return submit(request, form, page, to) if request.method == "POST" else page(request, form)


@require_safe
def want(request: HttpRequest, want: uuid.UUID) -> HttpResponse:
    """One wish, with what would serve it."""
    found = get_object_or_404(_wants(), pk=want)
    system = setting("system")
    some, cut_short = matches(found, system)
    known = {
        "want": found,
        "matches": some,
        "cut_short": cut_short,
        "tried": TRIED,
        "system": system,
        "offer": shown(found.offer_minor),
        "fresh": new_id,
    }
    return render(request, "rack/want.html", known)


@require_POST
def settle(request: HttpRequest, want: uuid.UUID) -> HttpResponse:
    """It is met, or open again."""
    said = {"want": str(want), "met": request.POST.get("met") == "yes"}
    try:
        perform("settle_want", said, who=who(request), id=sent_identity(request))
    except Refused as problem:
        messages.error(request, str(problem))
    return leave(request, reverse("rack:asked"))

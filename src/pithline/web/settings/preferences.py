"""Settings of the book: one form for all, one entry for each that is changed."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from pithline.errors import BadValue, Refused
from pithline.web.forms import Form, leave, refused, who
from pithline.web.inputs import Asking, Input, asked
from pithline.yard.kinds import perform
from pithline.yard.preferences import SETTINGS, SOURCES, settings_typed

__all__ = ["Row", "preferences", "rows"]


@dataclass(frozen=True, slots=True)
class Row:
    """One setting as it stands."""

    label: str
    said: str
    assumed: str
    source: str


def rows() -> list[Row]:
    """Every setting: what is set, what would hold else, and where that comes from."""
    parts = asked(SETTINGS, settings_typed(), Asking(sources=SOURCES))
    words = {"True": "yes", "False": "no"}
    return [
        Row(p.label, words.get(p.value, p.value), p.assumed, p.source) for p in parts if isinstance(p, Input)
    ]


@require_http_methods(["GET", "HEAD", "POST"])
def preferences(request: HttpRequest) -> HttpResponse:
    """Change settings of the book."""
    form = Form(
        "set_preference",
        replace(SETTINGS, name=""),
        reverse("settings:book"),
        "Keep these settings",
        settings_typed(),
        asking=Asking(sources=SOURCES),
    )
    if request.method != "POST":
        return _page(request, form)
    form = form.sent(request)
    name = ""
    try:
        with transaction.atomic():  # all or none: a refused one must not leave the others half kept
            for name, value in _changed(form.before, form.said):
                # Each an entry of its own; its identity follows from the form's, so twice is once.
                each = uuid.uuid5(form.entry, name)
                perform("set_preference", {"name": name} | value, who=who(request), id=each)
    except BadValue as problem:
        return refused(request, form.with_problem(_of_input(problem, name)), _page)
    except Refused as problem:
        return refused(request, form.with_problem(problem), _page)
    messages.success(request, "Kept.")
    return leave(request, reverse("settings:index"))


def _of_input(problem: BadValue, name: str) -> BadValue:
    """The same refusal, of the input that was being kept."""
    return BadValue(name, problem.value, problem.rule, problem.remedy)


def _changed(before: Mapping[str, Any], said: Mapping[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    changed: list[tuple[str, dict[str, Any]]] = []
    for field in SETTINGS.fields:
        old, new = before.get(field.name), said.get(field.name)
        if new is None and old is not None:
            changed.append((field.name, {}))
        elif new is not None and new != old:
            changed.append((field.name, {"value": new}))
    return changed


def _page(request: HttpRequest, form: Form, status: int = 200) -> HttpResponse:
    return render(request, "settings/book.html", {"form": form}, status=status)

"""Drying: every stack that dries, its course and what is due; and what is entered there."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from django.db.models import Count, Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pithline.errors import BadValue
from pithline.web.clock import today
from pithline.web.drying.acts import ACTS, act_form
from pithline.web.drying.due import stack_tasks, tasks
from pithline.web.drying.lay import as_it_lies
from pithline.web.drying.shown import shown, summed
from pithline.web.drying.watch import alike, begun
from pithline.web.forms import Form, submit
from pithline.web.rack.shelf import drawn
from pithline.yard.actions.slabs import GONE
from pithline.yard.models import KilnLoad, Stack
from pithline.yard.preferences import setting

__all__ = ["do", "everything", "index", "stack", "stack_page"]


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """Stacks that dry, kiln loads, what is due at them."""
    inside = Count("slabs", filter=~Q(slabs__state__in=GONE))
    stacks = Stack.objects.select_related("place").annotate(pieces=inside).filter(pieces__gt=0)
    day = today()
    known = {
        "stacks": stacks,
        "loads": KilnLoad.objects.select_related("kiln").annotate(pieces=Count("loaded"))[:30],
        "tasks": tasks(day),
        "today": day,
    }
    return render(request, "drying/index.html", known)


@require_safe
def stack(request: HttpRequest, stack: uuid.UUID) -> HttpResponse:
    """One stack: the course of the slab that was asked for, else of its thickest."""
    return stack_page(request, _find(stack))


@require_safe
def everything(request: HttpRequest, stack: uuid.UUID) -> HttpResponse:
    """Days of every slab of the stack: reckoned on asking, as it may take seconds."""
    found = _find(stack)
    groups, wrong = alike(found)
    known = {
        "stack": found,
        "rows": [summed(group, today(), setting("system")) for group in groups],
        "wrong": wrong,
    }
    if request.htmx:
        return render(request, "drying/_all.html", known)
    return render(request, "drying/all.html", known)


@require_http_methods(["GET", "HEAD", "POST"])
def do(request: HttpRequest, stack: uuid.UUID, kind: str) -> HttpResponse:
    """One entry about the stack; its form stands on the stack's page."""
    found = _find(stack)
    form = act_form(found, kind)
    if form is None:
        raise Http404("There is no such thing to do with this stack.")
    if request.method != "POST":
        if request.htmx:
            return render(request, "form/entry.html", {"form": form})
        return stack_page(request, found, form)
    return submit(
        request,
        form,
        lambda r, f, status: stack_page(r, found, f, status),
        reverse("drying:stack", args=[found.pk]),
        f"It is written down for stack {found}.",
    )


def _find(key: uuid.UUID) -> Stack:
    found: Stack = get_object_or_404(Stack.objects.select_related("place"), pk=key)
    return found


def stack_page(
    request: HttpRequest,
    found: Stack,
    form: Form | None = None,
    status: int = 200,
    handed: Mapping[str, str] | None = None,
) -> HttpResponse:
    """The whole page of a stack.

    Parameters
    ----------
    request : HttpRequest
    found : Stack
    form : Form, optional
        An entry's form that stands open on it.
    status : int
    handed : mapping, optional
        What was typed beside a logger's file that was refused, and why: ``problem``.
    """
    day, system = today(), setting("system")
    groups, wrong = alike(found)
    group = begun(groups, request.GET.get("slab", ""))
    if groups and group is None:
        raise Http404("This slab does not lie in this stack.")
    known: dict[str, Any] = {
        "stack": found,
        "groups": groups,
        "wrong": wrong,
        "laid": drawn([found], system)[0] if groups else None,
        "tasks": sorted(stack_tasks(found, day), key=lambda one: one.day),
        "today": day,
        "acts": [act for act in ACTS if act.names != "place" or found.place],
        "form": form,
        "handed": handed,
        "phases": found.phases.select_related("place", "load"),
        "loggers": found.place.loggers.select_related("stack") if found.place else (),
        "months": found.place.months.count() if found.place else 0,
        "system": system,
    }
    try:
        known["made"] = as_it_lies(found, system)
    except BadValue as overlapping:
        known["unlaid"] = str(overlapping)
    if group is not None:
        known["shown"] = shown(found, group, day, system)
    return render(request, "drying/stack.html", known, status=status)

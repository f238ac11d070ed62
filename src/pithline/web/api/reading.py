"""What programs may read."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.db.models import Prefetch, QuerySet
from django.http import Http404, HttpRequest
from ninja import Query, Router

from pithline import __version__
from pithline.errors import BadValue
from pithline.field_schema import schema
from pithline.web.api import shapes
from pithline.yard.finding import log_of, slab_of
from pithline.yard.kinds import KINDS, Kind
from pithline.yard.models import Contact, Log, Place, Plan, Size, Slab, Stack

__all__ = ["part", "router"]

router = Router()


@router.get("/about", response=shapes.About, auth=None)
def about(request: HttpRequest) -> dict[str, str]:
    """Which program answers, for whoever looks who holds the port."""
    return {"version": __version__}


@router.get("/kinds", response=shapes.answers(list[shapes.KindOut]))
def kinds(request: HttpRequest) -> list[dict[str, Any]]:
    """Every kind of entry, with the JSON Schema of its words."""
    return [_kind(kind) for _, kind in sorted(KINDS.items())]


@router.get("/kinds/{name}", response=shapes.answers(shapes.KindOut, 404))
def kind(request: HttpRequest, name: str) -> dict[str, Any]:
    """One kind of entry."""
    if name not in KINDS:
        raise Http404(f"There is no such kind of entry; there are: {', '.join(sorted(KINDS))}.")
    return _kind(KINDS[name])


@router.get("/logs", response=shapes.answers(shapes.Logs))
def logs(
    request: HttpRequest, window: Query[shapes.Window], state: Log.State | None = None
) -> dict[str, Any]:
    """Logs, newest number first."""
    rows = Log.objects.all()
    return part(rows.filter(state=state) if state else rows, window)


@router.get("/logs/{log}", response=shapes.answers(shapes.LogWhole, 404))
def log(request: HttpRequest, log: str) -> Log:
    """One log by its number or identity, with what was measured."""
    try:
        return log_of(log)
    except BadValue as none:
        raise Http404(str(none)) from None


@router.get("/slabs", response=shapes.answers(shapes.Slabs, 404))
def slabs(
    request: HttpRequest,
    window: Query[shapes.Window],
    log: str | None = None,
    state: Slab.State | None = None,
    stack: UUID | None = None,
) -> dict[str, Any]:
    """Slabs by number, of one log, state or stack where asked."""
    rows = _slabs()
    if log is not None:
        try:
            rows = rows.filter(log=log_of(log))
        except BadValue as none:
            raise Http404(str(none)) from None
    rows = rows.filter(state=state) if state else rows
    return part(rows.filter(stack=stack) if stack else rows, window)


@router.get("/slabs/{label}", response=shapes.answers(shapes.SlabOut, 404))
def slab(request: HttpRequest, label: str) -> Slab:
    """One slab by the number on it (14-3a) or its identity."""
    try:
        return _slabs().get(pk=slab_of(label).pk)
    except BadValue as none:
        raise Http404(str(none)) from None


@router.get("/plans", response=shapes.answers(shapes.Plans, 404))
def plans(request: HttpRequest, window: Query[shapes.Window], log: str | None = None) -> dict[str, Any]:
    """Plans, newest first, of one log where asked; without their long answers."""
    rows = Plan.objects.defer("inputs", "answer")
    if log is not None:
        try:
            rows = rows.filter(log=log_of(log))
        except BadValue as none:
            raise Http404(str(none)) from None
    return part(rows, window)


@router.get("/plans/{plan}", response=shapes.answers(shapes.PlanWhole, 404))
def plan(request: HttpRequest, plan: UUID) -> Plan:
    """One plan with what went in and the whole plan document."""
    found = Plan.objects.filter(pk=plan).first()
    if found is None:
        raise Http404(f"No plan has the identity {plan}.")
    return found


@router.get("/stacks", response=shapes.answers(list[shapes.StackOut]))
def stacks(request: HttpRequest) -> QuerySet[Stack]:
    """Every stack, by name."""
    return Stack.objects.all()


@router.get("/places", response=shapes.answers(list[shapes.PlaceOut]))
def places(request: HttpRequest) -> QuerySet[Place]:
    """Every place, by name."""
    return Place.objects.all()


@router.get("/contacts", response=shapes.answers(list[shapes.ContactOut]))
def contacts(request: HttpRequest) -> QuerySet[Contact]:
    """Everybody, by name."""
    return Contact.objects.all()


def _kind(kind: Kind) -> dict[str, Any]:
    words = schema(kind.table, f"pithline/entry/{kind.name}/1")
    return {"name": kind.name, "title": kind.title, "undoable": kind.undoable, "words": words}


def _slabs() -> QuerySet[Slab]:
    current = Prefetch("sizes", Size.objects.filter(current=True).defer("outline"))
    return Slab.objects.select_related("log").prefetch_related(current)


def part(rows: QuerySet[Any], window: shapes.Window) -> dict[str, Any]:
    """Part of a long list, and how long it is."""
    return {"count": rows.count(), "items": rows[window.offset : window.offset + window.limit]}

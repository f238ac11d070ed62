"""The journal, and what programs may write into it: entries under an identity made by the sender."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import Http404, HttpRequest
from ninja import Query, Router, Status

from pithline.web.api import shapes
from pithline.web.api.reading import part
from pithline.web.forms import who
from pithline.yard.kinds import Done, Who, perform
from pithline.yard.models import Entry

__all__ = ["router"]

router = Router()
_WRITTEN = {201: shapes.DoneOut, **shapes.answers(shapes.DoneOut, 400, 404, 409, 413, 415)}


@router.get("/entries", response=shapes.answers(shapes.Journal))
def entries(
    request: HttpRequest, window: Query[shapes.Window], subject: uuid.UUID | None = None
) -> dict[str, Any]:
    """The journal from its beginning, about one record where asked; `offset` goes on from there."""
    rows = Entry.objects.order_by("order")
    return part(rows.filter(subject=subject) if subject else rows, window)


@router.get("/entries/{entry}", response=shapes.answers(shapes.EntryOut, 404))
def entry(request: HttpRequest, entry: uuid.UUID) -> Entry:
    """One line of the journal."""
    found = Entry.objects.filter(id=entry).first()
    if found is None:
        raise Http404(f"No entry has the identity {entry}.")
    return found


@router.put("/entries/{entry}", response=_WRITTEN)
def put_entry(request: HttpRequest, entry: uuid.UUID, body: shapes.EntryIn) -> Status:
    """Make an entry: 201 when it is new, 200 when the very same was sent before, 409 when another was.

    Send it again after any doubt (no answer, a lost connection): it is done once.
    """
    known = who(request)
    by = Who(
        name=_token_name(request) or known.name,
        device=body.device or known.device,
        made_at=body.made_at,
        zone=body.zone,
    )
    return _told(perform(body.kind, body.said, who=by, id=entry))


@router.post("/entries/{entry}/undo", response=_WRITTEN)
def undo(request: HttpRequest, entry: uuid.UUID, body: shapes.Undo | None = None) -> Status:
    """Take an entry back, where nothing later stands on it; sent twice, it is done once."""
    body = body or shapes.Undo(id=None, device="")
    if not Entry.objects.filter(id=entry).exists():
        raise Http404(f"No entry has the identity {entry}.")
    known = who(request)
    by = Who(name=_token_name(request) or known.name, device=body.device or known.device)
    identity = body.id or uuid.uuid5(entry, "undo")
    return _told(perform("undo_entry", {"entry": str(entry)}, who=by, id=identity))


def _told(done: Done) -> Status:
    subject = done.subject
    number = getattr(subject, "label", None) or getattr(subject, "number", "")
    told: dict[str, Any] = {"entry": done.entry, "repeated": done.repeated, "number": str(number)}
    return Status(200 if done.repeated else 201, told)


def _token_name(request: HttpRequest) -> str:
    """Of a caller with a token; a page of our own is known by its session."""
    return str(request.auth) if request.headers.get("Authorization") else ""

"""Undo: an entry's changes taken back, where nothing has been built on them."""

from __future__ import annotations

from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import ProtectedError

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.desk import Desk, as_row
from pithline.yard.finding import entry_of
from pithline.yard.kinds import KINDS, entry
from pithline.yard.models import Attachment, Entry, Note

__all__ = ["undo_entry", "undoable"]


@entry(
    Table(
        "undo_entry",
        "Take an entry back. Numbers that it gave out are not given again.",
        (Field("entry", Quantity.TEXT, "Its identity, or its place in the journal.", required=True),),
    ),
    "Undo",
    undoable=False,
)
def undo_entry(desk: Desk, said: dict[str, Any]) -> models.Model:
    """Undo an entry; itself a line of the journal.

    Safe means: every column that it changed still is as it left it, and nothing that
    came later needs a row that it made.
    """
    line = Entry.objects.select_for_update(of=("self",)).get(pk=entry_of(said["entry"]).pk)
    _may(line)
    subject: models.Model | None = None
    for change in reversed(line.changes):
        model = apps.get_model("yard", change["model"])
        key = (change["after"] or change["before"])[model._meta.pk.attname]
        now = model._default_manager.filter(pk=key).first()
        if not _as_left(now, change["after"]):
            raise _in_the_way(line, key)
        if change["before"] is not None:
            subject = desk.put_back(model, change["before"])
            continue
        assert now is not None
        if _spoken_of(now):
            raise _in_the_way(line, key)
        subject = model(pk=now.pk)
        try:
            desk.remove(now)
        except ProtectedError:
            raise _in_the_way(line, key) from None
    desk.undoes = line
    return subject or Entry()


def undoable(line: Entry) -> bool:
    """Whether a button for it makes sense: not undone yet, and of a kind that can be."""
    return line.undone_by_id is None and (line.kind not in KINDS or KINDS[line.kind].undoable)


def _as_left(now: models.Model | None, after: dict[str, Any] | None) -> bool:
    if now is None or after is None:
        return now is None and after is None
    row = as_row(now)
    return all(row[name] == value for name, value in after.items())


def _may(line: Entry) -> None:
    if line.undone_by_id is not None:
        raise BadValue("entry", str(line.order), "not undone yet", "It was undone before.")
    if not undoable(line):
        raise BadValue("entry", str(line.order), "of a kind that can be undone", "Enter it anew instead.")


def _spoken_of(record: models.Model) -> bool:
    """Whether notes or photos belong to it: they name it, but no database rule holds them to it."""
    return (
        any(of.objects.filter(subject=record.pk).exists() for of in (Note, Attachment))
        if _has_id(record)
        else False
    )


def _has_id(record: models.Model) -> bool:
    return isinstance(record._meta.pk, models.UUIDField)


def _in_the_way(line: Entry, key: str) -> BadValue:
    """The refusal, with the latest entry that built on what this one did."""
    later = Entry.objects.filter(order__gt=line.order, undone_by=None).exclude(kind="undo_entry")
    for other in later.iterator(chunk_size=100):
        touched = any(str(key) in str(change) for change in other.changes)
        if touched or str(other.subject) == str(key):
            title = KINDS[other.kind].title if other.kind in KINDS else other.kind
            return BadValue(
                "entry",
                str(line.order),
                "one that nothing was built on",
                f"Entry {other.order} ({title}) came later and needs it: undo that first.",
            )
    return BadValue(
        "entry", str(line.order), "one whose rows are as it left them", "They have changed since."
    )

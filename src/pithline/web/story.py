"""The journal in words: what was entered, when, by whom."""

from __future__ import annotations

import datetime
import re
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pithline.yard.actions.undo import undoable
from pithline.yard.kinds import KINDS
from pithline.yard.models import Entry

__all__ = ["Line", "line_of"]

_SHORT = 120
_HASH = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the journal."""

    id: uuid.UUID
    order: int
    title: str
    words: str
    at: datetime.datetime
    who: str
    undone: bool
    undoable: bool


def line_of(entry: Entry) -> Line:
    """An entry as a person reads it."""
    kind = KINDS.get(entry.kind)
    undone = entry.undone_by_id is not None
    return Line(
        id=entry.id,
        order=entry.order,
        title=kind.title if kind else entry.kind.replace("_", " "),
        words=_undone_words(entry) if entry.kind == "undo_entry" else _words(entry.said),
        at=entry.made_at or entry.received_at,
        who=" on ".join(part for part in (entry.who, entry.device) if part),
        undone=undone,
        undoable=undoable(entry),
    )


def _undone_words(undo: Entry) -> str:
    """What was taken back, as it was told; its identity says nothing to a person."""
    line = Entry.objects.filter(undone_by=undo).first()
    if line is None:
        return ""
    kind = KINDS.get(line.kind)
    return f"{kind.title if kind else line.kind}: {_words(line.said)}"


def _words(said: Mapping[str, Any]) -> str:
    told = []
    for name, value in said.items():
        if _HASH.fullmatch(str(value)):  # a file's name in the book; nobody reads it
            continue
        if isinstance(value, list) and value and not any(isinstance(v, Mapping | list) for v in value):
            value = " · ".join(map(str, value))
        elif isinstance(value, Mapping | list):
            value = "…"
        told.append(f"{name.replace('_', ' ')} {value}")
    text = ", ".join(told)
    return text if len(text) <= _SHORT else text[: _SHORT - 1] + "…"

"""Entry kinds: the one list that forms, API, commands and the offline queue read.

A kind has a name, words for people, a declared table of fields (which parses, refuses
and describes itself) and the action that it stands for. To add one is to write its
action with `@entry` in `yard.actions`; nothing else needs to know.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import models, transaction

from pithline.errors import BadValue
from pithline.fields import Table, read
from pithline.yard.desk import Desk
from pithline.yard.ids import new_id
from pithline.yard.models import Entry

__all__ = ["KINDS", "Clash", "Done", "Kind", "Who", "entry", "perform"]

Action = Callable[[Desk, dict[str, Any]], models.Model]


class Clash(BadValue):
    """The same identity was used for two different entries, or two phones want the same number."""


@dataclass(frozen=True, slots=True)
class Who:
    """Who enters something, from which device, at what time there."""

    name: str = ""
    device: str = ""
    made_at: datetime.datetime | None = None
    zone: str = ""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of entry."""

    name: str
    title: str
    table: Table
    act: Action
    undoable: bool = True


@dataclass(frozen=True, slots=True)
class Done:
    """What became of an entry: its journal line, the record it is about, and whether it was known already."""

    entry: Entry
    subject: models.Model | None
    repeated: bool = False


KINDS: dict[str, Kind] = {}


def entry(table: Table, title: str, undoable: bool = True) -> Callable[[Action], Callable[..., Done]]:
    """Make an action an entry kind of the same name.

    The decorated function is called as ``take_log({"name": "hollow oak", ...}, who=Who())``:
    it reads the words by `table`, acts in one transaction and writes the journal.
    """

    def kept(act: Action) -> Callable[..., Done]:
        kind = Kind(act.__name__, title, table, act, undoable)
        KINDS[kind.name] = kind

        def call(said: Mapping[str, Any], *, who: Who | None = None, id: uuid.UUID | None = None) -> Done:  # noqa: A002
            return perform(kind.name, said, who=who, id=id)

        call.__name__, call.__doc__ = act.__name__, act.__doc__
        return call

    return kept


def perform(
    name: str,
    said: Mapping[str, Any],
    *,
    who: Who | None = None,
    id: uuid.UUID | None = None,  # noqa: A002
) -> Done:
    """Do one entry: read it, act on it, write it down; all or nothing.

    Sent twice under one identity, it is done once.

    Parameters
    ----------
    name : str
        Of the kind.
    said : mapping
        As typed.
    who : Who, optional
    id : UUID, optional
        Made by whoever enters; made here where not given.

    Raises
    ------
    BadValue
        Words that the kind does not allow.
    Clash
        The identity belongs to another entry.
    """
    if name not in KINDS:
        raise BadValue("entry kind", name, f"one of {', '.join(sorted(KINDS))}")
    kind, who = KINDS[name], who or Who()
    digest = hashlib.sha256(json.dumps([name, said], sort_keys=True, default=str).encode()).hexdigest()
    with transaction.atomic():
        known = Entry.objects.filter(id=id).first() if id else None
        if known:
            if known.digest != digest:
                raise Clash("entry", str(id), "new", "This identity was used before for other words.")
            return Done(known, _subject_of(known), repeated=True)
        desk = Desk()
        subject = kind.act(desk, read(kind.table, said))
        line = Entry.objects.create(
            id=id or new_id(),
            kind=name,
            said=json.loads(json.dumps(said, default=str)),
            digest=digest,
            subject=subject.pk if isinstance(subject.pk, uuid.UUID) else None,
            subject_kind=type(subject).__name__,
            changes=desk.changes,
            who=who.name,
            device=who.device,
            made_at=who.made_at,
            zone=who.zone,
        )
    return Done(line, subject)


def _subject_of(line: Entry) -> models.Model | None:
    from django.apps import apps

    if not line.subject:
        return None
    model = apps.get_model("yard", line.subject_kind)
    return model._default_manager.filter(pk=line.subject).first()

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

from django.db import IntegrityError, models, transaction

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
    before: Callable[[dict[str, Any]], dict[str, Any]] | None = None


@dataclass(frozen=True, slots=True)
class Done:
    """What became of an entry: its journal line, the record it is about, and whether it was known already."""

    entry: Entry
    subject: models.Model | None
    repeated: bool = False


KINDS: dict[str, Kind] = {}
MOST_BYTES = 4_000_000  # a tally of some thousand slabs; more is an import


def entry(
    table: Table,
    title: str,
    undoable: bool = True,
    before: Callable[[dict[str, Any]], dict[str, Any]] | None = None,
) -> Callable[[Action], Callable[..., Done]]:
    """Make an action an entry kind of the same name.

    The decorated function is called as ``take_log({"name": "hollow oak", ...}, who=Who())``:
    it reads the words by `table`, acts in one transaction and writes the journal.
    What takes its time belongs into `before`: it gets the parsed words ahead of the
    transaction, so that nobody waits, and what it returns is added to them.
    """

    def kept(act: Action) -> Callable[..., Done]:
        kind = Kind(act.__name__, title, table, act, undoable, before)
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
    words = _words(said)
    digest = hashlib.sha256(json.dumps([name, words], sort_keys=True).encode()).hexdigest()
    id = id or new_id()  # noqa: A001
    known = _known(id, digest)
    if known:
        return known
    try:
        parsed = read(kind.table, said)
        if kind.before:
            parsed |= kind.before(parsed)
        with transaction.atomic():
            desk = Desk()
            subject = kind.act(desk, parsed)
            line = Entry.objects.create(
                id=id,
                kind=name,
                said=words,
                digest=digest,
                subject=subject.pk if isinstance(subject.pk, uuid.UUID) else None,
                subject_kind=type(subject).__name__,
                changes=desk.changes,
                who=who.name,
                device=who.device,
                made_at=who.made_at,
                zone=who.zone,
            )
            if desk.undoes:
                Entry.objects.filter(pk=desk.undoes.pk).update(undone_by=line)
    except (BadValue, IntegrityError) as problem:
        # The same entry may have come twice at once: then the other one has done it.
        known = _known(id, digest)
        if known:
            return known
        if isinstance(problem, BadValue):
            raise
        raise Clash("entry", name, "in keeping with the book", _broken(problem)) from None
    return Done(line, subject)


def _words(said: Mapping[str, Any]) -> Any:
    """What was typed, as it will be kept; refuses what no database can hold."""
    try:
        text = json.dumps(said, default=str, allow_nan=False, ensure_ascii=False)
        text.encode()
    except (ValueError, RecursionError) as problem:
        raise BadValue("entry", "a number or text", "one that can be kept", f"{problem}.") from None
    if "\\u0000" in text:
        raise BadValue("entry", "a text", "without the character NUL", "Type it again.")
    if len(text) > MOST_BYTES:
        raise BadValue("entry", f"{len(text)} bytes", f"at most {MOST_BYTES}", "Enter it in parts.")
    return json.loads(text)


def _known(id: uuid.UUID, digest: str) -> Done | None:  # noqa: A002
    line = Entry.objects.filter(id=id).first()
    if line is None:
        return None
    if line.digest != digest:
        raise Clash("entry", str(id), "new", "This identity was used before for other words.")
    return Done(line, _subject_of(line), repeated=True)


def _broken(problem: IntegrityError) -> str:
    return (
        f"Somebody may just have entered the same; look at the page again ({str(problem).splitlines()[0]})."
    )


def _subject_of(line: Entry) -> models.Model | None:
    from django.apps import apps

    if not line.subject:
        return None
    model = apps.get_model("yard", line.subject_kind)
    return model._default_manager.filter(pk=line.subject).first()

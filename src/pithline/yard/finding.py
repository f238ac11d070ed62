"""Find a record by what a person writes: its number, its name or its identity."""

from __future__ import annotations

import re
import uuid
from typing import Any

from django.db import models

from pithline.errors import BadValue
from pithline.yard.models import (
    Contact,
    Entry,
    KilnLoad,
    Log,
    Place,
    Plan,
    Profile,
    Sample,
    Slab,
    Stack,
    Want,
)

__all__ = [
    "by_name",
    "entry_of",
    "load_of",
    "log_of",
    "named",
    "plan_of",
    "profile_of",
    "record_about",
    "slab_of",
    "spent_for",
]


def _identity(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None


def named(rows: models.QuerySet[Any], text: str) -> models.QuerySet[Any]:
    """Those of some rows that bear a name, in upper or lower case.

    SQLite knows the two cases of A to Z only, so it is Python that compares: Ø is ø on
    either database.
    """
    exact = rows.filter(name=text.strip())
    if exact.exists():
        return exact
    plain = text.strip().casefold()
    alike = [key for key, name in rows.values_list("pk", "name") if name.casefold() == plain]
    return rows.filter(pk__in=alike)


def log_of(text: str, field: str = "log") -> Log:
    """The log with this number or identity.

    Raises
    ------
    BadValue
        There is none.
    """
    identity = _identity(text)
    found = Log.objects.filter(pk=identity) if identity else Log.objects.none()
    if text.isascii() and text.isdigit() and len(text) < 10:
        found = Log.objects.filter(number=int(text))
    log = found.first()
    if log is None:
        raise BadValue(field, text, "the number of a log in the book", "Look it up on the page Logs.")
    return log


def slab_of(text: str, field: str = "slab") -> Slab:
    """The slab with this number on the wood (14-3, 14-3a) or identity.

    Raises
    ------
    BadValue
        There is none.
    """
    identity = _identity(text)
    found = Slab.objects.filter(pk=identity) if identity else Slab.objects.none()
    written = re.fullmatch(r"(\d{1,9}|G)-(\d{1,9})([a-z]*)", text.strip())
    if written:
        head = {"log__number": int(written[1])} if written[1] != "G" else {"log": None}
        found = Slab.objects.filter(number=int(written[2]), suffix=written[3], **head)
    slab = found.first()
    if slab is None:
        raise BadValue(
            field, text, "the number on a slab in the book, such as 14-3", "Look it up on the page Rack."
        )
    return slab


def load_of(text: str, field: str = "load") -> KilnLoad:
    """The kiln load with this number or identity.

    Raises
    ------
    BadValue
        There is none.
    """
    identity = _identity(text)
    found = KilnLoad.objects.filter(pk=identity) if identity else KilnLoad.objects.none()
    if text.isascii() and text.isdigit() and len(text) < 10:
        found = KilnLoad.objects.filter(number=int(text))
    load = found.first()
    if load is None:
        raise BadValue(field, text, "the number of a kiln load in the book", "Plan the load first.")
    return load


def spent_for(text: str | None, field: str = "about") -> dict[str, models.Model]:
    """For what something was spent: the one column to fill; nothing where it was in general.

    Raises
    ------
    BadValue
        No log, stack, load or slab.
    """
    if not text:
        return {}
    record = record_about(text, field)
    columns = {Log: "log", Stack: "stack", KilnLoad: "load", Slab: "slab"}
    column = columns.get(type(record))
    if column is None:
        raise BadValue(field, text, "about a log, a stack, a load or a slab", "Leave it out for overhead.")
    return {column: record}


def plan_of(text: str, field: str = "plan") -> Plan:
    """The plan that is written ``14/2`` (log, plan), or has this identity.

    Raises
    ------
    BadValue
        There is none.
    """
    identity = _identity(text)
    found = Plan.objects.filter(pk=identity) if identity else Plan.objects.none()
    written = re.fullmatch(r"(\d{1,9})/(\d{1,9})", text.strip())
    if written:
        found = Plan.objects.filter(log__number=int(written[1]), number=int(written[2]))
    plan = found.select_related("log").first()
    if plan is None:
        raise BadValue(field, text, "a plan in the book, such as 14/2", "Look it up on the page of its log.")
    return plan


def profile_of(kind: str, text: str, field: str) -> Profile:
    """The mill, aims or rates kept under this name or identity.

    Raises
    ------
    BadValue
        There is none.
    """
    identity = _identity(text)
    kept = Profile.objects.filter(kind=kind)
    found = (kept.filter(pk=identity) if identity else named(kept, text)).first()
    if found is None:
        names = ", ".join(kept.values_list("name", flat=True)[:8])
        raise BadValue(
            field,
            text,
            f"a name of {kind} in the book",
            f"There are: {names}." if names else "Keep one first.",
        )
    return found


def entry_of(text: str, field: str = "entry") -> Entry:
    """The journal's line with this identity, or with this place in its order.

    Raises
    ------
    BadValue
        There is none.
    """
    identity = _identity(text)
    found = Entry.objects.filter(id=identity) if identity else Entry.objects.none()
    if text.isascii() and text.isdigit() and len(text) < 16:
        found = Entry.objects.filter(order=int(text))
    line = found.first()
    if line is None:
        raise BadValue(field, text, "an entry of this book", "Look it up in the journal.")
    return line


def record_about(text: str, field: str = "about") -> models.Model:
    """The record that is meant by ``log 14``, ``slab 14-3``, ``place ridge shed``, ``plan 14/2``.

    Raises
    ------
    BadValue
        No such word, or no such record.
    """
    word, _, rest = text.strip().partition(" ")
    named: dict[str, type[models.Model]] = {
        "place": Place,
        "contact": Contact,
        "stack": Stack,
        "sample": Sample,
    }
    match word.lower():
        case "log":
            return log_of(rest.strip(), field)
        case "slab":
            return slab_of(rest.strip(), field)
        case "plan":
            return plan_of(rest.strip(), field)
        case "load":
            return load_of(rest.strip(), field)
        case "mill" | "kiln":
            return profile_of(word.lower(), rest, field)
        case "want":
            return _want(rest.strip(), field)
        case known if known in named:
            return by_name(named[known], rest.strip(), field)
    raise BadValue(
        field,
        text,
        "a word and a name",
        'Write "log 14", "slab 14-3", "plan 14/2", "load 3", or place, stack, contact, sample, mill or kiln '
        "and its name.",
    )


def _want(text: str, field: str) -> Want:
    identity = _identity(text)
    want = Want.objects.filter(pk=identity).first() if identity else None
    if want is None:
        raise BadValue(field, text, "something that was asked for", "Look it up on the page Rack.")
    return want


def by_name(model: type[models.Model], text: str, field: str) -> Any:
    """The one record of a kind with this name (any case) or identity.

    Raises
    ------
    BadValue
        None, or more than one.
    """
    identity = _identity(text)
    kept = model._default_manager.all()
    rows = kept.filter(pk=identity) if identity else named(kept, text)
    found = list(rows[:2])
    if len(found) == 1:
        return found[0]
    names = ", ".join(str(n) for n in model._default_manager.values_list("name", flat=True)[:8])
    what = model._meta.verbose_name
    if found:
        raise BadValue(field, text, f"a {what} that is named so only once", "Give one of them another name.")
    raise BadValue(
        field, text, f"a {what} in the book", f"There are: {names}." if names else "Enter it first."
    )

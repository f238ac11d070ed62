"""The desk that an entry is worked at: creates and changes rows, and notes each of them."""

from __future__ import annotations

import datetime
import json
import math
import uuid
from collections.abc import Mapping
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db import IntegrityError, models

from pithline.errors import BadValue
from pithline.yard.models import Counter, Entry
from pithline.yard.models.row import RANGES

__all__ = ["Desk", "as_row", "from_row"]

M = TypeVar("M", bound=models.Model)


def as_row(record: models.Model) -> dict[str, Any]:
    """All columns of a record, in types that JSON has."""
    row = {}
    for field in record._meta.concrete_fields:
        value = getattr(record, field.attname)
        if isinstance(value, datetime.datetime | datetime.date):
            value = value.isoformat()
        elif isinstance(value, uuid.UUID):
            value = str(value)
        row[field.attname] = value
    return row


def from_row(model: type[M], row: Mapping[str, Any]) -> M:
    """The record that `as_row` wrote down, not yet saved.

    Raises
    ------
    ValidationError, KeyError
        A value of another type, or a column that is missing.
    """
    fields = model._meta.concrete_fields
    return model(**{f.attname: f.to_python(row[f.attname]) for f in fields})


def _check(record: models.Model) -> None:
    """Refuse a value that its column cannot hold; what is empty was not measured and is no fault."""
    for field in record._meta.concrete_fields:
        value = getattr(record, field.attname)
        # SQLite would keep NaN as empty, which means "not measured".
        if isinstance(value, float) and not math.isfinite(value):
            raise BadValue(field.name, value, "a finite number")
    empty = {f.name for f in record._meta.concrete_fields if getattr(record, f.attname) in (None, "", [], {})}
    try:
        record.clean_fields(exclude=empty)
    except ValidationError as problem:
        name, messages = next(iter(problem.message_dict.items()))
        raise BadValue(
            name, getattr(record, name, ""), "one that the book can hold", " ".join(messages)
        ) from None
    for constraint in record._meta.constraints:
        for name, (least, most) in RANGES.get(constraint.name, {}).items():
            value = getattr(record, name)
            if value is not None and not least <= value <= most:
                raise BadValue(name, value, f"at least {least:g} and at most {most:g}", "Look at the unit.")


def _save(record: models.Model, **how: bool) -> None:
    """Save, and tell in words where the database finds a rule broken."""
    try:
        record.save(**how)
    except IntegrityError as problem:
        what = record._meta.verbose_name
        told = str(problem).splitlines()[0]
        shown = getattr(record, "name", record.pk)  # its full name may need the database
        raise BadValue(str(what), str(shown), f"a {what} that goes with the rest", f"{told}.") from None
    # What the database now has, without asking it: undo compares with that.
    for field in record._meta.concrete_fields:
        value = getattr(record, field.attname)
        if isinstance(field, models.JSONField):
            value = json.loads(json.dumps(value))
        setattr(record, field.attname, field.to_python(value))


class Desk:
    """One entry's work, inside its transaction; `changes` is what undo will need."""

    def __init__(self) -> None:
        self.changes: list[dict[str, Any]] = []
        self.undoes: Entry | None = None

    def create(self, model: type[M], /, **values: Any) -> M:
        """Add a row."""
        record = model(**values)
        _check(record)
        _save(record, force_insert=True)
        self._note(record, None, as_row(record))
        return record

    def change(self, record: M, /, **values: Any) -> M:
        """Change columns of a row; does nothing where they are so already."""
        record = type(record)._default_manager.select_for_update(of=("self",)).get(pk=record.pk)
        before = as_row(record)
        for name, value in values.items():
            setattr(record, name, value)
        _check(record)
        _save(record, force_update=True)
        after = as_row(record)
        if before != after:
            # Only what differs: a plan's answer need not stand in the journal each time it is chosen.
            key = record._meta.pk.attname
            differs = [name for name in after if name == key or before[name] != after[name]]
            self._note(record, {n: before[n] for n in differs}, {n: after[n] for n in differs})
        return record

    def remove(self, record: models.Model) -> None:
        """Take a row out; for relations and for undo, never for wood."""
        before = as_row(record)
        type(record)._default_manager.filter(pk=record.pk).delete()
        self._note(record, before, None)

    def put_back(self, model: type[M], row: Mapping[str, Any]) -> M:
        """Let columns be as they were written down; a row that is gone comes back with its identity."""
        now = model._default_manager.filter(pk=row[model._meta.pk.attname]).first()
        before = as_row(now) if now else None
        record = from_row(model, (before or {}) | dict(row))
        record.save_base(raw=True, force_insert=now is None, force_update=now is not None)
        self._note(record, {n: before[n] for n in row} if before else None, dict(row))
        return record

    def next_number(self, name: str) -> int:
        """The next number for the wood; an undo does not give it back."""
        counter = self._counter(name)
        counter.last += 1
        counter.save()
        return int(counter.last)

    def number_taken(self, name: str, number: int) -> None:
        """Count no number up to this one again."""
        counter = self._counter(name)
        if number > counter.last:
            counter.last = number
            counter.save()

    def _counter(self, name: str) -> Counter:
        return Counter.objects.select_for_update().get_or_create(name=name)[0]

    def _note(self, record: models.Model, before: Any, after: Any) -> None:
        self.changes.append({"model": type(record).__name__, "before": before, "after": after})

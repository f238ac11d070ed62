"""The desk that an entry is worked at: creates and changes rows, and notes each of them."""

from __future__ import annotations

import datetime
import uuid
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db import models

from pithline.errors import BadValue
from pithline.yard.models import Counter

__all__ = ["Desk", "as_row"]

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


def _check(record: models.Model) -> None:
    """Refuse a value that its column cannot hold; what is empty was not measured and is no fault."""
    empty = {f.name for f in record._meta.concrete_fields if getattr(record, f.attname) in (None, "", [], {})}
    try:
        record.clean_fields(exclude=empty)
    except ValidationError as problem:
        name, messages = next(iter(problem.message_dict.items()))
        raise BadValue(
            name, getattr(record, name, ""), "one that the book can hold", " ".join(messages)
        ) from None


class Desk:
    """One entry's work, inside its transaction; `changes` is what undo will need."""

    def __init__(self) -> None:
        self.changes: list[dict[str, Any]] = []

    def create(self, model: type[M], /, **values: Any) -> M:
        """Add a row."""
        record = model(**values)
        _check(record)
        record.save(force_insert=True)
        record.refresh_from_db()  # as the database has it, which is what undo will compare
        self.changes.append({"model": model.__name__, "before": None, "after": as_row(record)})
        return record

    def change(self, record: M, /, **values: Any) -> M:
        """Change columns of a row; does nothing where they are so already."""
        record = type(record)._default_manager.select_for_update().get(pk=record.pk)
        before = as_row(record)
        for name, value in values.items():
            setattr(record, name, value)
        _check(record)
        record.save(force_update=True)
        record.refresh_from_db()
        after = as_row(record)
        if before != after:
            self.changes.append({"model": type(record).__name__, "before": before, "after": after})
        return record

    def next_number(self, name: str) -> int:
        """The next number for the wood; an undo does not give it back."""
        counter, _ = Counter.objects.select_for_update().get_or_create(name=name)
        counter.last += 1
        counter.save()
        return int(counter.last)

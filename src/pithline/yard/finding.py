"""Find a record by what a person writes: its number, its name or its identity."""

from __future__ import annotations

import re
import uuid
from typing import Any

from django.db import models

from pithline.errors import BadValue
from pithline.yard.models import Log, Slab

__all__ = ["by_name", "log_of", "slab_of"]


def _identity(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None


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


def by_name(model: type[models.Model], text: str, field: str) -> Any:
    """The one record of a kind with this name (any case) or identity.

    Raises
    ------
    BadValue
        None, or more than one.
    """
    identity = _identity(text)
    rows = (
        model._default_manager.filter(pk=identity)
        if identity
        else model._default_manager.filter(name__iexact=text)
    )
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

"""From a posted form to the words of an entry: what was left empty was not said."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from typing import Any, Protocol

from pithline.fields import Field, Quantity, Table

__all__ = ["Posted", "words"]

_MOST_ROWS = 2000


class Posted(Protocol):
    """What a posted form has: Django's QueryDict, or anything alike."""

    def get(self, key: str, default: Any = None, /) -> Any:
        """The last value of this name."""

    def __iter__(self) -> Iterator[str]:
        """Every name that was sent."""


def words(table: Table, post: Posted, skip: Collection[str] = (), prefix: str = "") -> dict[str, Any]:
    """The table as typed, nested as it is declared.

    Parameters
    ----------
    table : Table
    post : QueryDict
        Names are dotted paths (``butt.up``); rows of a list are counted from 0
        (``stations.0.at``); a list of plain values has one on each line.
    skip : collection of str
        Names of the first level that the page does not ask for.
    prefix : str
        Of every name.

    Notes
    -----
    Empty rows are left out, so the row that a refusal counts is the row as it is shown again.
    """
    said: dict[str, Any] = {}
    for field in table.fields:
        if field.name in skip:
            continue
        name = prefix + field.name
        value = _table(field, post, name) if isinstance(field, Table) else _value(field, post.get(name))
        if value not in (None, "", {}, []):
            said[field.name] = value
    return said


def _table(table: Table, post: Posted, name: str) -> Any:
    if not table.many:
        return words(table, post, prefix=f"{name}.")
    of_rows = re.compile(re.escape(name) + r"\.(\d{1,5})\.")
    numbers = sorted({int(found[1]) for key in post if (found := of_rows.match(key))})
    rows = (words(table, post, prefix=f"{name}.{n}.") for n in numbers[:_MOST_ROWS])
    return [row for row in rows if row]


def _value(field: Field, text: str | None) -> Any:
    text = (text or "").replace("\x00", "").strip()  # no database keeps a null character
    if not text:
        return None
    if field.many:
        return [line.strip() for line in text.splitlines() if line.strip()]
    match field.quantity:
        case Quantity.FLAG:
            return {"yes": True, "no": False}.get(text, text)
        case Quantity.COUNT:
            return int(text) if re.fullmatch(r"[+-]?\d{1,15}", text) else text
        case Quantity.NUMBER:
            return float(text) if re.fullmatch(r"[+-]?\d{1,15}(\.\d{0,15})?", text) else text
        case _:
            return text

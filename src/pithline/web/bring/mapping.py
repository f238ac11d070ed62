"""What is said about a table handed in: which sheet of it, what its rows are, where columns go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field
from pithline.web.labels import label
from pithline.yard.files import path_of
from pithline.yard.importing import IMPORTABLE, Column, guess_columns, guess_kind
from pithline.yard.kinds import KINDS
from pithline.yard.sheets_in import Sheet, sheets_of

__all__ = ["UNITS", "Mapped", "mapped"]

UNITS = ("", "mm", "cm", "m", "in", "ft", "kg", "lb", "t", "%")


@dataclass(frozen=True, slots=True)
class Mapped:
    """A table with its mapping, as said or else as guessed."""

    name: str
    number: int
    sheets: tuple[Sheet, ...]
    kind: str
    columns: tuple[Column, ...]
    log: str

    @property
    def sheet(self) -> Sheet:
        """The one that is looked at."""
        return self.sheets[self.number]

    @property
    def fixed(self) -> dict[str, Any]:
        """Words for every row."""
        said = any(column.field == "log" for column in self.columns)
        return {"log": self.log} if self.log and self.kind == "tally_slab" and not said else {}

    @property
    def kinds(self) -> list[tuple[str, str]]:
        """What rows can be."""
        return [(kind, KINDS[kind].title) for kind in IMPORTABLE]

    @property
    def fields(self) -> list[tuple[str, str]]:
        """Where a column can go."""
        return [(f.name, label(f)) for f in KINDS[self.kind].table.fields if isinstance(f, Field)]


def mapped(sha256: str, said: Mapping[str, Any]) -> Mapped:
    """Read a table that was handed in, and what is said about it.

    Parameters
    ----------
    sha256 : str
        Of the file.
    said : mapping
        ``name``, ``sheet``, ``kind``, ``log``; ``field.0``, ``unit.0`` and so on.

    Raises
    ------
    Refused
        No such file, no table in it, or nothing that can be meant.
    """
    name = str(said.get("name", "table.csv"))[-120:]
    try:
        data = path_of(sha256).read_bytes()
    except OSError:
        raise BadValue("table", name, "one that was handed in", "Hand it in again.") from None
    sheets = tuple(sheets_of(data, name))
    written = str(said.get("sheet", "0"))
    number = int(written) if written.isascii() and written.isdigit() and int(written) < len(sheets) else 0
    sheet = sheets[number]
    kind = str(said.get("kind") or guess_kind(sheet))
    if kind not in IMPORTABLE:
        raise BadValue("kind", kind, f"one of {', '.join(IMPORTABLE)}")
    columns = guess_columns(sheet, kind)
    # A mapping for other rows or another sheet says nothing about these.
    if said.get("for") == f"{number} {kind}":
        columns = [
            Column(c.heading, str(said.get(f"field.{n}", "")), str(said.get(f"unit.{n}", "")))
            for n, c in enumerate(columns)
        ]
    return Mapped(name, number, sheets, kind, tuple(columns), str(said.get("log", "")).strip())

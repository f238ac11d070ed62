"""What a person may ask the rack for: one declaration, read like any other words with units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.http import QueryDict

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.web.inputs import Asking, Group, Input, Rows, asked, place_of
from pithline.web.words import words
from pithline.yard.models import Slab
from pithline.yard.models.row import Owner

__all__ = ["FILTER", "SORTS", "Wanted", "wanted"]

_T, _L = Quantity.TEXT, Quantity.LENGTH
SORTS = ("number", "species", "thickest", "longest", "widest", "newest", "dearest")
_STATES = ("in stock", *Slab.State.values, "all")

FILTER = Table(
    "rack",
    "Which slabs to show.",
    (
        Field("state", _T, "What is true of the wood now.", default="in stock", choices=_STATES),
        Field("species", _T, "Part of its name."),
        Field("least_thickness", _L, "Now, or more.", most="1 m"),
        Field("most_thickness", _L, "Now, or less.", most="1 m"),
        Field("nominal", _T, "What the trade calls its thickness, such as 12/4."),
        Field("least_length", _L, "Or longer.", most="30 m"),
        Field("least_width", _L, "Mean of both faces, or wider.", most="5 m"),
        Field("place", _T, "By name."),
        Field("stack", _T, "By name."),
        Field("log", _T, "The number of its log."),
        Field("pair", _T, "Belongs to a pair.", choices=("paired", "single")),
        Field("owner", _T, "Whose they are.", choices=tuple(Owner.values)),
        Field("sort", _T, "What comes first.", default="number", choices=SORTS),
    ),
)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What was asked for, as read, with the things to fill in that show it."""

    values: Mapping[str, Any]
    inputs: tuple[Input | Group | Rows, ...]
    query: str  # the same as an address has it
    refused: bool = False

    @property
    def narrowed(self) -> bool:
        """Whether anything but the order was asked for."""
        return bool({part.split("=")[0] for part in self.query.split("&") if part} - {"sort"})


def wanted(get: QueryDict, offers: Mapping[str, Any]) -> Wanted:
    """Read the words of an address; what cannot be meant is told beside its field and left out."""
    said = words(FILTER, get)
    problems: dict[str, str] = {}
    values: dict[str, Any] = {}
    while True:
        try:
            values = read(FILTER, {k: v for k, v in said.items() if k not in problems})
            break
        except BadValue as wrong:
            name = place_of(wrong.field, FILTER.name).split(".")[0]
            problems[name] = f"Must be {wrong.rule}. {wrong.remedy}".strip()
    query = QueryDict(mutable=True)
    query.update({k: str(v) for k, v in said.items()})
    inputs = asked(FILTER, said, Asking(problems=problems, offers=offers))
    return Wanted(values, inputs, query.urlencode(), bool(problems))

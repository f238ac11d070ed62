"""Declared fields as things to fill in: one place decides how each kind of field is asked for."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from pithline.fields import EXAMPLES, Field, Quantity, Table
from pithline.web.labels import choice_label, label

__all__ = ["Asking", "Group", "Input", "Rows", "asked", "by_name", "place_of"]

_LONG = {"note", "notes", "agreed", "access", "text"}  # asked for in a box of several lines


@dataclass(frozen=True, slots=True)
class Input:
    """One value to type, choose or tick. `form` names the template part that draws it."""

    name: str
    label: str
    help: str
    kind: str  # text, area, choice, tick, date
    value: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    hint: str = ""  # how to write it
    assumed: str = ""  # what holds where it is left empty
    source: str = ""  # where that comes from
    required: bool = False
    problem: str = ""
    offers: tuple[str, ...] = ()
    mark: str = ""

    @property
    def id(self) -> str:
        """Of the element; dots would be read as classes by a selector."""
        return f"f{self.mark}-" + re.sub(r"[^a-zA-Z0-9]+", "-", self.name)

    @property
    def template(self) -> str:
        """The part that draws it."""
        return "form/input.html"


@dataclass(frozen=True, slots=True)
class Group:
    """A table of its own within the form."""

    name: str
    label: str
    help: str
    parts: tuple[Input | Group | Rows, ...]
    problem: str = ""
    filled: bool = False

    @property
    def template(self) -> str:
        """The part that draws it."""
        return "form/group.html"

    @property
    def by(self) -> dict[str, Input | Group | Rows]:
        """Each part by its own name, for a page that lays them out itself."""
        return by_name(self.parts)


@dataclass(frozen=True, slots=True)
class Rows:
    """A list of tables: the rows there are, and an empty one for the next."""

    name: str
    label: str
    help: str
    rows: tuple[Group, ...]
    problem: str = ""
    filled: bool = False

    @property
    def template(self) -> str:
        """The part that draws it."""
        return "form/rows.html"


@dataclass(frozen=True, slots=True)
class Asking:
    """How a table is asked for.

    Attributes
    ----------
    problems : mapping of dotted name to reason
    offers : mapping of field name to names that it may take, such as places
    sources : mapping of field name to where its default comes from
    spare : rows left empty at the end of each list
    hints : say beside each measure how to write it
    mark : keeps the elements of two forms on one page apart
    more : name of a list that was asked for one row more
    """

    problems: Mapping[str, str] = field(default_factory=dict)
    offers: Mapping[str, Sequence[str]] = field(default_factory=dict)
    sources: Mapping[str, str] = field(default_factory=dict)
    spare: int = 1
    hints: bool = True
    mark: str = ""
    more: str = ""


def asked(
    table: Table, said: Mapping[str, Any], how: Asking, skip: Collection[str] = (), prefix: str = ""
) -> tuple[Input | Group | Rows, ...]:
    """Everything to fill in for a table, with what was said already."""
    parts: list[Input | Group | Rows] = []
    for one in table.fields:
        if one.name in skip:
            continue
        name = prefix + one.name
        value = said.get(one.name)
        if isinstance(one, Field):
            parts.append(_input(one, value, name, how, top=not prefix))
        elif one.many:
            parts.append(_rows(one, value, name, how))
        else:
            parts.append(_group(one, value, name, how))
    return tuple(parts)


def by_name(parts: Sequence[Input | Group | Rows]) -> dict[str, Input | Group | Rows]:
    """Each part by the last word of its name."""
    return {part.name.rpartition(".")[2]: part for part in parts}


def place_of(path: str, kind: str) -> str:
    """The dotted name of the input that a refusal speaks of: rows counted from 0, as inputs are.

    ``take_log.stations[2].at`` is ``stations.1.at``; words behind the path are cut off.
    """
    found = re.match(r"[A-Za-z_]\w*(?:\[\d+\])*(?:\.\w+(?:\[\d+\])*)*", path)
    plain = found[0] if found else path
    plain = re.sub(r"\[(\d+)\]", lambda n: f".{int(n[1]) - 1}", plain)
    return plain.removeprefix(f"{kind}.")


def _group(table: Table, said: Any, name: str, how: Asking) -> Group:
    said = said if isinstance(said, Mapping) else {}
    parts = asked(table, said, how, prefix=f"{name}.")
    return Group(name, label(table), table.help, parts, how.problems.get(name, ""), bool(said))


def _rows(table: Table, said: Any, name: str, how: Asking) -> Rows:
    said = list(said) if isinstance(said, list | tuple) else []
    rows = said + [{}] * (how.spare + (how.more == name))
    groups = []
    for n, row in enumerate(rows):
        group = _group(table, row, f"{name}.{n}", how)
        title = f"{label(table).rstrip('s')} {n + 1}"
        groups.append(Group(group.name, title, "", group.parts, group.problem, group.filled))
    return Rows(name, label(table), table.help, tuple(groups), how.problems.get(name, ""), bool(said))


def _input(one: Field, value: Any, name: str, how: Asking, top: bool) -> Input:
    kind, choices = "text", tuple((c, choice_label(one, c)) for c in one.choices)
    if one.many:
        kind, value = "area", "\n".join(str(v) for v in value) if isinstance(value, list | tuple) else value
    elif choices:
        kind = "choice"
    elif one.quantity is Quantity.FLAG:
        # A flag that holds unless denied needs three answers: nothing said, yes, no.
        kind = "tick" if not one.default else "choice"
        choices = (("yes", "yes"), ("no", "no"))
        value = {True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value
    elif one.quantity is Quantity.DATE:
        kind = "date"
    elif one.name in _LONG:
        kind = "area"
    return Input(
        name=name,
        label=label(one),
        help=one.help,
        kind=kind,
        value="" if value is None else str(value),
        choices=choices,
        hint=_hint(one) if how.hints and kind in ("text", "area") else "",
        assumed=_assumed(one),
        # A row's field may bear the name of one that has a default, and have none itself.
        source=how.sources.get(one.name, "") if name.count(".") < 2 else "",
        required=one.required and top,
        problem=how.problems.get(name, "") or (how.problems.get(f"{name}.0", "") if one.many else ""),
        offers=tuple(how.offers.get(one.name, ())),
        mark=how.mark,
    )


def _hint(one: Field) -> str:
    if one.quantity is Quantity.COUNT:
        return "a whole number"
    written = [*EXAMPLES.get(one.quantity, ())[:2], *one.words]
    hint = " or ".join(written)
    return f"{hint}; one on each line" if one.many and hint else "one on each line" if one.many else hint


def _assumed(one: Field) -> str:
    if one.default in (None, "", False) or one.required:
        return ""
    if one.default is True:
        return "yes"
    if isinstance(one.default, list | tuple):
        return ", ".join(str(v) for v in one.default)
    return choice_label(one, one.default) if one.choices else str(one.default)

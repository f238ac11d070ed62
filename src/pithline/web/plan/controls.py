"""What can be changed on the plan page: chosen fields of the tables aims, mill and rates."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.http import QueryDict

from pithline import units
from pithline.errors import BadValue, Refused
from pithline.fields import Table
from pithline.saw.written import TABLES
from pithline.web.inputs import Asking, Group, asked, place_of
from pithline.web.words import words

__all__ = ["Controls", "controls_of"]

# The first three are open, the rest behind a fold; what is not here comes from the profiles.
WANTED = ("thickness", "pith", "follow")
_SLABS = ("least_width", "least_length", "pith_deduction", "moisture", "tally", "unit")
_SAWING = ("pitch", "both_sides", "bark")
MORE = _SLABS + _SAWING
MILL = ("kerf", "bar", "bar_lost", "usable", "depth_max", "step", "rail")
RATES = ("currency", "rate", "figure", "cut_cost", "slab_cost")
SAID = "said"  # in the address: the controls were sent, so an empty one is empty on purpose


@dataclass(frozen=True, slots=True)
class Controls:
    """Everything that shapes a live plan, as typed.

    Attributes
    ----------
    tables : dict
        log, lie, mill, aims, rates: the book's with the controls' words in their place.
    said : dict
        The controls' words.
    roll : float
        [degrees], anticlockwise seen from the butt, -180 to 180, to half a degree.
    roll_free : bool
    moved, trail : str
        The wish for moved cuts, and the wishes before it, newest last, parted by ";".
    query : QueryDict
        As sent, without what only says how to answer.
    problems : mapping of control to reason
    general : str
        A refusal that no control can mend.
    """

    tables: dict[str, Any]
    said: dict[str, Any]
    roll: float
    roll_free: bool
    moved: str
    trail: str
    query: QueryDict
    problems: Mapping[str, str]
    general: str = ""

    @property
    def groups(self) -> tuple[Group, ...]:
        """Wanted, more of that, the mill, the rates: each with its inputs."""
        how = Asking(problems=self.problems)
        return tuple(
            Group(name, title, "", asked(_part(table, names, self.tables), self.said.get(table, {}), how,
                                         prefix=f"{table}."))
            for name, title, table, names in (
                ("wanted", "Wanted", "aims", WANTED),
                ("more", "More about the slabs", "aims", MORE),
                ("mill", "The mill", "mill", MILL),
                ("rates", "Rates and costs", "rates", RATES),
            )
        )  # fmt: skip

    def refused(self, problem: Refused) -> Controls:
        """The same with a reason beside the control that it speaks of."""
        text = str(problem)
        if isinstance(problem, BadValue):
            place = re.sub(r"\.\d+$", "", place_of(problem.field, ""))
            if place in {p.name for g in self.groups for p in g.parts}:
                reason = f"Must be {problem.rule}. {problem.remedy}".strip()
                return _with(self, {place: reason}, "")
        return _with(self, {}, text)

    def address(self, **changed: str) -> str:
        """The query that says all this, with some of it changed; empty words are left out."""
        query = self.query.copy()
        query[SAID] = "1"
        for name, value in changed.items():
            query[name] = value
        for name in [n for n in query if n in ("moved", "trail") and not query[n]]:
            del query[name]
        return query.urlencode()


def controls_of(base: Mapping[str, Any], query: QueryDict) -> Controls:
    """Read the controls of an address over the tables of the book.

    Parameters
    ----------
    base : mapping
        See `yard.planning.tables_of`.
    query : QueryDict
        Names are dotted, as in forms: ``aims.thickness``.
    """
    tables = {name: dict(table) if isinstance(table, Mapping) else table for name, table in base.items()}
    said: dict[str, Any] = {}
    for table, names in (("aims", WANTED + MORE), ("mill", MILL), ("rates", RATES)):
        here = _part(table, names, tables)
        if SAID in query:
            said[table] = words(here, query, prefix=f"{table}.")
            for field in here.fields:
                tables[table].pop(field.name, None)
            tables[table].update(said[table])
        else:
            said[table] = {f.name: tables[table][f.name] for f in here.fields if f.name in tables[table]}
    roll, free = _roll(tables["aims"].get("roll"), query)
    tables["aims"]["roll"] = "free" if free else f"{roll:g} deg"
    kept = query.copy()
    if SAID not in query:  # an address must say all by itself: a profile may change under it
        for table, told in said.items():
            for name, value in told.items():
                kept[f"{table}.{name}"] = _typed(value)
        kept["roll"] = f"{roll:g}"
        if free:
            kept["roll_free"] = "yes"
    for name in ("all", "move", "by", "way", "refused"):
        kept.pop(name, None)
    moved, trail = query.get("moved", "").strip(), query.get("trail", "").strip()
    return Controls(tables, said, roll, free, moved, trail, kept, {})


def _roll(written: Any, query: QueryDict) -> tuple[float, bool]:
    """Slider and tick of an address; before anything was sent, what the aims say."""
    if SAID in query:
        text = query.get("roll", "0")
        plain = float(text) if re.fullmatch(r"[+-]?\d{1,3}(\.\d{1,3})?", text) else 0.0
        return max(-180.0, min(180.0, round(2 * plain) / 2)), query.get("roll_free") == "yes"
    if written == "free":
        return 0.0, True
    turned = units.angle(str(written), "aims.roll", signed=True) if written else 0.0
    degrees = round(2 * math.degrees(turned)) / 2
    return (degrees + 180.0) % 360.0 - 180.0, False


def _typed(value: Any) -> str:
    """A table's value as its input holds it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "\n".join(str(v) for v in value) if isinstance(value, list | tuple) else str(value)


def _part(table: str, names: tuple[str, ...], tables: Mapping[str, Any]) -> Table:
    """The chosen fields of a table; of bar_lost and usable the one that is in use."""
    whole = TABLES[table]
    assert isinstance(whole, Table)
    unused = "bar_lost" if "usable" in tables.get("mill", {}) else "usable"
    return Table(table, whole.help, tuple(f for n in names if n != unused for f in [whole[n]]))


def _with(controls: Controls, problems: Mapping[str, str], general: str) -> Controls:
    return replace(controls, problems=problems, general=general)

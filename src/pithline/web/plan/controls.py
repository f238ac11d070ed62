"""What can be changed on the plan page: chosen fields of the tables aims, mill and rates."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.http import QueryDict

from pithline import units
from pithline.errors import BadValue, Refused
from pithline.fields import Field, Quantity, Table
from pithline.saw.written.inputs import TABLES
from pithline.saw.written.uses import order_row, short_row, use_row
from pithline.web.inputs import Asking, Group, asked, place_of
from pithline.web.words import words

__all__ = ["Controls", "controls_of"]

# The first three are open, the rest behind a fold; what is not here comes from the profiles.
WANTED = ("thickness", "pith", "follow")
_SLABS = ("least_width", "least_length", "pith_deduction", "moisture", "tally", "unit")
_SAWING = ("pitch", "both_sides", "alternate", "bark")
MORE = _SLABS + _SAWING
MILL = ("kerf", "bar", "bar_lost", "usable", "depth_max", "step", "rail")
RATES = ("currency", "rate", "figure", "cut_cost", "slab_cost")
USES = ("use", "carry_cost", "month_cost")
ORDERS = ("order",)
# Lists of tables that are typed as one line each.
SHORT: dict[tuple[str, str], Callable[[str, str], dict[str, Any]]] = {
    ("rates", "use"): use_row,
    ("aims", "order"): order_row,
}
_HELP = {
    "use": 'A thing on each line: "dining top: 80 cm x 2 m, at 900", "2 of bench: 38 cm x 1.5 m, at 180, '
    '8/4", "1 of wide: 45 cm x 2 m, at 1500, pair". Below every use the rate stands.',
    "order": 'A piece on each line; as many as the log can give come first: "2 of bench: 38 cm x 1.5 m, 8/4, '
    'at 180". Without a price it brings the rate.',
}
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
    fault : BadValue or None
        A use or an order that cannot be read: no plan is made of the rest.
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
    fault: BadValue | None = None

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
                ("uses", "What slabs are for", "rates", USES),
                ("orders", "Orders", "aims", ORDERS),
            )
        )  # fmt: skip

    def refused(self, problem: Refused) -> Controls:
        """The same with a reason beside the control that it speaks of."""
        text = str(problem)
        if isinstance(problem, BadValue):
            place = re.sub(r"\.\d+$", "", place_of(problem.field, ""))
            # A line stands for a whole table, so the reason stands beside all lines.
            place = next((f"{t}.{n}" for t, n in SHORT if place.startswith(f"{t}.{n}.")), place)
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
    fault: BadValue | None = None
    for table, names in (("aims", WANTED + MORE + ORDERS), ("mill", MILL), ("rates", RATES + USES)):
        here = _part(table, names, tables)
        if SAID in query:
            said[table] = words(here, query, prefix=f"{table}.")
            for field in here.fields:
                tables[table].pop(field.name, None)
            tables[table].update(said[table])
            fault = _read_lines(table, tables[table]) or fault
        else:
            said[table] = {
                f.name: [short_row(row) for row in tables[table][f.name]]
                if (table, f.name) in SHORT
                else tables[table][f.name]
                for f in here.fields
                if f.name in tables[table]
            }
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
    return Controls(tables, said, roll, free, moved, trail, kept, {}, fault=fault)


def _read_lines(table: str, here: dict[str, Any]) -> BadValue | None:
    """Put rows in the place of their lines; the first line that cannot be read is told."""
    fault = None
    for (of, name), row_of in SHORT.items():
        if of != table or name not in here:
            continue
        lines, here[name] = here[name], []
        for line in lines:
            try:
                here[name].append(row_of(line, f"{table}.{name}"))
            except BadValue as problem:
                fault = fault or problem
    return fault


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
    return Table(table, whole.help, tuple(_one(whole[n]) for n in names if n != unused))


def _one(field: Field | Table) -> Field | Table:
    """A list of tables as a box of lines; every other field as it is."""
    if isinstance(field, Table) and field.name in _HELP:
        return Field(field.name, Quantity.TEXT, _HELP[field.name], many=True)
    return field


def _with(controls: Controls, problems: Mapping[str, str], general: str) -> Controls:
    return replace(controls, problems=problems, general=general)

"""Declared fields of the tables a person writes by hand.

One declaration parses what was written and refuses what cannot be meant; from the
same one `field_schema` makes the JSON Schema, so the two can never disagree.
"""

from __future__ import annotations

import datetime
import difflib
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from pithline.errors import BadFile, BadValue

__all__ = ["EXAMPLES", "Field", "Quantity", "Table", "defaulted", "missing", "parse_toml", "read"]


class Quantity(StrEnum):
    """What a field holds; those measured are written as text with a unit."""

    LENGTH = "length"
    MASS = "mass"
    ANGLE = "angle"
    CLOCK = "clock"
    SLOPE = "slope"
    SHARE = "share"
    TEMPERATURE = "temperature"
    DURATION = "duration"
    PACE = "pace"
    AREA = "area"
    VOLUME = "volume"
    DENSITY = "density"
    TEXT = "text"
    DATE = "date"
    FLAG = "flag"
    COUNT = "count"
    NUMBER = "number"


EXAMPLES = {
    Quantity.LENGTH: ("80 mm", '3 1/8"', "2.4 m"),
    Quantity.MASS: ("32 kg", "71 lb"),
    Quantity.ANGLE: ("30 deg",),
    Quantity.CLOCK: ("3 o'clock",),
    Quantity.SLOPE: ("12 mm/m", "3 %", "2 deg"),
    Quantity.SHARE: ("8 %",),
    Quantity.TEMPERATURE: ("21 C", "70 F"),
    Quantity.DURATION: ("6 min",),
    Quantity.PACE: ("5 min/m2",),
    Quantity.AREA: ("1.8 m2",),
    Quantity.VOLUME: ("0.15 m3", "60 bf"),
    Quantity.DENSITY: ("980 kg/m3",),
    Quantity.DATE: ("2025-02-14",),
}

# The quantities whose parser lets the caller say whether a negative value makes sense.
_SIGNED = {Quantity.LENGTH, Quantity.ANGLE, Quantity.SLOPE, Quantity.SHARE}


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a table.

    Attributes
    ----------
    name : str
    quantity : Quantity
    help : str
        One sentence for the reader of the schema and of the docs.
    required : bool
    default : object
        As a person would write it ("9 mm"); None where there is none.
    least, most : str
        Allowed range, ends included, as a person would write it; "" = open.
    choices : tuple of str
        The only texts allowed (for `Quantity.TEXT`).
    words : tuple of str
        Texts allowed instead of a measured value ("centre"); handed on as they are.
    signed : bool
        A negative value makes sense.
    many : bool
        A list of values; one value alone is taken as a list of one. Parsed to a tuple.
    parse : callable (value, path) -> object, or None
        Own parser in place of the quantity's; raises `BadValue`.
    """

    name: str
    quantity: Quantity
    help: str
    required: bool = False
    default: Any = None
    least: str = ""
    most: str = ""
    choices: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    signed: bool = False
    many: bool = False
    parse: Callable[[Any, str], Any] | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """A named table of fields and further tables; `many` where it is a list ([[...]])."""

    name: str
    help: str
    fields: tuple[Field | Table, ...]
    required: bool = False
    many: bool = False

    def __getitem__(self, name: str) -> Field | Table:
        return next(f for f in self.fields if f.name == name)


def parse_toml(text: str, name: str) -> dict[str, Any]:
    """Turn TOML text into nested dicts; nothing in it is understood yet.

    Parameters
    ----------
    text : str
    name : str
        Of the file, for the message.

    Raises
    ------
    BadFile
        Naming line and column where the text is not TOML.
    """
    import tomllib

    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        at = re.search(r"\(at line (\d+), column (\d+)\)", str(problem))
        lines = text.split("\n")
        # Python 3.11 says "at end of document" where the text stops too soon.
        line, column = (int(at[1]), int(at[2])) if at else (len(lines), len(lines[-1]) + 1)
        what = re.sub(r"\s*\(at .*\)$", "", str(problem))
        shown = lines[line - 1].strip() if line <= len(lines) else ""
        where = f"{name}, line {line}, column {column}"
        raise BadFile(
            f'{where}: this is not TOML: {what}. The line reads "{shown}". '
            'Write each entry as name = "value with unit", texts in double quotes.'
        ) from None


def read(table: Table, raw: Any, path: str = "") -> dict[str, Any]:
    """Parse one table as declared.

    Parameters
    ----------
    table : Table
    raw : mapping
        As TOML, JSON or options gave it.
    path : str, optional
        How the table is called in messages; its name where left out.

    Returns
    -------
    values : dict
        Every declared name: the parsed value in SI, the parsed default, or None
        (for a list: an empty tuple). Tables become dicts, lists of tables tuples.

    Raises
    ------
    BadValue
        Unknown, missing, mistyped, unitless or out of range; names field, value and rule.
    """
    path = path or table.name
    if not isinstance(raw, Mapping):
        raise BadValue(path, raw, "a table", f"Write its fields below a line [{path}].")
    known = {f.name: f for f in table.fields}
    for key in raw:
        if key not in known:
            near = difflib.get_close_matches(str(key), known, n=1, cutoff=0.6)
            hint = f"Did you mean {near[0]}? " if near else ""
            raise BadValue(
                f"{path}.{key}" if path else str(key),
                raw[key],
                f"one of the fields of {path or 'the file'}",
                f"{hint}Known here: {', '.join(known)}.",
            )
    return {name: _entry(f, raw.get(name), f"{path}.{name}" if path else name) for name, f in known.items()}


def defaulted(table: Table, raw: Mapping[str, Any], path: str = "") -> list[tuple[str, Field]]:
    """Fields with a default that `raw` leaves out, as (path, field), tables in `raw` included."""
    path = path or table.name
    found: list[tuple[str, Field]] = []
    for f in table.fields:
        here = f"{path}.{f.name}" if path else f.name
        if isinstance(f, Field):
            if f.default is not None and f.name not in raw:
                found.append((here, f))
        elif not f.many and isinstance(raw.get(f.name, {}), Mapping):
            found += defaulted(f, raw.get(f.name, {}), here)
    return found


class _Missing:
    """Stands in a message where a value should; without the quotes of a written text."""

    def __str__(self) -> str:
        return "missing"


def missing(path: str, example: str) -> BadValue:
    """The refusal for a needed value that is not there."""
    return BadValue(path, _Missing(), "given", f"Add for instance {example}.")


def _entry(f: Field | Table, raw: Any, path: str) -> Any:
    if isinstance(f, Table):
        if f.many:
            rows = [] if raw is None else raw
            if not isinstance(rows, list | tuple):
                raise BadValue(path, raw, "a list of tables", f"Head each of them with [[{path}]].")
            # Counted from 1: a person counts their entries, not our indices.
            return tuple(read(f, row, f"{path}[{n}]") for n, row in enumerate(rows, 1))
        if raw is None:
            if f.required:
                raise BadValue(path, _Missing(), "given", f"Add a table [{path}]: {f.help}")
            return None
        return read(f, raw, path)
    if raw is None:
        if f.default is not None:
            raw = f.default
        elif f.required:
            raise missing(path, f"{f.name} = {_example(f)}")
        else:
            return () if f.many else None
    if f.many:
        values = raw if isinstance(raw, list | tuple) else [raw]
        return tuple(_value(f, v, f"{path}[{n}]") for n, v in enumerate(values, 1))
    return _value(f, raw, path)


def _value(f: Field, raw: Any, path: str) -> Any:
    if isinstance(raw, str) and raw.strip().lower() in f.words:
        return raw.strip().lower()
    if f.parse is not None:
        return f.parse(raw, path)
    try:
        value = _parsed(f, raw, path)
    except BadValue as wrong:
        if not f.words:
            raise
        words = " or ".join(f'"{word}"' for word in f.words)
        raise BadValue(path, raw, f"{wrong.rule}, or {words}", wrong.remedy) from None
    if isinstance(value, float) and not math.isfinite(value):
        raise BadValue(path, raw, "a finite number", f"Write for instance {_example(f)}.")
    for bound, broken in ((f.least, _below), (f.most, _above)):
        if bound and broken(value, _parsed(f, _bound(f, bound), path)):
            between = " and ".join(
                part
                for part in (f"at least {f.least}" if f.least else "", f"at most {f.most}" if f.most else "")
                if part
            )
            raise BadValue(path, raw, between, "Measure again, or look at the unit.")
    return value


def _below(value: Any, bound: Any) -> bool:
    return bool(value < bound)


def _above(value: Any, bound: Any) -> bool:
    return bool(value > bound)


def _bound(f: Field, text: str) -> Any:
    if f.quantity is Quantity.COUNT:
        return int(text)
    return float(text) if f.quantity is Quantity.NUMBER else text


def _parsed(f: Field, raw: Any, path: str) -> Any:
    match f.quantity:
        case Quantity.FLAG:
            return _of_type(raw, bool, path, "true or false")
        case Quantity.COUNT:
            if isinstance(raw, bool) or not isinstance(raw, int):
                raise BadValue(path, raw, "a whole number")
            return raw
        case Quantity.NUMBER:
            if isinstance(raw, bool) or not isinstance(raw, int | float):
                raise BadValue(path, raw, "a plain number")
            return float(raw)
        case Quantity.TEXT:
            return _text(f, raw, path)
        case Quantity.DATE:
            return _date(raw, path)
        case _:
            return _measured(f, raw, path)


def _measured(f: Field, raw: Any, path: str) -> float:
    from pithline import units

    if isinstance(raw, bool) or not isinstance(raw, str | int | float):
        raise BadValue(path, raw, f"a {f.quantity} with its unit", f"Write for instance {_example(f)}.")
    parser = getattr(units, str(f.quantity))
    value: float = parser(raw, path, signed=f.signed) if f.quantity in _SIGNED else parser(raw, path)
    return value


def _text(f: Field, raw: Any, path: str) -> str:
    text: str = _of_type(raw, str, path, "a text in quotes").strip()
    if not f.choices:
        return text
    for choice in f.choices:
        if text.lower() == choice.lower():
            return choice
    listed = ", ".join(f'"{c}"' for c in f.choices)
    near = difflib.get_close_matches(text.lower(), f.choices, n=1, cutoff=0.5)
    raise BadValue(path, raw, f"one of {listed}", f'Did you mean "{near[0]}"?' if near else "")


def _date(raw: Any, path: str) -> datetime.date:
    if isinstance(raw, datetime.datetime):
        return raw.date()
    if isinstance(raw, datetime.date):
        return raw
    try:
        return datetime.date.fromisoformat(raw)
    except (TypeError, ValueError):
        raise BadValue(path, raw, "a date", "Write year-month-day, for instance 2025-02-14.") from None


def _of_type(raw: Any, kind: type, path: str, rule: str) -> Any:
    if not isinstance(raw, kind):
        raise BadValue(path, raw, rule)
    return raw


def _example(f: Field) -> str:
    if f.choices:
        return f'"{f.choices[0]}"'
    plain = {
        Quantity.FLAG: "true",
        Quantity.COUNT: "1",
        Quantity.NUMBER: "1.5",
        Quantity.DATE: "2025-02-14",
        # The help of a field that is written its own way shows how.
        Quantity.TEXT: found[0] if (found := re.search(r'"[^"]+"', f.help)) else '"..."',
    }
    return plain.get(f.quantity) or f'"{EXAMPLES[f.quantity][0]}"'

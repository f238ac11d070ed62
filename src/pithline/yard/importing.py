"""Import: a spreadsheet's columns mapped to the fields of an entry kind; tried first, then done whole."""

from __future__ import annotations

import difflib
import hashlib
import re
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from pithline.errors import BadValue, Refused
from pithline.fields import Field, Quantity, Table
from pithline.yard.kinds import KINDS, Who, perform
from pithline.yard.sheets_in import Sheet
from pithline.yard.written_rows import KIND_OF

__all__ = ["IMPORTABLE", "Column", "Outcome", "do_import", "guess_columns", "guess_kind", "try_import"]

_GUESSED = ("tally_slab", "take_log", "add_contact", "add_place", "build_stack", "ask_for")
IMPORTABLE = (*_GUESSED, *KIND_OF.values())
Progress = Callable[[float, str], None]

# What people call a field in their own tables; folded to lower case without marks.
_CALLED = {
    "thickness": ("thick", "thk", "t"),
    "length": ("len", "l", "long"),
    "widths": ("width", "w", "wide", "narrow", "narrow face", "wide face", "top face", "bottom face"),
    "number": ("no", "nr", "slab no", "slab number", "piece", "board"),
    "log": ("log no", "log number", "tree"),
    "species": ("wood", "kind of wood"),
    "moisture": ("mc", "moisture content"),
    "holds_pith": ("pith",),
    "weight": ("mass",),
    "sawn_on": ("date", "sawn", "cut on"),
    "note": ("notes", "remark", "remarks", "comment", "comments"),
    "place": ("location", "where"),
    "phone": ("telephone", "tel", "mobile"),
    "email": ("mail", "e mail"),
    "owner_contact": ("owner name",),
    "name": ("title", "called"),
}
_UNITS = (
    "mm",
    "cm",
    "m",
    "in",
    "ft",
    "inch",
    "inches",
    "feet",
    "kg",
    "lb",
    "lbs",
    "t",
    "percent",
    "%",
    "deg",
)
_PLAIN = {"inch": "in", "inches": "in", "feet": "ft", "lbs": "lb", "percent": "%"}
_USUAL = {
    Quantity.LENGTH: ("m", "mm", "cm", "in", "ft"),
    Quantity.MASS: ("kg", "lb", "t"),
    Quantity.SHARE: ("%",),
    Quantity.TEMPERATURE: ("C", "F"),
}
_YES, _NO = {"yes", "y", "true", "x", "1"}, {"no", "n", "false", "0"}
_SPACE = uuid.UUID("8f0f6c1e-6d2b-5e0a-9b61-6a1f0a4b5d21")  # of our own, for the identities of imported rows
# Of our own export: what a slab became; such rows are no slabs to tally.
_GONE = {"retired", "sold", "scrap"}


@dataclass(frozen=True, slots=True)
class Column:
    """Where a column goes.

    Attributes
    ----------
    heading : str
    field : str
        Of the kind; "" leaves the column out.
    unit : str
        Put behind numbers that stand bare in it; "" for none.
    """

    heading: str
    field: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What becomes of one row.

    Attributes
    ----------
    row : int
        As the spreadsheet counts it: the headings are row 1.
    said : mapping
        The entry's words.
    told : str
        What it made, or why it was refused or left out.
    fate : {"done", "known", "left out", "refused"}
    field : str
        Of a refusal.
    """

    row: int
    said: Mapping[str, Any]
    told: str
    fate: str
    field: str = ""


def guess_kind(sheet: Sheet) -> str:
    """The entry kind whose fields the headings name best."""

    def fits(kind: str) -> tuple[float, int]:
        fields = {c.field for c in guess_columns(sheet, kind)} - {""}
        needed = {f.name for f in KINDS[kind].table.fields if f.required}
        return len(needed & fields) / max(len(needed), 1), len(fields)

    by_name = {"contacts": "add_contact", "places": "add_place", "stacks": "build_stack", "logs": "take_log"}
    # The others need so few fields that a tally with a column of weights would pass for them.
    return (by_name | KIND_OF).get(sheet.name.lower()) or max(_GUESSED, key=fits)


def guess_columns(sheet: Sheet, kind: str) -> list[Column]:
    """A first mapping, by what the headings say: ``Thickness (mm)``, ``length_m``, ``Narrow face in``."""
    fields = {f.name: f for f in KINDS[kind].table.fields if isinstance(f, Field)}
    taken: set[str] = set()
    columns = []
    for heading in sheet.headings:
        words, unit = _parted(heading)
        name = _field_for(words, fields)
        warm = _field_for(words[:-2], fields) if words[-2:] in (" c", " f") else ""
        if warm and fields[warm].quantity is Quantity.TEMPERATURE:
            name, unit = warm, words[-1].upper()
        if name in taken and name != "widths":
            name = ""
        if name:
            taken.add(name)
        measured = name == "widths" or name == "thickness" or (name and fields[name].quantity in _USUAL)
        columns.append(Column(heading, name, unit if measured else ""))
    return columns


def try_import(
    sheet: Sheet, kind: str, columns: Sequence[Column], fixed: Mapping[str, Any] | None = None
) -> list[Outcome]:
    """Show what an import would do, row by row, and do nothing.

    Parameters
    ----------
    sheet : Sheet
    kind : str
        One of `IMPORTABLE`.
    columns : sequence of Column
    fixed : mapping, optional
        Words for every row that no column says, such as ``{"log": "14"}``.

    Raises
    ------
    BadValue
        A kind that cannot be imported, or a field that it does not have.
    """
    outcomes: list[Outcome] = []
    with transaction.atomic():
        outcomes = _enter(sheet, kind, columns, fixed or {}, Who(), lambda *_: None)
        transaction.set_rollback(True)
    return outcomes


def do_import(
    sheet: Sheet,
    kind: str,
    columns: Sequence[Column],
    fixed: Mapping[str, Any] | None = None,
    who: Who | None = None,
    progress: Progress = lambda *_: None,
) -> list[Outcome]:
    """Enter every row, or none where one is refused. The same rows twice are entered once.

    Parameters
    ----------
    sheet, kind, columns, fixed
        See `try_import`.
    who : Who, optional
    progress : callable
        Told the fraction done; what it raises stops the import, and nothing is entered.

    Raises
    ------
    BadValue
        Naming the first refused row; or as `try_import`.
    """
    with transaction.atomic():
        outcomes = _enter(sheet, kind, columns, fixed or {}, who or Who(), progress)
        wrong = [o for o in outcomes if o.fate == "refused"]
        if wrong:
            more = f" and {len(wrong) - 1} further rows" if wrong[1:] else ""
            raise BadValue(
                f"row {wrong[0].row}",
                wrong[0].field or "the row",
                f"one that can be entered{more}",
                wrong[0].told,
            )
    return outcomes


def _enter(
    sheet: Sheet,
    kind: str,
    columns: Sequence[Column],
    fixed: Mapping[str, Any],
    who: Who,
    progress: Progress,
) -> list[Outcome]:
    table = _table(kind)
    _sound(table, sheet, columns)
    outcomes = []
    for n, cells in enumerate(sheet.rows):
        if n % 20 == 0:
            progress(n / len(sheet.rows), f"row {n + 2}")
        outcomes.append(_row(sheet, kind, table, columns, fixed, who, n + 2, cells))
    return outcomes


def _row(
    sheet: Sheet,
    kind: str,
    table: Table,
    columns: Sequence[Column],
    fixed: Mapping[str, Any],
    who: Who,
    row: int,
    cells: tuple[str, ...],
) -> Outcome:
    apart = dict(zip(sheet.headings, cells, strict=True))
    if kind == "tally_slab" and (apart.get("suffix") or apart.get("now") in _GONE):
        return Outcome(row, {}, "A piece or what is gone: a restore brings those back.", "left out")
    said: dict[str, Any] = {}
    try:
        said = dict(fixed) | _words(table, columns, cells)
        # Who says the same in the same row of the same table says it once.
        one = uuid.uuid5(_SPACE, hashlib.sha256(repr((kind, row, sorted(said.items()))).encode()).hexdigest())
        with transaction.atomic():
            done = perform(kind, said, who=who, id=one)
    except BadValue as wrong:
        return Outcome(
            row, said, str(wrong).removeprefix(f"{kind}."), "refused", wrong.field.rsplit(".", 1)[-1]
        )
    except Refused as wrong:
        return Outcome(row, said, str(wrong), "refused")
    return Outcome(row, said, str(done.subject), "known" if done.repeated else "done")


def _words(table: Table, columns: Sequence[Column], cells: Sequence[str]) -> dict[str, Any]:
    said: dict[str, Any] = {}
    faces: list[str] = []
    for column, cell in zip(columns, cells, strict=True):
        cell = cell.strip()
        if not column.field or not cell:
            continue
        field = table[column.field]
        assert isinstance(field, Field)
        text = _with_unit(cell, column.unit)
        if column.field == "widths":
            faces.append(text)
        else:
            said[column.field] = _value(field, text)
    if faces:
        said["widths"] = _widths(columns, faces)
    return said


def _widths(columns: Sequence[Column], faces: list[str]) -> list[str]:
    """Widths of one row: a text that holds them all, two faces, or one column a place."""
    parts = [part.strip() for face in faces for part in face.split(";") if part.strip()]
    named = [_parted(c.heading)[0] for c in columns if c.field == "widths"]
    both = any("narrow" in n for n in named) and any("wide" in n.split() or "wide face" in n for n in named)
    if both and len(parts) == 2:
        return [" / ".join(parts)]
    return parts


def _value(field: Field, text: str) -> Any:
    """A cell as the kind's field wants it typed."""
    if field.quantity is Quantity.COUNT and field.parse is None:
        plain = re.fullmatch(r"(?:\d+-)?(\d+)(?:\.0+)?", text)
        if not plain:
            raise BadValue(field.name, text, "a whole number")
        return int(plain[1])
    if field.quantity is Quantity.NUMBER and field.parse is None:
        try:
            return float(text)
        except ValueError:
            raise BadValue(field.name, text, "a plain number") from None
    if field.quantity is Quantity.FLAG:
        if text.lower() in _YES | _NO:
            return text.lower() in _YES
        raise BadValue(field.name, text, "yes or no")
    if field.many:
        return [part.strip() for part in re.split(r"[;,]", text) if part.strip()]
    return text


def _with_unit(cell: str, unit: str) -> str:
    if unit and re.fullmatch(r"-?\d+(?:\.\d+)?(?:e-?\d+)?|\d+ \d+/\d+|\d+/\d+", cell):
        # A spreadsheet may write 1e-05; a person would not.
        number = f"{float(cell):.12g}" if re.fullmatch(r"-?[\d.]+(?:e-?\d+)?", cell) else cell
        return f"{number} {unit}"
    return cell


def _parted(heading: str) -> tuple[str, str]:
    """Words and unit of a heading."""
    words = re.sub(r"[_\-./()\[\],:]+", " ", heading.lower().replace('"', " in ")).split()
    if len(words) > 1 and words[-1] in _UNITS:
        unit = words.pop()
        return " ".join(words), _PLAIN.get(unit, unit)
    return " ".join(words), ""


def _field_for(words: str, fields: Mapping[str, Field]) -> str:
    plain = {name.replace("_", " "): name for name in fields}
    if words in plain:
        return plain[words]
    for name, called in _CALLED.items():
        if name in fields and words in called:
            return name
    if "widths" in fields and re.fullmatch(r"(mean |average )?widths?( .*)?|.* widths?|w ?\d", words):
        # Our own export tells the mean beside the widths that it was made of.
        return "" if words.startswith(("mean", "average")) else "widths"
    near = difflib.get_close_matches(words, plain, n=1, cutoff=0.85)
    return plain[near[0]] if near else ""


def _table(kind: str) -> Table:
    if kind not in IMPORTABLE:
        raise BadValue("kind", kind, f"one of {', '.join(IMPORTABLE)}")
    return KINDS[kind].table


def _sound(table: Table, sheet: Sheet, columns: Sequence[Column]) -> None:
    if [c.heading for c in columns] != list(sheet.headings):
        raise BadValue("columns", len(columns), f"one for each of the {len(sheet.headings)} headings")
    names = {f.name for f in table.fields if isinstance(f, Field)}
    taken: set[str] = set()
    for column in columns:
        if column.field and column.field not in names:
            raise BadValue(column.heading, column.field, f"one of {', '.join(sorted(names))}")
        if column.field in taken and column.field not in ("", "widths"):
            raise BadValue(column.heading, column.field, "named by one column only", "Leave one of them out.")
        taken.add(column.field)

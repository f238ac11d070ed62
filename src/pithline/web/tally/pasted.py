"""Lines from a spreadsheet or a notebook, laid out as rows of the tally."""

from __future__ import annotations

import csv
import io
import re
from typing import Any

from pithline.errors import BadValue

__all__ = ["COLUMNS", "UNITS", "laid_out"]

# Column of the tally and what people head it with.
COLUMNS: dict[str, tuple[str, ...]] = {
    "number": ("number", "no", "nr", "slab", "#"),
    "thickness": ("thickness", "thick", "t"),
    "length": ("length", "long", "l"),
    "widths": ("widths", "width", "wide", "w", "narrow / wide", "faces"),
    "nominal": ("nominal", "trade", "quarters"),
    "weight": ("weight", "mass", "kg", "lb"),
    "moisture": ("moisture", "mc", "%"),
    "stack": ("stack", "pile"),
    "layer": ("layer",),
    "note": ("note", "notes", "remark", "remarks"),
}
UNITS = ("mm", "cm", "m", "in", "ft")
_USUAL = ("number", "thickness", "length", "widths", "weight", "note")
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?(?: \d+/\d+)?|\d+/\d+")
_MOST = 500


def laid_out(text: str, unit: str, length_unit: str) -> list[dict[str, Any]]:
    """Rows of words, as the form has them.

    Parameters
    ----------
    text : str
        Cells by tab, else semicolon, else comma; a first line of headings where it has one,
        else number, thickness, length, widths, weight, note.
    unit, length_unit : str
        Put behind plain numbers: of thickness and widths, and of lengths.

    Raises
    ------
    BadValue
        No line, too many, or a heading that is not known.

    Notes
    -----
    Widths of a slab in one cell are parted by ``;`` or ``|``, its two faces by ``/``.
    A comma in a number is read as a decimal point only where cells are not parted by commas.
    """
    for name, given in (("unit", unit), ("length_unit", length_unit)):
        if given not in UNITS:
            raise BadValue(name, given, f"one of {', '.join(UNITS)}")
    lines = [line for line in text.replace("\x00", "").splitlines() if line.strip()]
    if not lines or len(lines) > _MOST:
        raise BadValue("lines", len(lines), f"from 1 to {_MOST}", "Paste the rows of one log.")
    parted = next((mark for mark in "\t;," if mark in lines[0]), "\t")
    cells = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=parted))
    heads = _heads(cells[0])
    rows = cells[1:] if heads else cells
    heads = heads or list(_USUAL)
    units = {"thickness": unit, "widths": unit, "length": length_unit, "weight": "kg", "moisture": "%"}
    told = []
    for row in rows:
        said: dict[str, Any] = {}
        for head, cell in zip(heads, row, strict=False):
            cell = cell.strip()
            if not cell or not head:
                continue
            if head == "widths":
                parts = re.split(r"[;|]", cell)
                # Columns of widths beside each other are one list.
                said.setdefault(head, []).extend(_faces(p, units[head]) for p in parts if p.strip())
            elif head in ("number", "layer"):
                said[head] = int(cell) if cell.isascii() and cell.isdigit() and len(cell) < 10 else cell
            else:
                said[head] = _with_unit(cell, units[head]) if head in units else cell
        if said:
            told.append(said)
    return told


def _heads(first: list[str]) -> list[str] | None:
    """Columns by their headings; None where the first line holds numbers."""
    if any(_NUMBER.match(cell.strip()) for cell in first):
        return None
    heads = []
    for cell in first:
        plain = re.sub(r"\s*[\[(].*?[\])]|\s+\d+$", "", cell).strip().lower()
        known = next((name for name, words in COLUMNS.items() if plain in words), None)
        if known is None and plain:
            raise BadValue(
                "heading",
                cell,
                f"one of {', '.join(COLUMNS)}",
                "Rename the column, or leave its heading empty.",
            )
        heads.append(known or "")
    return heads


def _faces(text: str, unit: str) -> str:
    """One width, or both faces, with a place before it as it is."""
    place, colon, faces = text.strip().rpartition(":")
    # Room on either side of a slash parts faces. Without room it does so between plain metric numbers
    # (45/52); in inches it is a fraction (3 1/8), unless nobody's rule has such a one.
    bare = re.fullmatch(r"[\d.,]+/([\d.,]+)", faces.strip())
    tight = bare and (unit in ("mm", "cm", "m") or bare[1] not in ("2", "4", "8", "16", "32"))
    parts = re.split(r"\s*/\s*" if tight else r"\s+/\s*|/\s+", faces.strip())
    told = " / ".join(_with_unit(part.strip(), unit) for part in parts)
    return f"{place}: {told}" if colon else told


def _with_unit(cell: str, unit: str) -> str:
    # A fraction is one of an inch; 12/4 names a thickness; 450/520 m is a cell in the wrong column.
    fraction = "/" in cell and (unit not in ("in", "ft") or re.fullmatch(r"\d+/4", cell))
    if _NUMBER.fullmatch(cell) and not fraction:
        return f"{cell.replace(',', '.')} {unit}"
    return cell

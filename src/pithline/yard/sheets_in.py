"""A spreadsheet as it comes in: CSV, TSV, JSON or XLSX into headings and rows of text."""

from __future__ import annotations

import csv
import datetime
import io
import json
import zipfile
from dataclasses import dataclass
from typing import Any

from pithline.errors import BadFile

__all__ = ["MOST_BYTES", "MOST_ROWS", "Sheet", "sheets_of"]

MOST_BYTES = 20_000_000
MOST_ROWS = 20_000
_MOST_COLUMNS = 200
_MOST_UNPACKED = 200_000_000
_MARKED = ("=", "+", "-", "@", "\t", "\r", "'")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table.

    Attributes
    ----------
    name : str
    headings : tuple of str
    rows : tuple of tuple of str
        Each as long as `headings`; an empty cell is "".
    """

    name: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def sheets_of(data: bytes, name: str) -> list[Sheet]:
    """Read every table of a file.

    Parameters
    ----------
    data : bytes
    name : str
        Of the file; its ending tells the format, else it is taken for CSV.

    Raises
    ------
    BadFile
        Too large, damaged, not UTF-8, or without a row of headings.
    """
    if len(data) > MOST_BYTES:
        raise BadFile(f"{name} has {len(data) / 1e6:.0f} MB; at most {MOST_BYTES / 1e6:.0f} can be imported.")
    ending = name.rsplit(".", 1)[-1].lower()
    if ending == "xlsx":
        found = _xlsx(data, name)
    elif ending == "json":
        found = _json(data, name)
    elif ending == "zip":
        found = _zip(data, name)
    else:
        found = [_csv(data, name)]
    found = [sheet for sheet in found if sheet.rows]
    if not found:
        raise BadFile(f"{name} holds no table: a row of headings and rows below it.")
    return found


def _sheet(name: str, lines: list[list[str]], whole: str) -> Sheet:
    lines = [line for line in lines if any(cell.strip() for cell in line)]
    if len(lines) > MOST_ROWS + 1 or any(len(line) > _MOST_COLUMNS for line in lines):
        raise BadFile(f"{whole} has more than {MOST_ROWS} rows or {_MOST_COLUMNS} columns. Take it in parts.")
    if not lines:
        return Sheet(name, (), ())
    headings = [cell.strip() for cell in lines[0]]
    while headings and not headings[-1]:
        headings.pop()
    wide = len(headings)
    rows = tuple(tuple(_plain(c) for c in [*line, *[""] * wide][:wide]) for line in lines[1:])
    return Sheet(name, tuple(headings), rows)


def _plain(cell: str) -> str:
    """Take the apostrophe off that kept a text from being a formula."""
    cell = cell.strip(" ")
    return cell[1:] if cell[:1] == "'" and cell[1:2] in _MARKED and len(cell) > 1 else cell


def _csv(data: bytes, name: str) -> Sheet:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadFile(f"{name} is not UTF-8 text. Save it as CSV UTF-8, or as XLSX.") from None
    if "\0" in text:
        raise BadFile(f"{name} is no text. Save it as CSV UTF-8, or as XLSX.")
    first = text.split("\n", 1)[0]
    # The mark that stands most often in the headings parts the columns.
    mark = max("\t;,", key=first.count)
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True))
    except csv.Error as problem:
        raise BadFile(f"{name} cannot be read as CSV: {problem}.") from None
    return _sheet(name.rsplit(".", 1)[0], lines, name)


def _json(data: bytes, name: str) -> list[Sheet]:
    try:
        told = json.loads(data)
    except (ValueError, RecursionError) as problem:
        raise BadFile(f"{name} is not JSON: {problem}.") from None
    tables = told if isinstance(told, dict) else {name.rsplit(".", 1)[0]: told}
    found = []
    for title, rows in tables.items():
        if isinstance(rows, list) and rows and all(isinstance(row, dict) for row in rows):
            headings = list(dict.fromkeys(str(key) for row in rows for key in row))
            lines = [[_text(row.get(h)) for h in headings] for row in rows]
            found.append(_sheet(str(title), [headings, *lines], name))
    return found


def _zip(data: bytes, name: str) -> list[Sheet]:
    with _unpacked(data, name) as archive:
        return [
            _csv(archive.read(info), info.filename)
            for info in archive.infolist()
            # What our own export keeps for a restore is no table to enter, and its cells may be huge.
            if info.filename.lower().endswith(".csv") and not info.filename.startswith("kept_")
        ]


def _xlsx(data: bytes, name: str) -> list[Sheet]:
    from openpyxl import load_workbook

    _unpacked(data, name).close()
    try:
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        found = []
        for sheet in book.worksheets:
            rows = sheet.iter_rows(values_only=True, max_col=_MOST_COLUMNS + 1, max_row=MOST_ROWS + 2)
            lines = [[_text(cell) for cell in row] for row in rows]
            # Empty columns to the right are the sheet's, not the table's.
            wide = max((n + 1 for line in lines for n, c in enumerate(line) if c), default=0)
            found.append(_sheet(sheet.title, [line[:wide] for line in lines], name))
        book.close()
    except BadFile:
        raise
    except Exception as problem:  # noqa: BLE001  (whatever a damaged workbook does to its reader)
        raise BadFile(f"{name} cannot be read as a workbook: {type(problem).__name__}.") from None
    return found


def _unpacked(data: bytes, name: str) -> zipfile.ZipFile:
    """Open, once its members are known to unpack to a bearable size."""
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, ValueError, OSError) as problem:
        raise BadFile(f"{name} cannot be opened: {problem}.") from None
    if sum(info.file_size for info in archive.infolist()) > _MOST_UNPACKED:
        raise BadFile(f"{name} unpacks to more than {_MOST_UNPACKED / 1e6:.0f} MB.")
    return archive


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, datetime.datetime):
        return value.date().isoformat() if value.time() == datetime.time() else value.isoformat()
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False)
    return str(value)

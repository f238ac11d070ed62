"""``pithline import``: tables from a spreadsheet, shown first, then entered."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pithline.cli.book_input import book_options, open_existing

if TYPE_CHECKING:
    from pithline.yard.importing import Column, Outcome
    from pithline.yard.sheets_in import Sheet

__all__ = ["command"]

_SHOWN = 20  # rows on the terminal; --json has all
_KINDS = (
    *("tally_slab", "take_log", "add_contact", "add_place", "build_stack", "ask_for"),
    *("cut_sample", "weigh_piece", "read_meter", "note_work", "note_spending", "sell_slab"),
    *("note_comparable", "note_lumber"),
)


@click.command(
    "import",
    epilog="""
\b
Examples:
  pithline import demo/offers.csv
  pithline import demo/offers.csv --column "Remark=" --enter

\b
A tally of your own, with bare numbers in millimetres under "Thk", for log 1:
  --kind tally_slab --every log=1 --column "Thk=thickness mm"
""",
)
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--sheet", metavar="NAME", help="Which table of the file; else the first.")
@click.option("--kind", type=click.Choice(_KINDS), help="What a row is; else guessed.")
@click.option(
    "--column",
    "mapped",
    multiple=True,
    metavar="HEADING=FIELD [UNIT]",
    help="Where a column goes, and the unit of its bare numbers; nothing after = leaves it out. Repeat.",
)
@click.option("--every", multiple=True, metavar="FIELD=WORDS", help="Said of every row. Repeat for more.")
@click.option("--enter", is_flag=True, help="Enter the rows; without it they are only shown.")
@book_options
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/import/1).")
def command(
    file: Path,
    sheet: str | None,
    kind: str | None,
    mapped: tuple[str, ...],
    every: tuple[str, ...],
    enter: bool,
    book: Path | None,
    database: str | None,
    as_json: bool,
) -> None:
    """Take a table from FILE (CSV, JSON, XLSX): an export of ours, or a list of your own.

    Shows which column goes where and what each row would do, and changes
    nothing; with --enter the rows are entered, all of them or none. The same
    table twice is entered once.
    """
    from pithline.errors import BadFile

    try:
        data = file.read_bytes()
    except OSError as problem:
        raise BadFile(f"{file} cannot be read: {problem.strerror}. Look at the path.") from None
    open_existing(book, database)
    from pithline.yard.importing import do_import, guess_columns, guess_kind, try_import
    from pithline.yard.kinds import Who

    table = _sheet(data, file, sheet)
    kind = kind or guess_kind(table)
    columns = _mapped(guess_columns(table, kind), mapped)
    fixed = dict(_parted(text, "--every") for text in every)
    outcomes = try_import(table, kind, columns, fixed)
    refused = [o for o in outcomes if o.fate == "refused"]
    entered = enter and not refused
    if entered:
        outcomes = do_import(table, kind, columns, fixed, Who(device="command line"))
    if as_json:
        click.echo(_json(kind, columns, outcomes, entered))
    else:
        _show(kind, columns, outcomes, entered)
    if refused:
        click.echo(f"Refused: {len(refused)} of {len(outcomes)} rows, so nothing is entered.", err=True)
        click.get_current_context().exit(2)
    if not enter:
        click.echo("Nothing is entered yet. If it is right so, say --enter.", err=True)


def _sheet(data: bytes, file: Path, name: str | None) -> Sheet:
    from pithline.errors import BadValue
    from pithline.yard.sheets_in import sheets_of

    found = sheets_of(data, file.name)
    names = ", ".join(s.name for s in found)
    if name is None:
        if len(found) > 1:
            click.echo(
                f"Remark: {file.name} holds {names}; this is the first. Say --sheet for another.", err=True
            )
        return found[0]
    for one in found:
        if one.name.lower() == name.lower():
            return one
    raise BadValue("--sheet", name, f"one of {names}")


def _parted(text: str, option: str) -> tuple[str, str]:
    from pithline.errors import BadValue

    name, equals, words = text.partition("=")
    if not equals or not name.strip():
        raise BadValue(option, text, "a name, =, and what it is", f'Write {option} "log=1".')
    return name.strip(), words.strip()


def _mapped(columns: list[Column], said: Sequence[str]) -> list[Column]:
    from pithline.errors import BadValue

    for text in said:
        heading, words = _parted(text, "--column")
        field, _, unit = words.partition(" ")
        if heading not in [c.heading for c in columns]:
            raise BadValue("--column", heading, f"one of {', '.join(c.heading for c in columns)}")
        columns = [
            dataclasses.replace(c, field=field, unit=unit.strip()) if c.heading == heading else c
            for c in columns
        ]
    return columns


def _json(kind: str, columns: Sequence[Column], outcomes: Sequence[Outcome], entered: bool) -> str:
    import json

    record: dict[str, Any] = {
        "schema": "pithline/import/1",
        "kind": kind,
        "entered": entered,
        "columns": [dataclasses.asdict(c) for c in columns],
        "rows": [{"row": o.row, "fate": o.fate, "told": o.told, "field": o.field} for o in outcomes],
    }
    return json.dumps(record, indent=2, ensure_ascii=False)


def _show(kind: str, columns: Sequence[Column], outcomes: Sequence[Outcome], entered: bool) -> None:
    click.echo(f"Each row is: {kind}")
    for column in columns:
        where = " ".join(part for part in (column.field, f"[{column.unit}]" if column.unit else "") if part)
        click.echo(f"  {column.heading}: {where or 'left out'}")
    # What was refused is shown first: it is what must be mended.
    rows = sorted(outcomes, key=lambda o: o.fate != "refused")
    would = {"done": "entered" if entered else "would be entered", "known": "was entered before"}
    for row in rows[:_SHOWN]:
        click.echo(f"Row {row.row}: {would.get(row.fate, row.fate)}: {row.told}")
    if len(rows) > _SHOWN:
        click.echo(f"... and {len(rows) - _SHOWN} further rows; --json shows all.")

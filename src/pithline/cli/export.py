"""``pithline export``: the book as plain tables."""

from __future__ import annotations

from pathlib import Path

import click

from pithline.cli.book_input import book_options, open_existing

__all__ = ["command"]


@click.command(
    "export",
    epilog="""
\b
Examples:
  pithline export yard.xlsx
  pithline export yard.zip --json

\b
The ending tells the format: .xlsx, .json, or .zip with a CSV file for each table.
""",
)
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--as", "how", type=click.Choice(["csv", "json", "xlsx"]), help="Whatever the ending says.")
@book_options
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/export/1).")
def command(file: Path, how: str | None, book: Path | None, database: str | None, as_json: bool) -> None:
    """Write every table of the book into FILE, units in the headings.

    What `pithline import` takes again are contacts, places, stacks, logs and
    slabs; to save a book whole, use `pithline backup`.
    """
    open_existing(book, database)
    from pithline.yard.export import export

    rows = export(file, how)
    if as_json:
        import json

        click.echo(json.dumps({"schema": "pithline/export/1", "path": str(file), "rows": rows}, indent=2))
    else:
        click.echo(f"{file}: {rows} rows.")

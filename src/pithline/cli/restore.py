"""``pithline restore``: a book from its backup."""

from __future__ import annotations

from pathlib import Path

import click

from pithline.cli.book_input import book_options

__all__ = ["command"]


@click.command(
    "restore",
    epilog="""
\b
Examples:
  pithline backup yard.zip
  pithline restore yard.zip --book restored
""",
)
@click.argument("archive", type=click.Path(path_type=Path, dir_okay=False))
@book_options
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/restore/1).")
def command(archive: Path, book: Path | None, database: str | None, as_json: bool) -> None:
    """Fill an empty book from an ARCHIVE that `pithline backup` wrote, of SQLite or PostgreSQL.

    Every row and file is held against its digest first; on any doubt nothing is
    restored. A book that holds something is never written over.
    """
    from pithline.errors import BadFile
    from pithline.yard.opening import book_folder, configure

    if not archive.is_file():
        raise BadFile(f"{archive} is not there. Look at the path.")
    folder = book_folder(book)
    configure(folder, database)
    from pithline.yard.restore import restore

    back = restore(archive)
    if as_json:
        import json

        record = {
            "schema": "pithline/restore/1",
            "book": str(folder),
            "rows": back.rows,
            "files": back.files,
            "version": back.version,
            "made_at": back.made_at,
            "missing": list(back.missing),
        }
        click.echo(json.dumps(record, indent=2))
    else:
        click.echo(
            f"{folder}: {back.rows} rows and {back.files} files, as they were at {back.made_at[:16]} UTC "
            f"(Pithline {back.version})."
        )
    if back.missing:
        click.echo(f"Remark: {len(back.missing)} files were missing already when it was saved.", err=True)

"""``pithline backup``: the whole book in one archive."""

from __future__ import annotations

from pathlib import Path

import click

from pithline.cli.book_input import book_options, open_existing

__all__ = ["command"]


@click.command(
    "backup",
    epilog="""
\b
Examples:
  pithline backup yard.zip
  pithline backup yard.zip --json

\b
The archive holds every row and every file, and a digest of each. Whoever has it can read
the book, so keep it as you keep the book; and keep one away from the yard.
""",
)
@click.argument("archive", type=click.Path(path_type=Path, dir_okay=False))
@book_options
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/backup/1).")
def command(archive: Path, book: Path | None, database: str | None, as_json: bool) -> None:
    """Write the whole book into one ARCHIVE, which `pithline restore` reads on either database.

    The book may be in use meanwhile: the archive holds it as it was at one
    instant. An archive that was there is replaced once the new one is whole.
    """
    open_existing(book, database)
    from pithline.yard.backup import backup

    saved = backup(archive)
    if as_json:
        import json

        record = {
            "schema": "pithline/backup/1",
            "path": str(saved.path),
            "rows": saved.rows,
            "files": saved.files,
            "size_bytes": saved.size_bytes,
            "missing": list(saved.missing),
        }
        click.echo(json.dumps(record, indent=2))
    else:
        click.echo(
            f"{saved.path}: {saved.rows} rows and {saved.files} files, {saved.size_bytes / 1000:.0f} kB."
        )
    if saved.missing:
        click.echo(
            f"Remark: the book names {len(saved.missing)} files that its folder lacks: "
            f"{', '.join(saved.missing[:3])}{' ...' if len(saved.missing) > 3 else ''}",
            err=True,
        )

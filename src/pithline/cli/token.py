"""``pithline token``: let a program or a phone use the book."""

from __future__ import annotations

from pathlib import Path

import click

from pithline.cli.book_input import book_options, open_existing

__all__ = ["command"]


@click.command(
    "token",
    epilog="""
\b
Examples:
  pithline token "barn tablet"
  pithline token --list
""",
)
@click.argument("name", required=False)
@click.option("--end", metavar="NAME", help="Make the token of this name good for nothing.")
@click.option("--list", "show", is_flag=True, help="Show the names, and when each was used last.")
@book_options
@click.option("--json", "as_json", is_flag=True, help="Print JSON (schema pithline/token/1).")
def command(
    name: str | None, end: str | None, show: bool, book: Path | None, database: str | None, as_json: bool
) -> None:
    """Make a token, and print it once: the book keeps only a digest of it.

    A program sends it with each request: Authorization: Bearer TOKEN. Whoever
    has it can read and write the book, so hand it over as you would a key.
    """
    import json

    if (name is not None) + (end is not None) + show != 1:
        raise click.UsageError("Say one: a NAME for a new token, --end NAME, or --list.")
    open_existing(book, database)
    from pithline.yard.tokens import end_token, make_token, tokens

    if end is not None:
        end_token(end)
        told: dict[str, object] = {"ended": end}
        text = f'The token "{end}" is good for nothing now.'
    elif name is not None:
        token = make_token(name)
        told, text = {"name": name, "token": token}, token
        click.echo("Shown this once; keep it where only that program can read it.", err=True)
    else:
        rows = [{"name": t.name, "last_used_at": t.last_used_at} for t in tokens()]
        told = {"tokens": rows}
        text = "\n".join(
            f"{r['name']}: last used {r['last_used_at']:%Y-%m-%d %H:%M} UTC"
            if r["last_used_at"]
            else f"{r['name']}: never used"
            for r in rows
        )
    if as_json:
        click.echo(json.dumps({"schema": "pithline/token/1", **told}, default=str, indent=2))
    else:
        click.echo(text or "There is no token.")

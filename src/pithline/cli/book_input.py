"""How a command line says which book it means."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

__all__ = ["book_options", "open_existing"]


def book_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options `book` and `database`."""
    for option in (
        click.option(
            "--database", metavar="URL", help="PostgreSQL instead: postgresql://user@host:5432/name."
        ),
        click.option(
            "--book",
            type=click.Path(path_type=Path),
            metavar="FOLDER",
            help="Where the book is kept; else your own.",
        ),
    ):
        command = option(command)
    return command


def open_existing(book: Path | None, database: str | None) -> Path:
    """Open a book that is there, and bring it up to date; returns its folder.

    Raises
    ------
    BadValue
        There is none: a mistyped folder must not become an empty book.
    """
    from pithline.errors import BadValue
    from pithline.yard.opening import book_folder, open_book

    folder = book_folder(book)
    elsewhere = database or os.environ.get("PITHLINE_DATABASE_URL")
    if not elsewhere and not (folder / "book.sqlite3").exists():
        raise BadValue(
            "book", str(folder), "a folder with a book in it", "Name it by --book; pithline serve makes one."
        )
    return open_book(book, database)

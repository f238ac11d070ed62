"""Opening a book: its folder, its secret, its database brought up to date."""

from __future__ import annotations

import os
import secrets
from pathlib import Path
from typing import Any

from pithline.errors import BadValue
from pithline.yard.database import database

__all__ = ["book_folder", "bring_up_to_date", "configure", "open_book"]


def book_folder(said: str | os.PathLike[str] | None = None) -> Path:
    """The folder of the book: as said, else ``PITHLINE_BOOK``, else the user's own data folder."""
    chosen = said or os.environ.get("PITHLINE_BOOK")
    if chosen:
        return Path(chosen).expanduser().resolve()
    data = os.environ.get("XDG_DATA_HOME") or "~/.local/share"
    return Path(data).expanduser() / "pithline"


def configure(folder: Path, url: str | None = None, **more: Any) -> None:
    """Tell Django about a book; once in a process.

    Parameters
    ----------
    folder : Path
        Made where it is not there, readable by its owner only.
    url : str, optional
        See `database`; else ``PITHLINE_DATABASE_URL``.
    more : settings that a face adds: pages, middleware, hosts.

    Raises
    ------
    BadValue
        A folder that cannot be made or written.
    """
    import django
    from django.conf import settings

    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        secret = _secret(folder)
    except OSError as problem:
        raise BadValue(
            "book",
            str(folder),
            "a folder that can be written",
            f"{problem.strerror}: name another by --book.",
        ) from None
    apps = ["pithline.yard", *more.pop("INSTALLED_APPS", ())]
    settings.configure(
        **{
            "SECRET_KEY": secret,
            "DATABASES": {"default": database(folder, url or os.environ.get("PITHLINE_DATABASE_URL"))},
            "INSTALLED_APPS": apps,
            "DEFAULT_AUTO_FIELD": "django.db.models.BigAutoField",
            "USE_TZ": True,
            "TIME_ZONE": "UTC",
            "PITHLINE_FOLDER": folder,
            **more,
        }
    )
    django.setup()


def bring_up_to_date() -> bool:
    """Migrate the open book; a copy is put beside it first where it holds anything.

    Returns
    -------
    bool
        Whether there was anything to do.

    Raises
    ------
    BadValue
        A database that does not answer.
    """
    from django.conf import settings
    from django.core.management import call_command
    from django.db import OperationalError, connection
    from django.db.migrations.executor import MigrationExecutor

    try:
        connection.ensure_connection()
    except OperationalError as problem:
        where = connection.settings_dict
        name = f"{where['HOST']}:{where['PORT']}/{where['NAME']}" if where["HOST"] else str(where["NAME"])
        told = " ".join(str(problem).split())
        raise BadValue("database", name, "one that answers", f"It says: {told}.") from None
    executor = MigrationExecutor(connection)
    todo = executor.migration_plan(executor.loader.graph.leaf_nodes())
    if not todo:
        return False
    if executor.loader.applied_migrations and connection.vendor == "sqlite":
        import sqlite3

        source = Path(connection.settings_dict["NAME"])
        copy = settings.PITHLINE_FOLDER / f"before-{todo[0][0].name}.sqlite3"
        with sqlite3.connect(source) as old, sqlite3.connect(copy) as new:
            old.backup(new)
    call_command("migrate", interactive=False, verbosity=0)
    return True


def open_book(said: str | os.PathLike[str] | None = None, url: str | None = None) -> Path:
    """Configure and bring up to date: for commands that need no pages. Returns the folder."""
    folder = book_folder(said)
    configure(folder, url)
    bring_up_to_date()
    return folder


def _secret(folder: Path) -> str:
    """The key that signs this book's cookies; made once, for its owner's eyes only."""
    place = folder / "secret"
    if place.exists():
        return place.read_text()
    made = secrets.token_urlsafe(48)
    handle = os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w") as file:
        file.write(made)
    return made

"""Backup: the whole book in one archive that any later Pithline reads, on either database."""

from __future__ import annotations

import contextlib
import datetime
import hashlib
import json
import os
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.apps import apps
from django.db import connection, transaction

from pithline import __version__
from pithline.errors import BadValue
from pithline.yard.archive import FORMAT, MANIFEST, applied, file_member, in_order, rows_member
from pithline.yard.desk import as_row
from pithline.yard.files import path_of
from pithline.yard.models import StoredFile

__all__ = ["Saved", "backup"]


@dataclass(frozen=True, slots=True)
class Saved:
    """What went into a backup; `missing` are files that the book names but its folder lacks."""

    path: Path
    rows: int
    files: int
    size_bytes: int
    missing: tuple[str, ...] = ()


def backup(path: Path, progress: Callable[[float, str], None] = lambda *_: None) -> Saved:
    """Write the open book into one archive; whole or not at all.

    Writing may go on meanwhile: the archive holds the book as it was at one instant.

    Parameters
    ----------
    path : Path
        Replaced where it exists.
    progress : callable
        Told the fraction done, and of what.

    Raises
    ------
    BadValue
        A place that cannot be written.
    """
    handle, name = None, ""
    try:
        handle, name = tempfile.mkstemp(
            dir=path.parent, prefix=f".{path.name}."
        )  # readable by its owner only
        with os.fdopen(handle, "w+b") as out:
            with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
                rows, files, missing = _fill(archive, progress)
            out.flush()
            os.fsync(out.fileno())
            size = out.tell()
        os.replace(name, path)
    except OSError as problem:
        raise BadValue(
            "backup", str(path), "a place that can be written", f"{problem.strerror}: choose another."
        ) from None
    finally:
        with contextlib.suppress(OSError):
            os.unlink(name)
    return Saved(path, rows, files, path.stat().st_size or size, tuple(missing))


def _fill(archive: zipfile.ZipFile, progress: Callable[[float, str], None]) -> tuple[int, int, list[str]]:
    manifest: dict[str, Any] = {
        "format": FORMAT,
        "version": __version__,
        "made_at": datetime.datetime.now(datetime.UTC).isoformat(),
        "database": connection.vendor,
        "rows": {},
        "files": {},
        "missing": [],
    }
    with _instant():
        manifest["migrations"] = applied()
        models = in_order(apps)
        for n, model in enumerate(models):
            name = model.__name__
            progress(0.5 * n / len(models), f"rows: {name}")
            lines = [
                json.dumps(as_row(record), ensure_ascii=False, allow_nan=False)
                for record in model._default_manager.order_by("pk").iterator(chunk_size=500)
            ]
            data = "".join(f"{line}\n" for line in lines).encode()
            archive.writestr(rows_member(name), data)
            manifest["rows"][name] = {"rows": len(lines), **_seal(data)}
        hashes = list(StoredFile.objects.order_by("sha256").values_list("sha256", flat=True))
    # Files never change, so they can be read after the instant.
    for n, sha256 in enumerate(hashes):
        progress(0.5 + 0.5 * n / len(hashes), "files")
        try:
            data = path_of(sha256).read_bytes()
        except OSError:
            data = b""
        if hashlib.sha256(data).hexdigest() != sha256:
            manifest["missing"].append(sha256)
            continue
        archive.writestr(file_member(sha256), data, zipfile.ZIP_STORED)
        manifest["files"][sha256] = {"bytes": len(data)}
    archive.writestr(MANIFEST, json.dumps(manifest, indent=1))
    return sum(m["rows"] for m in manifest["rows"].values()), len(manifest["files"]), manifest["missing"]


def _seal(data: bytes) -> dict[str, Any]:
    return {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}


@contextlib.contextmanager
def _instant() -> Iterator[None]:
    """See all tables as they were at one time, whoever writes meanwhile."""
    outermost = not connection.in_atomic_block
    with _only_reading() if outermost else contextlib.nullcontext(), transaction.atomic():
        if outermost and connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        yield


@contextlib.contextmanager
def _only_reading() -> Iterator[None]:
    """Let others write meanwhile: in a SQLite book a transaction otherwise begins by taking the pen."""
    if connection.vendor != "sqlite":
        yield
        return
    connection.ensure_connection()
    usual, connection.transaction_mode = connection.transaction_mode, "DEFERRED"
    try:
        yield
    finally:
        connection.transaction_mode = usual

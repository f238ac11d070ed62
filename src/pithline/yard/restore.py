"""Restore: an archive into an empty book; everything is checked before anything is kept."""

from __future__ import annotations

import contextlib
import hashlib
import json
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.apps import apps
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import DatabaseError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

from pithline.errors import BadFile, BadValue
from pithline.yard.archive import FORMAT, HASH, MANIFEST, NAME, applied, file_member, in_order, rows_member
from pithline.yard.desk import from_row
from pithline.yard.files import path_of, put

__all__ = ["Restored", "restore"]

_MOST_MANIFEST = 50_000_000
_MOST_ROWS = 2_000_000_000
_MOST_FILE = 500_000_000


@dataclass(frozen=True, slots=True)
class Restored:
    """What came back; `missing` are files that were not in the book when it was saved."""

    rows: int
    files: int
    version: str
    made_at: str
    missing: tuple[str, ...] = ()


def restore(path: Path, progress: Callable[[float, str], None] = lambda *_: None) -> Restored:
    """Fill the configured, empty book from an archive; all of it or nothing.

    An archive of an older Pithline is loaded as that one knew it, then brought up to date.

    Parameters
    ----------
    path : Path
    progress : callable
        Told the fraction done, and of what.

    Raises
    ------
    BadFile
        No archive of ours, damaged, changed, or of a newer Pithline.
    BadValue
        The book is not empty.
    """
    with _opened(path) as archive:
        manifest = _manifest(archive, path)
        _check(archive, manifest, path, progress)
        models = _prepare(manifest, path)
        made: list[str] = []
        try:
            for n, sha256 in enumerate(manifest["files"]):
                progress(0.4 + 0.2 * n / len(manifest["files"]), "files")
                if not path_of(sha256).exists():
                    made.append(sha256)
                put(archive.read(file_member(sha256)))
            rows = _load(archive, manifest, models, path, progress)
        except BaseException:
            for sha256 in made:
                with contextlib.suppress(OSError):
                    path_of(sha256).unlink()
            raise
    call_command("migrate", interactive=False, verbosity=0)
    return Restored(
        rows, len(manifest["files"]), manifest["version"], manifest["made_at"], tuple(manifest["missing"])
    )


@contextlib.contextmanager
def _opened(path: Path) -> Iterator[zipfile.ZipFile]:
    try:
        with zipfile.ZipFile(path) as archive:
            yield archive
    except FileNotFoundError:
        raise BadFile(f"{path} is not there. Look at the path.") from None
    except (zipfile.BadZipFile, zipfile.LargeZipFile, OSError, EOFError, NotImplementedError) as problem:
        raise BadFile(f"{path} cannot be read as a backup: {problem}. Take another copy of it.") from None


def _manifest(archive: zipfile.ZipFile, path: Path) -> dict[str, Any]:
    try:
        if archive.getinfo(MANIFEST).file_size > _MOST_MANIFEST:
            raise ValueError("its manifest is too large")
        told = json.loads(archive.read(MANIFEST))
        if told["format"] != FORMAT:
            raise ValueError(f"its format is {told['format']!r}")
        rows, files = told["rows"], told["files"]
        sound = (
            all(NAME.fullmatch(n) and _sealed(m) and type(m["rows"]) is int for n, m in rows.items())
            and all(HASH.fullmatch(h) and type(m["bytes"]) is int for h, m in files.items())
            and all(HASH.fullmatch(h) for h in told["missing"])
            and all(isinstance(name, str) for name in told["migrations"])
            and isinstance(told["version"], str)
            and isinstance(told["made_at"], str)
        )
        if not sound or not told["migrations"]:
            raise ValueError("its manifest does not say what it must")
    except (KeyError, ValueError, TypeError, AttributeError) as problem:
        raise BadFile(f"{path} is no backup of Pithline: {problem}.") from None
    return told


def _sealed(member: dict[str, Any]) -> bool:
    return type(member["bytes"]) is int and bool(HASH.fullmatch(member["sha256"]))


def _check(
    archive: zipfile.ZipFile, manifest: dict[str, Any], path: Path, progress: Callable[[float, str], None]
) -> None:
    """Hold every member against the manifest: none more, none less, none changed."""
    wanted: dict[str, tuple[int, str, int]] = {
        rows_member(name): (m["bytes"], m["sha256"], _MOST_ROWS) for name, m in manifest["rows"].items()
    }
    wanted |= {file_member(h): (m["bytes"], h, _MOST_FILE) for h, m in manifest["files"].items()}
    names = archive.namelist()
    if sorted(names) != sorted([MANIFEST, *wanted]):
        odd = sorted(set(names) ^ {MANIFEST, *wanted}) or sorted({n for n in names if names.count(n) > 1})
        raise BadFile(f"{path} is not as it was saved: {odd[0]!r} is in it or in its manifest, not in both.")
    for n, (name, (size, sha256, most)) in enumerate(wanted.items()):
        progress(0.4 * n / len(wanted), "checking")
        info = archive.getinfo(name)
        if info.file_size != size or size > most or _digest(archive, name, size) != sha256:
            raise BadFile(
                f"{path} is damaged or was changed: {name} is not what was saved. Take another copy."
            )


def _digest(archive: zipfile.ZipFile, name: str, size: int) -> str:
    digest, left = hashlib.sha256(), size
    with archive.open(name) as member:
        while left > 0 and (part := member.read(min(left, 1 << 20))):
            digest.update(part)
            left -= len(part)
    return digest.hexdigest()


def _prepare(manifest: dict[str, Any], path: Path) -> dict[str, Any]:
    """Tables as the archive's Pithline had them, all empty; returns its models by name."""
    executor = MigrationExecutor(connection)
    known = {name for app, name in executor.loader.disk_migrations if app == "yard"}
    if not set(manifest["migrations"]) <= known:
        raise BadFile(
            f"{path} was saved by Pithline {manifest['version']}, which is newer. Install that first."
        )
    now, then = applied(), sorted(manifest["migrations"])
    if now:
        full = [m for m in in_order(apps) if m._default_manager.exists()] if set(now) == known else []
        if full:
            raise BadValue(
                "book",
                f"holding {full[0]._meta.verbose_name_plural}",
                "empty",
                "Restore into another folder: --book NEW-FOLDER.",
            )
        if now != then:
            raise BadValue(
                "book", "opened before", "new for an archive of another Pithline", "Say --book NEW-FOLDER."
            )
    else:
        call_command("migrate", "yard", then[-1], interactive=False, verbosity=0)
    state = MigrationExecutor(connection).loader.project_state([("yard", then[-1])])
    models = {m.__name__: m for m in in_order(state.apps)}
    if set(models) != set(manifest["rows"]):
        raise BadFile(f"{path} does not hold the tables of its Pithline.")
    return models


def _load(
    archive: zipfile.ZipFile,
    manifest: dict[str, Any],
    models: dict[str, Any],
    path: Path,
    progress: Callable[[float, str], None],
) -> int:
    count = 0
    try:
        with transaction.atomic():
            for n, (name, model) in enumerate(models.items()):
                progress(0.6 + 0.4 * n / len(models), f"rows: {name}")
                columns = {f.attname for f in model._meta.concrete_fields}
                lines = archive.read(rows_member(name)).decode().split("\n")[:-1]
                if len(lines) != manifest["rows"][name]["rows"]:
                    raise BadFile(f"{path} is not as it was saved: {name} has another number of rows.")
                for line in lines:
                    row = json.loads(line)
                    if not isinstance(row, dict) or set(row) != columns:
                        raise BadFile(f"{path} is not as it was saved: {name} has other columns.")
                    from_row(model, row).save_base(raw=True, force_insert=True)
                    count += 1
            connection.check_constraints()
            for statement in connection.ops.sequence_reset_sql(no_style(), list(models.values())):
                with connection.cursor() as cursor:
                    cursor.execute(statement)
    except (ValueError, TypeError, ValidationError, DatabaseError, OverflowError) as problem:
        told = str(problem).splitlines()[0][:200]
        raise BadFile(f"{path} holds a row that the book cannot take: {told}.") from None
    return count

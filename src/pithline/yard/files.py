"""Files by their content, in the book's folder: written whole, never changed, found by their hash."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import tempfile
from pathlib import Path

from pithline.errors import BadValue
from pithline.yard.models import StoredFile

__all__ = ["keep", "path_of", "put", "read_file", "stored"]

_HASH = re.compile(r"[0-9a-f]{64}")


def _folder() -> Path:
    from django.conf import settings

    return Path(settings.PITHLINE_FOLDER) / "files"


def path_of(sha256: str) -> Path:
    """Where the bytes with this hash are.

    Raises
    ------
    BadValue
        No hash; so that no path can be smuggled in.
    """
    if not _HASH.fullmatch(sha256):
        raise BadValue("file", sha256, "a SHA-256 in hexadecimal")
    return _folder() / sha256[:2] / sha256


def put(data: bytes) -> str:
    """Put bytes on the disk under their hash; they are there for good when this returns."""
    sha256 = hashlib.sha256(data).hexdigest()
    place = path_of(sha256)
    if place.exists():
        return sha256
    place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    handle, name = tempfile.mkstemp(dir=place.parent, prefix=".new-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(name, place)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    _sync(place.parent)
    return sha256


def keep(
    data: bytes, media_type: str, width_px: int | None = None, height_px: int | None = None
) -> StoredFile:
    """Put bytes into the store and note them in the book; the same bytes twice are one file."""
    sha256 = put(data)
    return StoredFile.objects.get_or_create(
        sha256=sha256,
        defaults={
            "media_type": media_type,
            "size_bytes": len(data),
            "width_px": width_px,
            "height_px": height_px,
        },
    )[0]


def stored(sha256: str, field: str = "file") -> StoredFile:
    """The file of the book with this hash.

    Raises
    ------
    BadValue
        There is none.
    """
    file = StoredFile.objects.filter(sha256=sha256).first()
    if file is None:
        raise BadValue(field, sha256, "a file that was handed in before", "Hand it in again.")
    return file


def read_file(file: StoredFile) -> bytes:
    """The bytes, checked against their hash.

    Raises
    ------
    BadValue
        They are not there, or are not what they were.
    """
    try:
        data = path_of(file.sha256).read_bytes()
    except OSError as problem:
        raise BadValue("file", file.sha256, "in the book's folder", f"{problem.strerror}.") from None
    if hashlib.sha256(data).hexdigest() != file.sha256:
        raise BadValue("file", file.sha256, "unchanged", "Take it from a backup.")
    return data


def _sync(folder: Path) -> None:
    """A new name is on the disk only when its folder is."""
    if os.name == "nt":
        return  # folders cannot be opened there
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

"""The passphrase that opens a book to the yard's network: kept as a slow hash in the book's folder."""

from __future__ import annotations

import hashlib
import hmac
import os
import secrets
from pathlib import Path

from django.conf import settings

from pithline.errors import BadValue

__all__ = ["LEAST", "forget", "is_set", "matches", "set_passphrase", "stamp"]

LEAST = 10  # characters; a phrase of three short words has more
# scrypt with 16 MiB: a tenth of a second or so each (RFC 7914; parameters as OWASP lists them, from memory).
_N, _R, _P = 1 << 14, 8, 5


def is_set(folder: Path | None = None) -> bool:
    """Whether this book has a passphrase."""
    return _file(folder).exists()


def set_passphrase(text: str, folder: Path | None = None) -> None:
    """Keep a new passphrase; whoever signed in with the old one has to do so again.

    Raises
    ------
    BadValue
        Too short, or too long to hash.
    """
    if not LEAST <= len(text.strip()) <= 200:
        raise BadValue(
            "passphrase", "…", f"{LEAST} to 200 characters", "Three or four words are easy to type."
        )
    salt = secrets.token_bytes(16)
    line = f"scrypt {_N} {_R} {_P} {salt.hex()} {_hash(text, salt).hex()}\n"
    place = _file(folder)
    made = place.with_suffix(".new")
    handle = os.open(made, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w") as file:
        file.write(line)
        file.flush()
        os.fsync(file.fileno())
    made.replace(place)


def forget(folder: Path | None = None) -> None:
    """Take the passphrase away: then only this machine may use the book."""
    _file(folder).unlink(missing_ok=True)


def matches(text: str, folder: Path | None = None) -> bool:
    """Whether this is the passphrase; False where none is set."""
    try:
        _, _, _, _, salt, kept = _file(folder).read_text().split()
    except (OSError, ValueError):
        return False
    return hmac.compare_digest(_hash(text[:200], bytes.fromhex(salt)), bytes.fromhex(kept))


def stamp(folder: Path | None = None) -> str:
    """Changes with the passphrase; a session that carries another was signed in with an old one."""
    try:
        kept = _file(folder).read_bytes()
    except OSError:
        return ""
    return hashlib.sha256(kept).hexdigest()[:32]


def _hash(text: str, salt: bytes) -> bytes:
    return hashlib.scrypt(text.strip().encode(), salt=salt, n=_N, r=_R, p=_P, maxmem=64 << 20)


def _file(folder: Path | None) -> Path:
    return Path(folder or settings.PITHLINE_FOLDER) / "passphrase"

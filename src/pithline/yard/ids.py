"""Identities that can be made anywhere, also on a phone without signal: UUID version 7."""

from __future__ import annotations

import os
import time
import uuid

__all__ = ["new_id", "uuid7"]


def uuid7(milliseconds: int, chance: bytes) -> uuid.UUID:
    """A UUIDv7 from a time and ten random bytes (RFC 9562, section 5.7).

    Parameters
    ----------
    milliseconds : int
        Since 1970-01-01 UTC; 48 bits.
    chance : bytes
        Ten; six of their bits give way to version and variant.

    Raises
    ------
    ValueError
        A time out of range, or not ten bytes.
    """
    if not 0 <= milliseconds < 1 << 48 or len(chance) != 10:
        raise ValueError("a UUIDv7 takes 48 bits of milliseconds and 10 random bytes")
    raw = bytearray(milliseconds.to_bytes(6, "big") + chance)
    raw[6] = 0x70 | (raw[6] & 0x0F)
    raw[8] = 0x80 | (raw[8] & 0x3F)
    return uuid.UUID(bytes=bytes(raw))


def new_id() -> uuid.UUID:
    """An identity made now. Its time is for sorting only: a phone's clock decides nothing."""
    return uuid7(time.time_ns() // 1_000_000, os.urandom(10))

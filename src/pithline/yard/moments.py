"""Days and instants as people at the yard write them, by the book's time zone."""

from __future__ import annotations

import datetime
import re
import zoneinfo
from typing import Any

from pithline.errors import BadValue
from pithline.yard.preferences import setting

__all__ = ["day_of", "moment", "now", "today"]

_WRITTEN = re.compile(r"(\d{4}-\d\d-\d\d)(?:[ T](\d{1,2}):(\d\d))?")


def now() -> datetime.datetime:
    """Give this instant, to the second, in UTC."""
    return datetime.datetime.now(datetime.UTC).replace(microsecond=0)


def today() -> datetime.date:
    """The day at the yard."""
    return now().astimezone(zoneinfo.ZoneInfo(setting("zone"))).date()


def day_of(instant: datetime.datetime) -> datetime.date:
    """The day at the yard when it was that instant."""
    return instant.astimezone(zoneinfo.ZoneInfo(setting("zone"))).date()


def moment(raw: Any, path: str) -> datetime.datetime:
    """An instant in UTC from ``2026-03-02 07:30`` by the yard's clock; a day alone begins at 0:00.

    Raises
    ------
    BadValue
        Not so written, or an hour that the clocks skipped there.
    """
    found = _WRITTEN.fullmatch(raw.strip()) if isinstance(raw, str) else None
    try:
        day = datetime.date.fromisoformat(found[1] if found else "")
        clock = datetime.time(int(found[2] or 0), int(found[3] or 0)) if found else datetime.time()
        local = datetime.datetime.combine(day, clock, zoneinfo.ZoneInfo(setting("zone")))
        instant = local.astimezone(datetime.UTC)
    except (ValueError, OverflowError):
        raise BadValue(
            path, raw, "a day, or a day and a time", 'Write "2026-03-02" or "2026-03-02 07:30".'
        ) from None
    if instant.astimezone(local.tzinfo).replace(tzinfo=None) != local.replace(tzinfo=None):
        raise BadValue(path, raw, "a time that was on the clock", "The clocks were put forward then.")
    return instant

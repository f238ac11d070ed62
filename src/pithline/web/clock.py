"""What day it is at the yard: the one place where pages look at the clock."""

from __future__ import annotations

import datetime
import zoneinfo

from pithline.yard.preferences import setting

__all__ = ["today"]


def today() -> datetime.date:
    """The yard's own date, by its time zone."""
    return datetime.datetime.now(zoneinfo.ZoneInfo(setting("zone"))).date()

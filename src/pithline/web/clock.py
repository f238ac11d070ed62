"""What day it is at the yard: the one place where pages look at the clock."""

from __future__ import annotations

import datetime
import zoneinfo
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from pithline.yard.preferences import setting

__all__ = ["YardTime", "today"]


def today() -> datetime.date:
    """The yard's own date, by its time zone."""
    return datetime.datetime.now(zoneinfo.ZoneInfo(setting("zone"))).date()


class YardTime:
    """Show instants by the clock of the yard; they are kept in UTC."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer within the yard's time zone."""
        with timezone.override(setting("zone")):
            return self.get_response(request)

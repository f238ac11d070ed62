"""What is due this week: each stage of the work adds its own few lines to one list."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from django.db.models import Q
from django.urls import reverse

from pithline.yard.models import Log, Slab, Want

__all__ = ["SOURCES", "Due", "LogDay", "due", "homeless", "log_day"]

_AHEAD = datetime.timedelta(days=14)
_SOON = datetime.timedelta(days=7)
_GONE = (Slab.State.RETIRED, Slab.State.SOLD, Slab.State.SCRAP)


@dataclass(frozen=True, slots=True)
class Due:
    """One thing to see to. Without a day it is due whenever there is time."""

    title: str
    address: str
    why: str
    day: datetime.date | None = None
    late: bool = False


@dataclass(frozen=True, slots=True)
class LogDay:
    """A day at a log, and what is not ready for it."""

    log: Log
    missing: tuple[str, ...]


def _offers(today: datetime.date) -> Iterable[Due]:
    for log in Log.objects.filter(state=Log.State.OFFERED):
        late = log.answer_by is not None and log.answer_by < today
        yield Due(f"Answer: {log}", _page(log), "offered, no answer yet", log.answer_by, late)


def _next_steps(today: datetime.date) -> Iterable[Due]:
    told = {
        Log.State.TAKEN: ("Measure", "taken, not measured"),
        Log.State.MEASURED: ("Plan", "measured, not planned"),
        Log.State.PLANNED: ("Saw", "planned, not sawn"),
    }
    for log in Log.objects.filter(state__in=told):
        verb, why = told[Log.State(log.state)]
        late = log.saw_on is not None and log.saw_on < today
        yield Due(f"{verb}: {log}", _page(log), why, log.saw_on, late)


def _wants(today: datetime.date) -> Iterable[Due]:
    for want in Want.objects.filter(met=False, wanted_by__lte=today + _AHEAD).select_related("contact"):
        whom = f"for {want.contact}" if want.contact else "asked for"
        late = want.wanted_by is not None and want.wanted_by < today
        yield Due(f"Find: {want}", reverse("rack:index"), whom, want.wanted_by, late)


def _drying(today: datetime.date) -> Iterable[Due]:
    from pithline.web.drying.due import tasks

    for one in tasks(today):
        if one.day <= today + _SOON:
            yield Due(one.title, one.address, one.why, one.day, one.day < today)


SOURCES: tuple[Callable[[datetime.date], Iterable[Due]], ...] = (_offers, _next_steps, _wants, _drying)
"""Where dues come from; a later stage adds its own."""


def due(today: datetime.date) -> list[Due]:
    """Everything to see to: what has a day first, in order."""
    found = [one for source in SOURCES for one in source(today)]
    return sorted(found, key=lambda one: (one.day is None, one.day or datetime.date.max))


def log_day(today: datetime.date) -> LogDay | None:
    """The next day at a log."""
    ahead = Log.objects.filter(saw_on__gte=today).exclude(state__in=(Log.State.DECLINED, Log.State.SAWN))
    log = ahead.select_related("place").order_by("saw_on", "number").first()
    if log is None:
        return None
    missing = [
        *(["the landowner's yes"] if log.consent_on is None and log.owner != "own" else []),
        *(["a measure"] if log.record is None else []),
        *(["a chosen plan"] if not log.plans.filter(chosen=True).exists() else []),
        *(["a place"] if log.place is None else []),
    ]
    return LogDay(log, tuple(missing))


def homeless() -> tuple[int, list[Slab]]:
    """How many slabs lie nowhere that the book knows, and the first of them."""
    found = Slab.objects.filter(Q(place=None) & Q(stack=None)).exclude(state__in=_GONE)
    return found.count(), list(found.select_related("log")[:12])


def _page(log: Log) -> str:
    return reverse("logs:log", args=[log.number])

"""What the page Logs reads from the book."""

from __future__ import annotations

from django.db.models import Count, Q, QuerySet

from pithline.web.story import Line, line_of
from pithline.yard.models import Entry, Log, Note

__all__ = ["STATES", "journal", "logs_in", "notes"]

STATES = tuple(Log.State.choices)


def logs_in(state: str = "") -> QuerySet[Log]:
    """Logs, the newest number first; those of one state where it is a known one."""
    whole = Count("slabs", filter=Q(slabs__suffix=""))  # as they came off, not what one was cut into
    found = Log.objects.select_related("place", "owner_contact").annotate(pieces=whole)
    return found.filter(state=state) if state in Log.State.values else found


def journal(log: Log) -> list[Line]:
    """Everything that was entered about a log, its plans and its slabs; the newest first."""
    about = [log.pk, *log.plans.values_list("pk", flat=True), *log.slabs.values_list("pk", flat=True)]
    lines = Entry.objects.filter(subject__in=about).select_related("undone_by")
    return [line_of(entry) for entry in lines[:200]]


def notes(log: Log) -> QuerySet[Note]:
    """What was noted about a log."""
    return Note.objects.filter(subject=log.pk)

"""What the next slab of a log will most likely be: its number, and what the last one had."""

from __future__ import annotations

from typing import Any

from django.db.models import Max

from pithline.yard.models import Counter, Entry, Log

__all__ = ["kept_from_last", "next_number"]

_KEPT = ("thickness", "length", "nominal", "stack", "place", "sawn_on", "state")


def next_number(log: Log) -> int:
    """The number to write on the next slab: never one that was given before."""
    given = Counter.objects.filter(name=f"slabs of {log.pk}").values_list("last", flat=True).first() or 0
    return 1 + max(given, log.slabs.aggregate(top=Max("number"))["top"] or 0)


def kept_from_last(log: Log) -> dict[str, Any]:
    """Words that stay from the last slab that was tallied on this log, as they were typed."""
    about = log.slabs.values("pk")
    last = Entry.objects.filter(kind="tally_slab", subject__in=about, undone_by=None).first()
    if last is None:
        return {}
    kept = {name: last.said[name] for name in _KEPT if name in last.said}
    if "stack" in kept and isinstance(last.said.get("layer"), int):
        kept["layer"] = last.said["layer"] + 1
    return kept

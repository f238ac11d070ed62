"""Which logs can be planned, and the plans that were kept of one."""

from __future__ import annotations

from django.db.models import Count, QuerySet

from pithline.yard.models import Log, Plan

__all__ = ["logs_to_plan", "plans_of"]


def logs_to_plan() -> QuerySet[Log]:
    """Measured logs that are not sawn yet, with the number of their kept plans."""
    states = (Log.State.OFFERED, Log.State.TAKEN, Log.State.MEASURED, Log.State.PLANNED)
    measured = Log.objects.filter(state__in=states, record__isnull=False)
    return measured.annotate(kept=Count("plans"))


def plans_of(log: Log) -> QuerySet[Plan]:
    """Kept plans of a log, the newest first, without their long answers."""
    return log.plans.select_related("sheet").defer("answer")

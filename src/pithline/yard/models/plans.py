"""Plans as they were made: answer, inputs, and the sheet as printed."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.files import StoredFile
from pithline.yard.models.logs import Log
from pithline.yard.models.row import Row

__all__ = ["Plan"]


class Plan(Row):
    """One plan of a log; kept whole, because a later reckoning may differ."""

    log = models.ForeignKey(Log, on_delete=models.PROTECT, related_name="plans")
    name = models.CharField(max_length=80, blank=True)
    chosen = models.BooleanField(default=False)
    inputs = models.JSONField(help_text="Tables log, lie, mill, aims, rates as typed.")
    answer = models.JSONField(help_text="The whole plan document, units in its keys.")
    version = models.CharField(max_length=20, help_text="Of the reckoning.")
    sheet = models.ForeignKey(StoredFile, null=True, on_delete=models.PROTECT, related_name="+")
    tally = models.FloatField()
    tally_unit = models.CharField(max_length=4)
    net_minor = models.BigIntegerField(null=True, help_text="Empty = no rates.")

    class Meta:
        ordering = ("-created_at",)
        constraints = (
            models.UniqueConstraint(
                name="one_chosen_plan_a_log", fields=("log",), condition=models.Q(chosen=True)
            ),
        )

"""Plans as they were made: answer, inputs, the sheet as printed; and the cuts that followed."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.files import StoredFile
from pithline.yard.models.logs import Log
from pithline.yard.models.row import Row, possible

__all__ = ["Cut", "Plan"]


class Plan(Row):
    """One plan of a log; kept whole, because a later reckoning may differ."""

    log = models.ForeignKey(Log, on_delete=models.PROTECT, related_name="plans")
    number = models.PositiveIntegerField(help_text="Among the plans of its log; never given twice.")
    name = models.CharField(max_length=80, blank=True)
    chosen = models.BooleanField(default=False)
    inputs = models.JSONField(help_text="Tables log, lie, mill, aims, rates as typed.")
    answer = models.JSONField(help_text="The whole plan document, units in its keys.")
    version = models.CharField(max_length=20, help_text="Of the reckoning.")
    sheet = models.ForeignKey(StoredFile, null=True, on_delete=models.PROTECT, related_name="+")
    tally = models.FloatField()
    tally_unit = models.CharField(max_length=4)
    net_minor = models.BigIntegerField(null=True, help_text="Empty = no rates.")
    currency = models.CharField(max_length=3, blank=True, help_text="Of the rates it was made with.")

    class Meta:
        ordering = ("-created_at",)
        constraints = (
            models.UniqueConstraint(name="plan_numbered_once", fields=("log", "number")),
            models.UniqueConstraint(
                name="one_chosen_plan_a_log", fields=("log",), condition=models.Q(chosen=True)
            ),
        )

    def __str__(self) -> str:
        return f"{self.log.number}, plan {self.number}"


class Cut(Row):
    """One cut as it was made. What was not measured is empty; a correction changes it by a further entry."""

    log = models.ForeignKey(Log, on_delete=models.PROTECT, related_name="cuts")
    plan = models.ForeignKey(Plan, null=True, on_delete=models.PROTECT, related_name="made")
    number = models.PositiveIntegerField(help_text="In the order of sawing, as in the plan.")
    face_butt_m = models.FloatField(null=True, help_text="Sawn face above the pith mark at the butt.")
    face_top_m = models.FloatField(null=True, help_text="The same at the top.")
    thickness_butt_m = models.FloatField(null=True, help_text="Of the slab that came off, at the butt.")
    thickness_top_m = models.FloatField(null=True)
    minutes = models.FloatField(null=True)
    sawn_on = models.DateField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("log", "number")
        constraints = (
            models.UniqueConstraint(name="cut_numbered_once", fields=("log", "number")),
            possible(
                "cut",
                face_butt_m=(-5, 5),
                face_top_m=(-5, 5),
                thickness_butt_m=(0, 2),
                thickness_top_m=(0, 2),
                minutes=(0, 1e5),
            ),
        )

    def __str__(self) -> str:
        return f"{self.log.number}, cut {self.number}"

"""A log's life, from a phone call to slabs."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.people import Contact, Place
from pithline.yard.models.row import Owner, Row, possible

__all__ = ["Log"]


class Log(Row):
    """One log. `record` is what was measured, as typed; shape and volumes follow from it."""

    class State(models.TextChoices):
        """How far it has come."""

        OFFERED = "offered", "offered"
        DECLINED = "declined", "declined"
        TAKEN = "taken", "taken"
        MEASURED = "measured", "measured"
        PLANNED = "planned", "planned"
        SAWN = "sawn", "sawn"

    number = models.PositiveIntegerField(unique=True, help_text="Written on the wood; never given twice.")
    name = models.CharField(max_length=120)
    species = models.CharField(max_length=80)
    state = models.CharField(max_length=10, choices=State.choices, default=State.OFFERED)
    owner = models.CharField(max_length=10, choices=Owner.choices, default=Owner.OWN)
    owner_contact = models.ForeignKey(Contact, null=True, on_delete=models.PROTECT, related_name="logs")
    owner_share = models.FloatField(null=True, help_text="Fraction that goes to the other party.")
    consent_on = models.DateField(null=True, help_text="When the landowner said yes.")
    agreed = models.TextField(blank=True, help_text="What was agreed.")
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="logs")
    offered_on = models.DateField(null=True)
    answer_by = models.DateField(null=True)
    saw_on = models.DateField(null=True, help_text="The log day.")
    felled_on = models.DateField(null=True)
    record = models.JSONField(null=True, help_text="Tables log and lie as typed; empty = not measured.")
    worth = models.JSONField(null=True, help_text="What was asked about it while on offer, as typed.")
    ends_sealed_on = models.DateField(null=True, help_text="Wax or paint on both ends.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("-number",)
        constraints = (possible("log", owner_share=(0, 1)),)

    def __str__(self) -> str:
        return f"{self.number} {self.name}"

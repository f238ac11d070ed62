"""The user's own tables: mills, aims, rates, kilns and costs, and the parts that wear."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.row import Row, possible

__all__ = ["Part", "Profile"]


class Profile(Row):
    """A table [mill], [aims], [rates], [kiln] or [costs] kept under a name."""

    class Kind(models.TextChoices):
        """Which table it is."""

        MILL = "mill", "mill"
        AIMS = "aims", "aims"
        RATES = "rates", "rates"
        KILN = "kiln", "kiln"
        COSTS = "costs", "costs"

    kind = models.CharField(max_length=6, choices=Kind.choices)
    name = models.CharField(max_length=80)
    table = models.JSONField(default=dict, help_text="As typed, with units.")
    usual = models.BooleanField(default=False, help_text="Taken where nothing else is said.")
    hours = models.FloatField(null=True, help_text="Run so far, for a mill. [h]")

    class Meta:
        ordering = ("kind", "name")
        constraints = (
            models.UniqueConstraint(name="profile_named_once", fields=("kind", "name")),
            models.UniqueConstraint(
                name="one_usual_of_a_kind", fields=("kind",), condition=models.Q(usual=True)
            ),
            possible("profile", hours=(0, 1e6)),
        )

    def __str__(self) -> str:
        return self.name


class Part(Row):
    """A part that wears: bar, sprocket, bearing, chain."""

    mill = models.ForeignKey(Profile, on_delete=models.PROTECT, related_name="parts")
    name = models.CharField(max_length=80)
    fitted_at_hours = models.FloatField(null=True)
    life_hours = models.FloatField(null=True, help_text="Expected; empty = unknown.")
    spares = models.PositiveIntegerField(null=True, help_text="In the box.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("name",)
        constraints = (
            models.UniqueConstraint(name="part_named_once", fields=("mill", "name")),
            possible("part", fitted_at_hours=(0, 1e6), life_hours=(0, 1e6)),
        )

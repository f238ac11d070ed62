"""The air at a place: its twelve months, and files of a logger."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.files import StoredFile
from pithline.yard.models.people import Place
from pithline.yard.models.row import Row, in_turn, possible
from pithline.yard.models.slabs import Stack

__all__ = ["Logger", "Month"]


class Month(Row):
    """Mean air of one month at a place."""

    class Basis(models.TextChoices):
        """How far it can be trusted."""

        MEASURED = "measured", "measured there"
        PUBLISHED = "published", "published for a place near by"
        GUESS = "guess", "guess"

    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="months")
    month = models.PositiveSmallIntegerField(help_text="1 is January.")
    temperature_c = models.FloatField()
    humidity_percent = models.FloatField()
    basis = models.CharField(max_length=9, choices=Basis.choices, default=Basis.GUESS)
    source = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("place", "month")
        constraints = (
            models.UniqueConstraint(name="month_once_a_place", fields=("place", "month")),
            possible("month", month=(1, 12), temperature_c=(-60, 60), humidity_percent=(1, 100)),
        )


class Logger(Row):
    """A file that a logger wrote, kept whole; and what was found in it when it was handed in."""

    name = models.CharField(max_length=120)
    file = models.ForeignKey(StoredFile, on_delete=models.PROTECT, related_name="logged")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="loggers")
    stack = models.ForeignKey(
        Stack,
        null=True,
        on_delete=models.PROTECT,
        related_name="loggers",
        help_text="Hung in it, not beside.",
    )
    begins_at = models.DateTimeField(null=True)
    ends_at = models.DateTimeField(null=True)
    readings = models.PositiveIntegerField(null=True, help_text="That can be used.")
    found = models.JSONField(default=list, help_text="What was odd about it, in sentences.")
    used = models.BooleanField(default=True, help_text="Taken for forecasts.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("place", "begins_at")
        constraints = (
            models.UniqueConstraint(name="logger_file_once_a_place", fields=("place", "file")),
            in_turn("logger_in_turn", "begins_at", "ends_at"),
        )

    def __str__(self) -> str:
        return self.name

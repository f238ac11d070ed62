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
    dates = models.CharField(max_length=12, blank=True, help_text="How its dates with slashes are meant.")
    begins_on = models.DateField(help_text="By the logger's clock.")
    ends_on = models.DateField()
    readings = models.PositiveIntegerField(help_text="That can be used.")
    found = models.JSONField(default=list, help_text="What is odd about it: kind and sentence.")
    agreed = models.JSONField(default=list, help_text="Kinds of it that a person has seen and agreed to.")
    used = models.BooleanField(default=False, help_text="Taken for forecasts.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("place", "begins_on")
        constraints = (
            models.UniqueConstraint(name="logger_file_once_a_place", fields=("place", "file")),
            models.UniqueConstraint(name="logger_named_once", fields=("name",)),
            in_turn("logger_in_turn", "begins_on", "ends_on"),
        )

    def __str__(self) -> str:
        return self.name

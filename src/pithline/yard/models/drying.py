"""The drying of stacks and slabs: stays, phases, samples, weights, meter readings."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.kilns import KilnLoad
from pithline.yard.models.logs import Log
from pithline.yard.models.people import Place
from pithline.yard.models.row import Row, in_turn, one_of, possible
from pithline.yard.models.slabs import Slab, Stack

__all__ = ["Phase", "Reading", "Sample", "Stay", "Weighing"]


class Stay(Row):
    """From which day to which a slab lay in a stack: what happened to the stack happened to it."""

    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="stays")
    stack = models.ForeignKey(Stack, on_delete=models.PROTECT, related_name="stays")
    begins_on = models.DateField()
    ends_on = models.DateField(null=True)

    class Meta:
        ordering = ("slab", "begins_on", "created_at")
        constraints = (
            models.UniqueConstraint(
                name="one_stack_at_a_time", fields=("slab",), condition=models.Q(ends_on=None)
            ),
            in_turn("stay_in_turn", "begins_on", "ends_on"),
        )


class Phase(Row):
    """Where a stack dries from a day on."""

    class Kind(models.TextChoices):
        """What the air about it is like."""

        OUTDOOR = "outdoor", "outdoors under cover"
        SHED = "shed", "in an open shed"
        INDOOR = "indoor", "indoors"
        KILN = "kiln", "in a kiln"

    stack = models.ForeignKey(Stack, on_delete=models.PROTECT, related_name="phases")
    kind = models.CharField(max_length=7, choices=Kind.choices)
    begins_on = models.DateField()
    ends_on = models.DateField(null=True, help_text="First day it no longer holds; empty = until further.")
    place = models.ForeignKey(
        Place, null=True, on_delete=models.PROTECT, related_name="phases", help_text="Whose months hold."
    )
    load = models.ForeignKey(KilnLoad, null=True, on_delete=models.PROTECT, related_name="phases")
    temperature_c = models.FloatField(null=True, help_text="Held, indoors or in a kiln.")
    humidity_percent = models.FloatField(null=True, help_text="Held, indoors or in a kiln.")
    planned = models.BooleanField(default=False, help_text="Meant to come; not done yet.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("stack", "begins_on")
        constraints = (
            models.UniqueConstraint(name="phase_once_a_day", fields=("stack", "begins_on")),
            in_turn("phase_in_turn", "begins_on", "ends_on"),
            possible("phase", temperature_c=(-60, 120), humidity_percent=(0, 100)),
        )


class Sample(Row):
    """A piece that is weighed for its stack: a witness block or an oven-dry sample board."""

    class Kind(models.TextChoices):
        """What it is."""

        WITNESS = "witness", "witness block"
        BOARD = "board", "sample board"

    name = models.CharField(max_length=80, help_text="As it is written on it.")
    kind = models.CharField(max_length=7, choices=Kind.choices, default=Kind.WITNESS)
    log = models.ForeignKey(Log, null=True, on_delete=models.PROTECT, related_name="samples")
    slab = models.ForeignKey(Slab, null=True, on_delete=models.PROTECT, related_name="samples")
    stack = models.ForeignKey(Stack, null=True, on_delete=models.PROTECT, related_name="samples")
    load = models.ForeignKey(KilnLoad, null=True, on_delete=models.PROTECT, related_name="samples")
    species = models.CharField(max_length=80)
    thickness_m = models.FloatField()
    width_m = models.FloatField(null=True)
    length_m = models.FloatField(null=True)
    cut_on = models.DateField(null=True)
    green_kg = models.FloatField(null=True, help_text="Weighed when it was cut.")
    oven_dry_kg = models.FloatField(null=True, help_text="Weighed out of the oven; empty = not known yet.")
    start_percent = models.FloatField(null=True, help_text="Moisture when cut, from sections off its ends.")
    ends_sealed = models.BooleanField(default=True)
    done = models.BooleanField(default=False, help_text="No longer weighed.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("name",)
        constraints = (
            models.UniqueConstraint(name="sample_named_once", fields=("name",)),
            one_of("sample_of_one", "log", "slab", needed=False),
            possible(
                "sample",
                thickness_m=(0.001, 2),
                width_m=(0.001, 10),
                length_m=(0.001, 60),
                green_kg=(0.001, 1e5),
                oven_dry_kg=(0.001, 1e5),
                start_percent=(0, 250),
            ),
        )

    def __str__(self) -> str:
        return self.name


class Weighing(Row):
    """A sample or a whole slab on the scale."""

    sample = models.ForeignKey(Sample, null=True, on_delete=models.PROTECT, related_name="weighings")
    slab = models.ForeignKey(Slab, null=True, on_delete=models.PROTECT, related_name="weighings")
    weighed_on = models.DateField()
    weight_kg = models.FloatField()
    scale_kg = models.FloatField(null=True, help_text="Its smallest step.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("weighed_on", "created_at")
        constraints = (
            one_of("weighing_of_one", "sample", "slab"),
            possible("weighing", weight_kg=(0.001, 1e5), scale_kg=(0, 1e3)),
        )


class Reading(Row):
    """What a moisture meter showed in a slab or a sample, uncorrected, and how it was taken."""

    class Meter(models.TextChoices):
        """What it feels with."""

        PIN = "pin", "pins, bare"
        INSULATED = "insulated pin", "pins, insulated to their tips"
        PINLESS = "pinless", "plate, no pins"

    sample = models.ForeignKey(Sample, null=True, on_delete=models.PROTECT, related_name="readings")
    slab = models.ForeignKey(Slab, null=True, on_delete=models.PROTECT, related_name="readings")
    read_on = models.DateField()
    meter = models.CharField(max_length=13, choices=Meter.choices)
    depth_m = models.FloatField(null=True, help_text="Of the pins' tips below the face.")
    shown_percent = models.FloatField(null=True, help_text="Empty where it only said too wet or too dry.")
    beyond = models.CharField(
        max_length=3,
        blank=True,
        choices=(("wet", "wetter than it can show"), ("dry", "drier than it can show")),
    )
    wood_c = models.FloatField(null=True, help_text="Temperature of the wood, not of the air.")
    compensated = models.BooleanField(null=True, help_text="The meter corrects for temperature itself.")
    set_to = models.CharField(max_length=80, blank=True, help_text="Species that it was set to.")
    gravity_set = models.FloatField(null=True, help_text="Specific gravity that a plate was set to.")
    calibrated_c = models.FloatField(null=True, help_text="Where its figures hold, as its maker says.")
    along_m = models.FloatField(null=True, help_text="Place along the piece, from its butt.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("read_on", "created_at")
        constraints = (
            one_of("reading_of_one", "sample", "slab"),
            models.CheckConstraint(
                name="reading_shows_something",
                condition=models.Q(shown_percent__isnull=False) | ~models.Q(beyond=""),
            ),
            possible(
                "reading",
                depth_m=(0, 1),
                shown_percent=(0, 250),
                wood_c=(-60, 120),
                gravity_set=(0.1, 1.4),
                calibrated_c=(0, 40),
                along_m=(0, 60),
            ),
        )

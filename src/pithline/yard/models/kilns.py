"""Kiln loads: which slabs went in and how they lay, the settings, what came of it."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.kit import Profile
from pithline.yard.models.row import Row, in_turn, possible
from pithline.yard.models.slabs import Slab

__all__ = ["KilnLoad", "KilnStep", "Loaded"]


class KilnLoad(Row):
    """One load of a kiln, from the plan on paper to what it took."""

    number = models.PositiveIntegerField(unique=True, help_text="Never given twice.")
    name = models.CharField(max_length=80, blank=True)
    kiln = models.ForeignKey(Profile, on_delete=models.PROTECT, related_name="loads")
    code = models.CharField(max_length=20, blank=True, help_text="Published schedule: T4-D2.")
    steps = models.JSONField(null=True, help_text="Own schedule as typed; empty = by its code.")
    target_percent = models.FloatField(null=True, help_text="Moisture wanted.")
    started_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)
    hours = models.FloatField(null=True, help_text="It ran, where that is not all the time between.")
    energy_kwh = models.FloatField(null=True, help_text="By the meter.")
    sterilised = models.BooleanField(null=True, help_text="Heat against insects, held long enough.")
    core_c = models.FloatField(null=True, help_text="Lowest core temperature of the thickest piece.")
    core_held_min = models.FloatField(null=True, help_text="For how long.")
    conditioned = models.BooleanField(null=True, help_text="Stresses taken out with damp air.")
    layout = models.JSONField(null=True, help_text="Layers as they were reckoned, units in its keys.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("-number",)
        verbose_name = "kiln load"
        constraints = (
            in_turn("load_in_turn", "started_at", "ended_at"),
            possible(
                "load",
                target_percent=(1, 60),
                hours=(0, 1e5),
                energy_kwh=(0, 1e7),
                core_c=(-60, 150),
                core_held_min=(0, 1e5),
            ),
        )

    def __str__(self) -> str:
        return f"load {self.number}"


class KilnStep(Row):
    """What a kiln was set to from an instant on."""

    class Kind(models.TextChoices):
        """What it is for."""

        DRY = "dry", "drying"
        REST = "rest", "rest in damp air"
        EQUALISE = "equalise", "equalising"
        CONDITION = "condition", "conditioning"
        STERILISE = "sterilise", "heat against insects"
        COOL = "cool", "cooling"

    load = models.ForeignKey(KilnLoad, on_delete=models.PROTECT, related_name="made_steps")
    at = models.DateTimeField()
    kind = models.CharField(max_length=9, choices=Kind.choices, default=Kind.DRY)
    dry_bulb_c = models.FloatField(null=True)
    wet_bulb_c = models.FloatField(null=True)
    humidity_percent = models.FloatField(null=True)
    samples_percent = models.FloatField(null=True, help_text="Wettest half of the samples then.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("load", "at")
        verbose_name = "kiln step"
        constraints = (
            models.UniqueConstraint(name="step_once_an_instant", fields=("load", "at")),
            possible(
                "step",
                dry_bulb_c=(-40, 120),
                wet_bulb_c=(-40, 120),
                humidity_percent=(0, 100),
                samples_percent=(0, 250),
            ),
        )


class Loaded(Row):
    """A slab in a load: where it lay, what it took of the room, what the load left on it."""

    load = models.ForeignKey(KilnLoad, on_delete=models.PROTECT, related_name="loaded")
    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="loads")
    layer = models.PositiveIntegerField(null=True, help_text="From the bottom, 1 first.")
    along_m = models.FloatField(null=True, help_text="Its nearer end from the kiln's door end.")
    across_m = models.FloatField(null=True, help_text="Its left edge from the left side.")
    end_for_end = models.BooleanField(null=True)
    face_down = models.BooleanField(null=True)
    space_share = models.FloatField(null=True, help_text="Of the load's room and days. [fraction]")
    sterilised = models.BooleanField(null=True)
    conditioned = models.BooleanField(null=True)
    marks = models.TextField(blank=True, help_text="What the buyer is told: not sterilised, honeycomb.")

    class Meta:
        ordering = ("load", "layer", "across_m")
        verbose_name = "slab of a load"
        constraints = (
            models.UniqueConstraint(name="slab_once_a_load", fields=("load", "slab")),
            possible("loaded", along_m=(0, 60), across_m=(0, 30), space_share=(0, 1)),
        )

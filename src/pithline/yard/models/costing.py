"""What was spent: hours and fuel, and money; for a log, a stack, a load, a slab, or in general."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.kilns import KilnLoad
from pithline.yard.models.logs import Log
from pithline.yard.models.row import Row, one_of, possible
from pithline.yard.models.slabs import Slab, Stack

__all__ = ["Effort", "Spending"]


class Effort(Row):
    """Hours that people spent on one thing in one day, with fuel and kilometres."""

    class Kind(models.TextChoices):
        """What was done."""

        DRIVE = "drive", "driving"
        SET_UP = "set up", "setting up and clearing away"
        CUT = "cut", "cutting"
        CARRY = "carry", "carrying"
        DRY = "dry", "stacking and drying"
        FINISH = "finish", "flattening and repair"
        SELL = "sell", "selling"
        OTHER = "other", "other"

    kind = models.CharField(max_length=6, choices=Kind.choices)
    done_on = models.DateField()
    hours = models.FloatField(help_text="Of one person, or of each where they are several.")
    people = models.PositiveSmallIntegerField(default=1)
    saw_hours = models.FloatField(null=True, help_text="The engine ran.")
    fuel_l = models.FloatField(null=True)
    distance_km = models.FloatField(null=True, help_text="Driven, there and back.")
    log = models.ForeignKey(Log, null=True, on_delete=models.PROTECT, related_name="efforts")
    stack = models.ForeignKey(Stack, null=True, on_delete=models.PROTECT, related_name="efforts")
    load = models.ForeignKey(KilnLoad, null=True, on_delete=models.PROTECT, related_name="efforts")
    slab = models.ForeignKey(Slab, null=True, on_delete=models.PROTECT, related_name="efforts")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("done_on", "created_at")
        verbose_name = "work"
        constraints = (
            one_of("effort_for_one", "log", "stack", "load", "slab", needed=False),
            possible(
                "effort", hours=(0, 24), people=(1, 50), saw_hours=(0, 24), fuel_l=(0, 1e4),
                distance_km=(0, 1e4),
            ),
        )  # fmt: skip


class Spending(Row):
    """Money that went out."""

    class Kind(models.TextChoices):
        """What for."""

        WOOD = "wood", "for the wood"
        MACHINE = "machine", "saw, chains, repair"
        FUEL = "fuel", "fuel and oil"
        TRANSPORT = "transport", "hauling, crane, winch"
        ENERGY = "energy", "power and heat of a kiln"
        HELP = "help", "paid help"
        STACK = "stack", "stickers, covers, sealer"
        SELLING = "selling", "fees, photos, delivery"
        OVERHEAD = "overhead", "rent, insurance, phone"
        OTHER = "other", "other"

    what = models.CharField(max_length=120)
    kind = models.CharField(max_length=9, choices=Kind.choices, default=Kind.OTHER)
    amount_minor = models.BigIntegerField()
    spent_on = models.DateField()
    months = models.PositiveSmallIntegerField(
        null=True, help_text="It covers, from that day; empty = no span."
    )
    log = models.ForeignKey(Log, null=True, on_delete=models.PROTECT, related_name="spendings")
    stack = models.ForeignKey(Stack, null=True, on_delete=models.PROTECT, related_name="spendings")
    load = models.ForeignKey(KilnLoad, null=True, on_delete=models.PROTECT, related_name="spendings")
    slab = models.ForeignKey(Slab, null=True, on_delete=models.PROTECT, related_name="spendings")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("spent_on", "created_at")
        constraints = (
            # For none of them: overhead.
            one_of("spending_for_one", "log", "stack", "load", "slab", needed=False),
            possible("spending", amount_minor=(0, 1e15), months=(1, 120)),
        )

    def __str__(self) -> str:
        return self.what

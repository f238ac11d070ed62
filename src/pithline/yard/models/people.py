"""People and places."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.row import Row, possible

__all__ = ["Contact", "Place"]


class Contact(Row):
    """A person: owner of a tree, buyer, helper. Stays on the user's own machine."""

    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=60, blank=True)
    email = models.CharField(max_length=120, blank=True)
    address = models.TextField(blank=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name


class Place(Row):
    """Where a log lies or slabs are kept."""

    class Kind(models.TextChoices):
        """What happens there."""

        FOREST = "forest", "where logs lie"
        YARD = "yard", "yard"
        SHED = "shed", "shed"
        ELSEWHERE = "elsewhere", "elsewhere"

    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=12, choices=Kind.choices, default=Kind.FOREST)
    contact = models.ForeignKey(Contact, null=True, on_delete=models.PROTECT, related_name="places")
    zone = models.CharField(max_length=60, blank=True, help_text="Time zone; empty = the book's.")
    latitude_deg = models.FloatField(null=True)
    longitude_deg = models.FloatField(null=True)
    access = models.TextField(blank=True, help_text="Gate, path, neighbours, parking.")

    class Meta:
        ordering = ("name",)
        constraints = (possible("place", latitude_deg=(-90, 90), longitude_deg=(-180, 180)),)

    def __str__(self) -> str:
        return self.name

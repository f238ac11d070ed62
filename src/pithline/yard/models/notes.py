"""What was written about a record, and what buyers asked for."""

from __future__ import annotations

from django.db import models

from pithline.yard.models.people import Contact
from pithline.yard.models.row import Row, possible

__all__ = ["Note", "Want"]


class Note(Row):
    """A note about any record."""

    subject = models.UUIDField()
    subject_kind = models.CharField(max_length=20)
    text = models.TextField()

    class Meta:
        ordering = ("created_at",)
        indexes = (models.Index(fields=("subject",)),)


class Want(Row):
    """A size that somebody asked for: the finished piece, dry."""

    class Form(models.TextChoices):
        """What is to be cut of the slab."""

        RECTANGLE = "rectangle", "rectangle"
        ROUND = "round", "round"
        OVAL = "oval", "oval"
        PAIR = "pair", "top of a pair"
        WHOLE = "whole", "whole slab"

    contact = models.ForeignKey(Contact, null=True, on_delete=models.PROTECT, related_name="wants")
    what = models.CharField(max_length=120)
    form = models.CharField(max_length=10, choices=Form.choices, default=Form.RECTANGLE)
    species = models.CharField(max_length=80, blank=True, help_text="Empty = any.")
    length_m = models.FloatField()
    width_m = models.FloatField()
    thickness_m = models.FloatField(null=True, help_text="Finished; empty = any.")
    count = models.PositiveIntegerField(default=1)
    wanted_by = models.DateField(null=True)
    offer_minor = models.BigIntegerField(null=True)
    met = models.BooleanField(default=False)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("met", "created_at")
        constraints = (possible("want", length_m=(0.01, 60), width_m=(0.01, 10), thickness_m=(0.001, 2)),)

    def __str__(self) -> str:
        return self.what

"""The journal: every change to the book is one line in it."""

from __future__ import annotations

from django.db import models

from pithline.yard.ids import new_id

__all__ = ["Counter", "Entry"]


class Entry(models.Model):
    """One thing a person entered, as entered, and what it changed. Never overwritten.

    A correction or an undo is a new entry. Its identity may be made on a phone; the
    order is this book's own, because no phone's clock decides an order.
    """

    order = models.BigAutoField(primary_key=True)
    id = models.UUIDField(unique=True, default=new_id, editable=False)
    kind = models.CharField(max_length=40)
    said = models.JSONField(help_text="As it was typed, with its units.")
    digest = models.CharField(max_length=64, help_text="SHA-256 of kind and said: the same entry sent twice.")
    subject = models.UUIDField(null=True, help_text="The record it is about.")
    subject_kind = models.CharField(max_length=20, blank=True)
    changes = models.JSONField(default=list, help_text="What differs before and after, for undo.")
    who = models.CharField(max_length=80, blank=True)
    device = models.CharField(max_length=80, blank=True)
    made_at = models.DateTimeField(null=True, help_text="By the device's clock, in UTC; empty = unknown.")
    zone = models.CharField(max_length=60, blank=True, help_text="Time zone of the place.")
    received_at = models.DateTimeField(auto_now_add=True)
    undone_by = models.OneToOneField("self", null=True, on_delete=models.PROTECT, related_name="undoes")

    class Meta:
        ordering = ("-order",)
        indexes = (models.Index(fields=("subject", "-order")),)


class Counter(models.Model):
    """Numbers for the wood: written once, so an undo never gives one back."""

    name = models.CharField(max_length=60, primary_key=True)
    last = models.PositiveIntegerField(default=0)

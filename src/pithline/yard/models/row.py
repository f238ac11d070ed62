"""What every record of the book has."""

from __future__ import annotations

from django.db import models

from pithline.yard.ids import new_id

__all__ = ["Owner", "Row"]


class Row(models.Model):
    """A record with an identity that can be made on a phone."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    created_at = models.DateTimeField(auto_now_add=True, help_text="UTC, by this machine's clock.")

    class Meta:
        abstract = True


class Owner(models.TextChoices):
    """Whose wood it is."""

    OWN = "own", "our own"
    CUSTOMER = "customer", "a customer's"
    SHARES = "shares", "shared"

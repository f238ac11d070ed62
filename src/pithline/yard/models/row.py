"""What every record of the book has."""

from __future__ import annotations

from django.db import models

from pithline.yard.ids import new_id

__all__ = ["RANGES", "Owner", "Row", "in_turn", "one_of", "possible"]

RANGES: dict[str, dict[str, tuple[float, float]]] = {}
"""What each `possible` constraint allows, so that a refusal can name the column."""


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


def possible(of: str, **ranges: tuple[float, float]) -> models.CheckConstraint:
    """Columns that are empty or within a range, ends included.

    Both ends are needed: PostgreSQL takes NaN for larger than every number.
    """
    RANGES[f"{of}_possible"] = ranges
    condition = models.Q()
    for name, (least, most) in ranges.items():
        condition &= models.Q(**{f"{name}__isnull": True}) | models.Q(**{f"{name}__range": (least, most)})
    return models.CheckConstraint(name=f"{of}_possible", condition=condition)


def one_of(name: str, *columns: str, needed: bool = True) -> models.CheckConstraint:
    """Of some references exactly one is set; where not `needed`, one or none."""
    condition = models.Q()
    for chosen in (*columns, *([] if needed else [""])):
        condition |= models.Q(**{f"{column}__isnull": column != chosen for column in columns})
    return models.CheckConstraint(name=name, condition=condition)


def in_turn(name: str, first: str, then: str) -> models.CheckConstraint:
    """Two days or instants of which the second, where it is known, is not before the first."""
    empty = models.Q(**{f"{first}__isnull": True}) | models.Q(**{f"{then}__isnull": True})
    return models.CheckConstraint(name=name, condition=empty | models.Q(**{f"{then}__gte": models.F(first)}))

"""Names that the book knows already, offered while typing."""

from __future__ import annotations

from functools import cache

__all__ = ["contacts", "places", "stacks", "woods"]


def places() -> list[str]:
    """Every place."""
    from pithline.yard.models import Place

    return list(Place.objects.values_list("name", flat=True)[:500])


def contacts() -> list[str]:
    """Every contact."""
    from pithline.yard.models import Contact

    return list(Contact.objects.values_list("name", flat=True)[:500])


def stacks() -> list[str]:
    """Every stack."""
    from pithline.yard.models import Stack

    return list(Stack.objects.values_list("name", flat=True)[:500])


@cache
def woods() -> tuple[str, ...]:
    """Every wood whose figures are known."""
    from pithline.wood.species import all_species

    return tuple(sorted(wood.name for wood in all_species()))

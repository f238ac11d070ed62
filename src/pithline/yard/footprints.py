"""What a slab of the book covers as it lies: its outline now, and what it weighs."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from django.db.models import Prefetch, QuerySet

from pithline.errors import Refused
from pithline.yard.models import Size, Slab
from pithline.yard.sizing import outline_of

if TYPE_CHECKING:
    from pithline.dry.laying.footprint import Footprint
    from pithline.wood.facts import Species

__all__ = ["as_green", "footprint_of", "sized", "wood_of"]


def sized(slabs: QuerySet[Slab]) -> QuerySet[Slab]:
    """The same slabs with what `footprint_of` reads, in a fixed count of queries."""
    now = Prefetch("sizes", Size.objects.filter(current=True), to_attr="now")
    return slabs.select_related("log").prefetch_related(now, "weighings")


def wood_of(slab: Slab) -> Species | None:
    """Its wood; None where its name is none that we know."""
    from pithline.wood.species import species

    try:
        return species(slab.species)
    except Refused:
        return None


def footprint_of(slab: Any) -> tuple[Footprint, bool] | None:
    """Its outline, and whether its weight is known; None where it was not measured, or its sizes cross.

    Parameters
    ----------
    slab : Slab
        Of `sized`.
    """
    from pithline.dry.laying.footprint import Footprint

    size = slab.now[0] if slab.now else None
    if size is None or not size.thickness_m:
        return None
    outline = outline_of(size)
    weights = [one.weight_kg for one in slab.weighings.all()]
    mass = (weights[-1] if weights else size.weight_kg) or 0.0
    try:
        if outline is not None:
            return Footprint.of_outline(slab.label, outline, mass), bool(mass)
        if size.length_m and size.mean_width_m:
            half = size.mean_width_m / 2
            ends, left, right = [0, size.length_m], [-half] * 2, [half] * 2
            return Footprint.of(slab.label, ends, left, right, size.thickness_m, mass), bool(mass)  # type: ignore[arg-type]
    except Refused:
        pass
    return None


def as_green(bare: Footprint, wood: Species) -> Footprint:
    """The same with the weight of green wood, at its upper end."""
    from pithline.wood.density import green_density

    return replace(bare, mass=green_density(wood).high * bare.area * bare.thickness)

"""Where the slabs of a log on offer would dry: a place of the book, carried as plain words and numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pithline.errors import BadValue
from pithline.yard.drying_air import months_of
from pithline.yard.models import Place, Stack

if TYPE_CHECKING:
    from pithline.dry.months import Months

__all__ = ["as_key", "drying_place", "from_key", "places_with_months"]

_NUMBERS = ("stray_temperature", "stray_emc", "bias_temperature", "bias_emc")


def drying_place(said: str) -> Months | None:
    """Months of the place that was named, where the book knows it; without a name, of the latest stack.

    None where the book knows none: a place of the shipped table may still be meant.
    """
    if said:
        found = Place.objects.filter(name__iexact=said.strip()).prefetch_related("months").first()
        return _months(found)
    for stack in Stack.objects.select_related("place").order_by("-created_at"):
        if (months := _months(stack.place)) is not None:
            return months
    known = (_months(place) for place in _places())
    return next((months for months in known if months is not None), None)


def places_with_months() -> list[str]:
    """Names to offer: places of the book, then those of the shipped table."""
    from pithline.dry.months import places

    own = [place.name for place in _places() if _months(place) is not None]
    return [*own, *(name for name in places() if name not in own)]


def as_key(months: Months | None) -> dict[str, Any] | None:
    """As JSON can hold it."""
    if months is None:
        return None
    columns = {"temperature": months.temperature.tolist(), "emc": months.emc.tolist()}
    numbers = {name: getattr(months, name) for name in _NUMBERS}
    return {"name": months.name, **columns, **numbers, "guess": months.guess, "basis": list(months.basis)}


def from_key(kept: dict[str, Any]) -> Months:
    """The same months again."""
    import numpy as np

    from pithline.dry.months import Months

    columns = {name: np.array(kept[name], dtype=np.float64) for name in ("temperature", "emc")}
    return Months(**{**kept, **columns, "basis": tuple(kept["basis"])})


def _places() -> list[Place]:
    # Where logs lie, no slab dries.
    rest = Place.objects.exclude(kind=Place.Kind.FOREST).prefetch_related("months")
    return sorted(rest, key=lambda place: (place.kind != Place.Kind.SHED, place.name))


def _months(place: Place | None) -> Months | None:
    try:
        return months_of(place)
    except BadValue:
        return None

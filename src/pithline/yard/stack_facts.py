"""What the book knows of a stack's slabs, timbers and cover, as the room that lays stacks takes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pithline.yard.actions.slabs import GONE
from pithline.yard.footprints import as_green, footprint_of, sized, wood_of
from pithline.yard.models import Place, Slab, Stack

if TYPE_CHECKING:
    from pithline.dry.laying.boule import Sawn
    from pithline.dry.laying.footprint import Footprint
    from pithline.dry.laying.stack import ByHand
    from pithline.dry.laying.stack import Stack as Laid
    from pithline.dry.laying.stickers import Stickers
    from pithline.dry.laying.stood import Known

__all__ = ["StackFacts", "as_laid", "entered", "proposed", "stack_facts"]

_STICK, _STICK_WIDTH = 0.025, 0.032  # where nobody said; common practice, no source. [m]
_BASE = 0.30  # where nobody said; GTR-117 and AH-402, from memory. [m]


@dataclass(frozen=True, slots=True, eq=False)
class StackFacts:
    """A stack as the book knows it.

    Attributes
    ----------
    stack : Stack
    slabs : tuple of Footprint
        Measured ones, bottom first.
    sawn : tuple of Sawn
    known : mapping of str to Known
    places : tuple of ByHand or None
        One for each slab; None where it lies in no layer.
    remarks : tuple of str
        What was assumed, and which slabs could not be reckoned.
    """

    stack: Stack
    slabs: tuple[Footprint, ...]
    sawn: tuple[Sawn, ...]
    known: Mapping[str, Known]
    places: tuple[ByHand | None, ...]
    remarks: tuple[str, ...]


def stack_facts(stack: Stack) -> StackFacts:
    """Read a stack's slabs in a fixed count of queries."""
    from pithline.dry.laying.footprint import Turn
    from pithline.dry.laying.stack import ByHand
    from pithline.dry.laying.stood import Known

    inside = sized(Slab.objects.filter(stack=stack).exclude(state__in=GONE))
    inside = inside.order_by("layer", "spot", "number", "suffix")
    slabs, kept, known, places, remarks = [], [], {}, [], []
    reckoned = False
    for slab in inside:
        wood = wood_of(slab)
        made = footprint_of(slab)
        if made is None:
            remarks.append(f"{slab.label} is left out: it was not measured, or its sizes cross")
            continue
        print_of, weighed = made
        reckoned = reckoned or not weighed
        slabs.append(print_of if weighed or wood is None else as_green(print_of, wood))
        kept.append(slab)
        sealed = bool(slab.ends_sealed_on or (slab.log and slab.log.ends_sealed_on))
        known[slab.label] = Known(wood, sealed, weighed)
        turn = Turn(bool(slab.end_for_end), bool(slab.face_down))
        places.append(ByHand(slab.layer, slab.along_m, slab.across_m, turn) if slab.layer else None)
    if reckoned:
        remarks.append("what was not weighed counts green, at its upper end")
    return StackFacts(stack, tuple(slabs), tuple(_sawn(kept)), known, tuple(places), tuple(remarks))


def as_laid(facts: StackFacts) -> Laid | None:
    """The stack as it lies; None where no measured slab lies in a layer.

    Raises
    ------
    BadValue
        Slabs of a layer that lie on each other, as they were entered.
    """
    from pithline.dry.laying.stack import by_hand

    laid = [(slab, place) for slab, place in zip(facts.slabs, facts.places, strict=True) if place]
    if not laid:
        return None
    slabs, places = [slab for slab, _ in laid], [place for _, place in laid]
    width = _needed(slabs, places)
    reach = max((place.from_end or 0.0) + slab.length for slab, place in laid)
    ground = _ground(facts.stack, slabs, reach + 0.026, width)
    sticks, fixed = _sticks(facts.stack, slabs, reach)
    return by_hand(slabs, places, ground, sticks, keep_rows=fixed)


def proposed(facts: StackFacts, by: str, width: float | None = None) -> Laid:
    """Another way to lay all measured slabs of the stack.

    Parameters
    ----------
    facts : StackFacts
    by : {"order", "floor"}
    width : float, optional
        Of the floor there is; 1.2 m or the widest slab where left out. [m]

    Raises
    ------
    BadValue
        No measured slab, an order that is not known, a slab wider than the floor.
    """
    from pithline.dry.laying.nesting import Effort
    from pithline.dry.laying.stack import by_floor, by_order
    from pithline.errors import BadValue

    if not facts.slabs:
        raise BadValue("slabs", "none measured", "one measured slab or more", "Measure them.")
    ground = _ground(facts.stack, facts.slabs, None, width)
    sticks, _ = _sticks(facts.stack, facts.slabs, ground.floor.length)
    if by == "order":
        return by_order(facts.slabs, facts.sawn, ground, sticks)
    # Fewer rounds than by command: somebody waits for the page.
    return by_floor(facts.slabs, ground, sticks, effort=Effort(rounds=6, beam=48))


def entered(stack: Stack, laid: Laid) -> dict[str, Any]:
    """What is said to the entry kind `lay_stack` to lay a stack so."""
    rows = []
    for n, layer in enumerate(laid.layers, 1):
        for spot, one in enumerate(layer.slabs, 1):
            rows.append({
                "slab": one.slab.name, "layer": n, "spot": spot,
                "from_left": _mm(one.across), "from_end": _mm(one.along),
                "end_for_end": one.turn.end_for_end, "face_down": one.turn.face_down,
            })  # fmt: skip
    sticks = laid.stickers
    return {
        "stack": stack.name,
        "slabs": rows,
        "sticker": _mm(sticks.thickness),
        "sticker_width": _mm(sticks.width),
        "sticker_places": [_mm(row) for row in sticks.rows],
    }


def _mm(metres: float) -> str:
    return f"{max(metres, 0.0) * 1000:.1f} mm"


def _sawn(slabs: list[Slab]) -> list[Sawn]:
    """Places in their logs, counted anew: a piece of a slab has its parent's number."""
    from pithline.dry.laying.boule import Sawn

    of: dict[Any, list[Slab]] = {}
    for slab in sorted(slabs, key=lambda one: (one.number, one.suffix)):
        of.setdefault(slab.log_id, []).append(slab)
    return [
        Sawn(str(slab.log.number), of[slab.log_id].index(slab) + 1) if slab.log else Sawn() for slab in slabs
    ]


def _ground(stack: Stack, slabs: Any, length: float | None, width: float | None) -> Any:
    from pithline.dry.laying.ground import Ground, ground_for

    place = stack.place
    shed = place is not None and place.kind == Place.Kind.SHED
    return Ground(
        ground_for(slabs, length, width),
        base=_BASE if stack.bolster_m is None else stack.bolster_m,
        blocks=0,  # the book does not know of any: its timbers lie on the ground
        bears=stack.bears_kg_m2,
        top_weight=stack.top_weight_kg or 0.0,
        roof=shed or stack.covered_on is not None,
        shaded=stack.ends_shaded_on is not None,
    )


def _needed(slabs: list[Footprint], places: list[ByHand]) -> float:
    """Width of the floor that slabs laid by hand ask for. [m]"""
    from pithline.dry.laying.ground import GAP

    most = 1.2
    for number in {place.layer for place in places}:
        left = 0.0
        for slab, place in zip(slabs, places, strict=True):
            if place.layer == number:
                at = left if place.from_left is None else place.from_left
                left = at + slab.width + GAP
                most = max(most, left)
    return most


def _sticks(stack: Stack, slabs: Any, length: float) -> tuple[Stickers, bool]:
    """The stack's sticks, and whether their rows were entered."""
    from pithline.dry.laying.stickers import Stickers, spacing_for

    thick, width = stack.sticker_m or _STICK, stack.sticker_width_m or _STICK_WIDTH
    if stack.sticker_places_m:
        return Stickers(thick, width, tuple(stack.sticker_places_m)), True
    spacing = min(spacing_for(slab.thickness) for slab in slabs)
    return Stickers.spaced(length, spacing, thick, width), False

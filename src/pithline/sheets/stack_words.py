"""What a stack's command, page and card say of it, in the same words and figures."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pithline.dry.laying.floor_load import GRAVITY
from pithline.dry.laying.stack import Stack
from pithline.dry.laying.stood import Standing
from pithline.units import FOOT, POUND, System, show_length, show_mass

__all__ = ["StackWords", "stack_words"]


@dataclass(frozen=True, slots=True)
class StackWords:
    """Sentences about a stack.

    Attributes
    ----------
    head : str
    sticks, loads, lifts, paces : tuple of str
        A line each.
    """

    head: str
    sticks: tuple[str, ...]
    loads: tuple[str, ...]
    lifts: tuple[str, ...]
    paces: tuple[str, ...]


def stack_words(stack: Stack, stood: Standing, system: System = "metric") -> StackWords:
    """Word a stack; every weight and load is rounded up."""
    size = " x ".join(show_length(x, system, "long") for x in (stack.length, stack.width, stack.height))
    proved = "; no plan takes fewer layers" if stack.fewest else ""
    count, layers = len(stack.slabs), len(stack.layers)
    head = f"{count} slab{'s' * (count != 1)} in {layers} layer{'s' * (layers != 1)}, {stack.how}{proved}; "
    head += f"{size} high with its base."
    sticks, loads = _sticks(stack, stood, system), _loads(stack, stood, system)
    return StackWords(head, sticks, loads, _lifts(stood, system), _paces(stood, system))


def _sticks(stack: Stack, stood: Standing, system: System) -> tuple[str, ...]:
    sticks = stack.stickers
    thick, wide, long = (show_length(x, system) for x in (sticks.thickness, sticks.width, stack.width))
    told = [
        f"Sticks: {stack.sticks} of {thick} x {wide}, {long} long, dry; {len(sticks.rows)} rows, one above "
        "the other, mid from the near end at " + ", ".join(show_length(x, system) for x in sticks.rows) + "."
    ]
    beams = stood.bolsters
    if beams:
        side = show_length(beams.side, system) if beams.side else "none of the usual sizes"
        below = (
            f"on {beams.blocks} blocks each" if beams.blocks else "on the ground all along, on drained ground"
        )
        told.append(
            f"Timbers: {beams.count}, one under each row, {side} square or more, "
            f"{show_length(beams.length, system)} long, {below}."
        )
    return tuple(told)


def _loads(stack: Stack, stood: Standing, system: System) -> tuple[str, ...]:
    low, high = stood.top_weight
    top = f"Weight on top: {show_mass(stack.ground.top_weight, system, up=True)}; "
    top += f"{show_mass(low, system)} to {show_mass(high, system)} are aimed at, any weight helps."
    if stood.mass is None or stood.load is None or stood.bolsters is None:
        return (top,)
    assert stood.wood is not None
    area = f"{math.ceil(stood.load)} kg/m2 ({math.ceil(stood.load * GRAVITY / 100) / 10:.1f} kN/m2)"
    if system == "inch":
        area = f"{math.ceil(stood.load / POUND * FOOT**2)} lb/ft2"
    beams = stood.bolsters
    weights = (stood.mass, stood.wood, stood.extras)
    mass, wood, extras = (show_mass(each, system, up=True) for each in weights)
    lines = [
        f"Weight: {mass} at most, {wood} of it wood, {extras} sticks, timbers and what lies on top.",
        f"On the floor: {area} over the area it covers; {_point(beams.load, system)} under the most loaded "
        + ("timber" + (f", {_point(beams.block_load, system)} under one block." if beams.blocks else ".")),
        top,
    ]
    if stood.bears:
        word = "NOT ENOUGH" if stood.too_heavy else "enough over the area; point loads are another matter"
        bears = f"{math.floor(stood.bears)} kg/m2"
        if system == "inch":
            bears = f"{math.floor(stood.bears / POUND * FOOT**2)} lb/ft2"
        lines.insert(2, f"The floor is said to bear {bears}: {word}.")
    steady = stood.steadiness
    lines.append(
        f"It is {steady.ratio:.1f} times as high as its base is wide, and tips when it leans "
        f"{math.floor(math.degrees(steady.lean))} degrees."
    )
    return tuple(lines)


def _point(load: float, system: System) -> str:
    told = show_mass(load, system, up=True)
    return told if system == "inch" else f"{told} ({math.ceil(load * GRAVITY / 100) / 10:.1f} kN)"


def _lifts(stood: Standing, system: System) -> tuple[str, ...]:
    told = []
    for lift in stood.lifts:
        if lift.most is None:
            told.append(f"Lift {lift.name}: weight not known.")
            continue
        green = f", green {show_mass(lift.green, system, up=True)}" if lift.green else ""
        now = f"now {show_mass(lift.mass, system, up=True)}" if lift.mass else "now not known"
        people = (
            "no load for hands: hoist, cart or rollers"
            if lift.people is None
            else f"{lift.people} {'person' if lift.people == 1 else 'people'} at least"
        )
        told.append(f"Lift {lift.name}: {now}{green}; {people}.")
    return tuple(told)


def _paces(stood: Standing, system: System) -> tuple[str, ...]:
    return tuple(
        f"Safe loss while wet, {pace.wood} of {show_length(pace.thickness, system)}: "
        f"{100 * pace.loss.low:.2f} % a day ({100 * pace.loss.low:.2f} to {100 * pace.loss.high:.2f}). "
        + "; ".join(pace.loss.basis)
        for pace in stood.paces
    )

"""What follows from a stack once it is laid: loads, timbers, steadiness, lifts, drying pace, reminders."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from pithline.dry.laying.bolsters import bolsters
from pithline.dry.laying.floor_load import row_loads, spread_load
from pithline.dry.laying.lifting import people_for
from pithline.dry.laying.stack import Stack, bare_rows
from pithline.dry.laying.steadiness import steadiness
from pithline.dry.laying.stickers import OVERHANG
from pithline.dry.laying.stood import Known, Lift, Pace, Reminder, Standing
from pithline.dry.safe_loss import safe_loss
from pithline.units import show_length, show_mass
from pithline.wood.density import green_density

__all__ = ["CAUTION", "TOP_WEIGHT", "standing"]

CAUTION = (
    "Stacks tip and floors fail: the figures judge neither your ground nor your building; ask a structural "
    "engineer before you stack on a building's floor, and follow local codes and licensed practice."
)
TOP_WEIGHT = (50.0, 600.0)
"""Weight on top that is aimed at. [kg/m2]

Any weight helps; 250 mm of concrete over the whole top, about 600 kg/m2, is named as ideal (E. M. Wengert
2000, read); from 50 kg/m2 on: common practice, no source.
"""
_STICK_DENSITY = 800.0  # of sticks and timbers, on the safe side; a guess. [kg/m3]
_BASE = (0.30, 0.45)
_THICK, _STICK = 0.032, 0.025  # sticks of an inch from an inch and a quarter on: TM 38-400, read. [m]


def standing(stack: Stack, known: Mapping[str, Known]) -> Standing:
    """Reckon what follows from a stack.

    Parameters
    ----------
    stack : Stack
    known : mapping of str to Known
        By the slab's name; may lack some.

    Notes
    -----
    All weights are at their upper end, and so are the loads. The top weight and the sticks are spread evenly
    over the rows; the timbers are not counted in what they carry themselves.
    """
    wood, sticks, top = stack.mass, stack.stickers, stack.ground.top_weight
    rows = len(sticks.rows)
    stick_mass = stack.sticks * stack.width * sticks.thickness * sticks.width * _STICK_DENSITY
    loads: tuple[float, ...] = ()
    beams, load, mass, extras = None, None, None, stick_mass + top
    if wood is not None:
        own = row_loads(stack.layers, sticks.rows, sticks.width)
        loads = tuple(float(each) + (stick_mass + top) / rows for each in own)
        beams = bolsters(loads, stack.width, stack.ground.blocks)
        extras += rows * (beams.side or 0.25) ** 2 * beams.length * _STICK_DENSITY
        mass = wood + extras
        load = spread_load(mass, stack.length, stack.width)
    area = sum(laid.slab.area for laid in stack.layers[-1].slabs)
    stood = steadiness(stack.layers, stack.ground.base, top)
    lifts = tuple(
        _lift(laid.slab.name, laid.slab.mass, known, laid.slab.area * laid.slab.thickness)
        for laid in stack.slabs
    )
    half = Standing(
        wood, extras, mass, load, loads, beams, stack.ground.bears, stood,
        (TOP_WEIGHT[0] * area, TOP_WEIGHT[1] * area), lifts, _paces(stack, known), (),
    )  # fmt: skip
    return replace(half, reminders=(*_dangers(stack, half), *_dues(stack, known)))


def _lift(name: str, mass: float, known: Mapping[str, Known], volume: float) -> Lift:
    wood = known.get(name, Known()).species
    green = green_density(wood).high * volume if wood else None
    most = max(mass, green or 0.0)
    return Lift(name, mass or None, green, people_for(most) if most else None)


def _paces(stack: Stack, known: Mapping[str, Known]) -> tuple[Pace, ...]:
    found: dict[tuple[str, float], Pace] = {}
    for laid in stack.slabs:
        wood = known.get(laid.slab.name, Known()).species
        thick = round(laid.slab.thickness, 3)
        if wood and (wood.name, thick) not in found:
            found[wood.name, thick] = Pace(wood.name, thick, safe_loss(wood, thick))
    return tuple(sorted(found.values(), key=lambda pace: (pace.wood, -pace.thickness)))


def _dangers(stack: Stack, got: Standing) -> list[Reminder]:
    """What must be put right before the stack is built so."""
    found: list[Reminder] = []

    def say(kind: str, told: str, source: str) -> None:
        found.append(Reminder(kind, told, source))

    if got.too_heavy:
        assert got.load is not None
        assert got.bears is not None
        say(
            "floor",
            f"The floor is said to bear {got.bears:.0f} kg/m2; the stack lays {math.ceil(got.load)} on it. "
            "Do not build it there so.",
            "the floor as its owner says",
        )
    if got.wood is None:
        bare = [lift.name for lift in got.lifts if lift.mass is None]
        say("weight", f"Weight not known of {_few(bare)}: no load is reckoned. Say its wood or weigh it.", "")
    if got.bolsters and got.bolsters.side is None:
        say(
            "timbers",
            f"No usual timber bears {show_mass(got.bolsters.load, up=True)} over "
            f"{got.bolsters.blocks} blocks: set more.",
            "textbook statics; allowed stress from memory",
        )
    stood = got.steadiness
    if stood.brace:
        where = (
            "on the ground"
            if stood.weakest == 0
            else f"on the sticks of layer {stack.numbers[stood.weakest - 1]}"
        )
        say(
            "tipping",
            f"Brace it or build it lower: {stood.ratio:.1f} times as high as its base is wide, and "
            f"{where} it tips when it leans {math.degrees(stood.lean):.0f} degrees.",
            "braced beyond 2 times as high as wide: common practice, no source; under 15 degrees: a guess",
        )
    rows = bare_rows(stack)
    for name in dict.fromkeys(name for name, _ in rows):
        places = _few([show_length(place) for other, place in rows if other == name])
        say(
            "unsupported",
            f"Below {name} the sticks at {places} have no wood under them: fill up with a block as thick, or "
            "lay the longer slab lower.",
            "every stick over the one below: AH-188 ch. 5, from memory",
        )
    hang = [
        f"{laid.slab.name} {end} {show_length(reach)}"
        for laid in stack.slabs
        for reach, end in zip(laid.overhang, ("near", "far"), strict=True)
        if reach > OVERHANG
    ]
    if hang:
        say(
            "overhang",
            f"Ends that reach past their last stick: {_few(hang)}. Give each a stick of its own, and a block "
            "below.",
            "75 to 100 mm at most: common practice, no source",
        )
    return found


def _dues(stack: Stack, known: Mapping[str, Known]) -> list[Reminder]:
    """Seals, cover, sticks, air."""
    found: list[Reminder] = []
    bare = [laid.slab.name for laid in stack.slabs if not known.get(laid.slab.name, Known()).sealed]
    if bare:
        told = f"Seal the ends of {_few(bare)} within two or three days of the cut; bare ends check first."
        found.append(Reminder("seal", told, "GTR-117, FPL-GTR-118, from memory"))
    if not stack.ground.roof:
        told = "Put a roof over it: 30 cm past its sides, 60 to 75 past its ends, air between; never wrap it."
        found.append(Reminder("cover", told, "GTR-117, from memory, low confidence"))
    if not stack.ground.shaded:
        told = "Keep sun and wind off its ends; oak of 50 mm and more wants little wind at first."
        found.append(Reminder("shade", told, "common practice, no source"))
    if stack.ground.base < _BASE[0] - 1e-9:
        told = f"Its base is {show_length(stack.ground.base)} high; 30 to 45 cm of air below are usual."
        found.append(Reminder("base", told, "GTR-117, AH-402, from memory"))
    thick = max(laid.slab.thickness for laid in stack.slabs)
    if thick >= _THICK and stack.stickers.thickness < _STICK - 1e-9:
        told = f"Green slabs of {show_length(thick)} take sticks of 25 mm; these have "
        told += f"{show_length(stack.stickers.thickness)}."
        found.append(Reminder("sticks", told, "TM 38-400, for hardwood of 1 1/4 in. and over, read"))
    uneven = [
        str(n)
        for n, layer in zip(stack.numbers, stack.layers, strict=True)
        if max(one.slab.thickness for one in layer.slabs) - min(one.slab.thickness for one in layer.slabs)
        > 3.01e-3
    ]
    if uneven:
        told = (
            f"Slabs of unlike thickness in layer {', '.join(uneven)}: the sticks above hold the thick only."
        )
        found.append(Reminder("uneven", told, "common practice, no source"))
    return found


def _few(names: Sequence[str]) -> str:
    return ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")

"""A kiln charge: which slabs go in, in which layer, and how each lies."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.dry.laying.bound import layers_at_least
from pithline.dry.laying.contact import profiles
from pithline.dry.laying.footprint import Footprint
from pithline.dry.laying.layers import Layer, Room, heaviest_first, laid_out, stuck
from pithline.dry.laying.loading import most_worth
from pithline.dry.laying.nesting import Effort, Nested, Progress, nest
from pithline.dry.laying.rectangles import Spot
from pithline.dry.laying.stickers import Stickers, suited
from pithline.errors import BadValue

__all__ = ["Charge", "LeftOut", "Shelf", "plan_charge", "thickness_classes"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A slab that stays outside, and why."""

    name: str
    why: str


@dataclass(frozen=True, slots=True)
class Shelf:
    """What one thickness takes, whether or not the height has room for all of it.

    Attributes
    ----------
    thickness : float
        Of the thickest. [m]
    slabs, layers, rectangle_layers : int
        Layers of all slabs of this thickness, slid together and as bounding rectangles.
    rectangles_proved : bool
        No plan of rectangles takes fewer.
    at_least : int
        No plan at all takes fewer layers.
    groups : int
        Groups of slabs that were found to share a layer.
    settled : bool
        No choice among those groups takes fewer layers.
    """

    thickness: float
    slabs: int
    layers: int
    rectangle_layers: int
    rectangles_proved: bool
    at_least: int
    groups: int
    settled: bool

    @property
    def gap(self) -> int:
        """Layers between the plan and the lower bound."""
        return self.layers - self.at_least

    @property
    def proved(self) -> bool:
        """Whether no plan at all takes fewer layers."""
        return self.gap == 0


@dataclass(frozen=True, slots=True, eq=False)
class Charge:
    """One kiln load, laid.

    Attributes
    ----------
    room : Room
    stickers : Stickers
    layers : tuple of Layer
        From the bottom.
    left_out : tuple of LeftOut
    shelves : tuple of Shelf
        A thickness each, thickest first.
    """

    room: Room
    stickers: Stickers
    layers: tuple[Layer, ...]
    left_out: tuple[LeftOut, ...]
    shelves: tuple[Shelf, ...]

    @property
    def height(self) -> float:
        """[m]"""
        return sum(layer.height for layer in self.layers)

    @property
    def filled(self) -> float:
        """Slab area over the floor area of the layers in use. [fraction]"""
        return float(np.mean([layer.filled for layer in self.layers])) if self.layers else 0.0

    @property
    def wood_share(self) -> float:
        """Wood in the kiln's room for the stack. [fraction]"""
        wood = sum(laid.slab.area * laid.slab.thickness for layer in self.layers for laid in layer.slabs)
        return wood / self.room.volume


def thickness_classes(slabs: Sequence[Footprint], tolerance: float) -> list[list[int]]:
    """Slabs that may share a layer, because the sticks above then touch them all.

    Parameters
    ----------
    slabs : sequence of Footprint
    tolerance : float
        Between thickest and thinnest of a class. [m]

    Returns
    -------
    classes : list of list of int
        The fewest there can be; thickest first.
    """
    order = sorted(range(len(slabs)), key=lambda i: (-slabs[i].thickness, i))
    classes: list[list[int]] = []
    for i in order:
        if classes and slabs[classes[-1][0]].thickness - slabs[i].thickness <= tolerance + 1e-9:
            classes[-1].append(i)
        else:
            classes.append([i])
    return classes


def plan_charge(
    slabs: Sequence[Footprint],
    room: Room,
    stickers: Stickers,
    *,
    tolerance: float = 0.003,
    wanted: Mapping[str, float] | None = None,
    must: Sequence[str] = (),
    effort: Effort | None = None,
    progress: Progress | None = None,
) -> Charge:
    """Choose slabs for a load and lay them in as few layers as can be found.

    Parameters
    ----------
    slabs : sequence of Footprint
        Named once each.
    room : Room
    stickers : Stickers
        Its rows are moved to suit the slabs' ends, no further apart than they are.
    tolerance : float
        Of thickness within a layer. [m]
    wanted : mapping of str to float, optional
        How much each slab is wanted in this load where not all go in; its volume where left out.
    must : sequence of str
        Slabs that go in whatever else stays out.
    effort : Effort, optional
    progress : callable (text, share), optional

    Raises
    ------
    BadValue
        Two slabs of one name, none that fits, or more that must go in than there is room for.

    Notes
    -----
    Each layer is laid within one thickness class (`thickness_classes`). Where all layers
    together are too high, HiGHS chooses among the groups found those that hold most of what
    is wanted: exactly among these groups, not among all that there might be.
    """
    names = [slab.name for slab in slabs]
    for name in names:
        if names.count(name) > 1:
            raise BadValue("slab.name", name, "on one slab only", "Give each slab its own number.")
    unknown = [name for name in must if name not in names]
    if unknown:
        raise BadValue("must", unknown[0], "the name of a slab that is listed")
    inside, left_out = _that_fit(slabs, room, stickers)
    if not inside:
        raise BadValue(
            "slab", left_out[0].name if left_out else "missing", "within the kiln", "No slab fits the kiln."
        )
    blocked = [out for out in left_out if out.name in must]
    if blocked:
        raise BadValue("must", blocked[0].name, "a slab that fits", f"It is {blocked[0].why}.")
    classes = thickness_classes(inside, tolerance)
    nested: list[Nested] = []
    shelves: list[Shelf] = []
    for n, members in enumerate(classes):
        own = [inside[i] for i in members]
        told = _told(progress, n, len(classes), own[0].thickness)
        start = [(k,) for k in range(len(own))]
        least = layers_at_least(own, room.floor, start)
        got = nest(own, room.floor, effort, told, least)
        nested.append(got)
        shelves.append(
            Shelf(
                own[0].thickness, len(own), len(got.layers), len(got.rectangles.layers),
                got.rectangles.proved, least, got.groups, got.settled,
            )
        )  # fmt: skip
    heights = [inside[members[0]].thickness + stickers.thickness for members in classes]
    layers = [
        laid_out([inside[i] for i in members], spots, height, room.floor)
        for members, got, height in zip(classes, nested, heights, strict=True)
        for spots in got.layers
    ]
    if sum(layer.height for layer in layers) > room.height + 1e-9:
        chosen = most_worth(
            [
                [_of(spots, members) for spots in got.pool]
                for members, got in zip(classes, nested, strict=True)
            ],
            heights,
            room.height,
            _worths(inside, wanted),
            [i for i, slab in enumerate(inside) if slab.name in must],
        )
        layers, used = [], set[int]()
        for k, g in chosen:
            members, spots = classes[k], nested[k].pool[g]
            kept = tuple(spot for spot in spots if members[spot.slab] not in used)
            used.update(members[spot.slab] for spot in kept)
            if kept:
                layers.append(laid_out([inside[i] for i in members], kept, heights[k], room.floor))
        left_out += [
            LeftOut(slab.name, "left for the next load: the height is full")
            for i, slab in enumerate(inside)
            if i not in used
        ]
    reaches = [(laid.along, float(laid.ring[:, 0].max())) for layer in layers for laid in layer.slabs]
    stickers = suited(stickers, reaches)
    layers = [stuck(layer, stickers) for layer in layers]
    return Charge(room, stickers, tuple(heaviest_first(layers)), tuple(left_out), tuple(shelves))


def _that_fit(
    slabs: Sequence[Footprint], room: Room, stickers: Stickers
) -> tuple[list[Footprint], list[LeftOut]]:
    fits = set(profiles(slabs, room.floor).own.tolist())
    inside, out = [], []
    for i, slab in enumerate(slabs):
        if slab.length > room.floor.length + 1e-9:
            out.append(LeftOut(slab.name, "longer than the kiln's room"))
        elif i not in fits:
            out.append(LeftOut(slab.name, "too wide for the kiln's room, or too bent for its corners"))
        elif slab.thickness + stickers.thickness > room.height:
            out.append(LeftOut(slab.name, "thicker than the kiln's room is high"))
        else:
            inside.append(slab)
    return inside, out


def _worths(slabs: Sequence[Footprint], wanted: Mapping[str, float] | None) -> Floats:
    worth = [
        wanted.get(slab.name, 0.0) if wanted is not None else slab.area * slab.thickness for slab in slabs
    ]
    for slab, value in zip(slabs, worth, strict=True):
        if not 0 <= value < math.inf:
            raise BadValue(f"wanted.{slab.name}", value, "0 or more")
    return np.array(worth)


def _of(spots: Sequence[Spot], members: Sequence[int]) -> tuple[int, ...]:
    return tuple(members[spot.slab] for spot in spots)


def _told(progress: Progress | None, n: int, of: int, thickness: float) -> Progress | None:
    if progress is None:
        return None

    def say(text: str, share: float) -> None:
        progress(f"{thickness * 1000:.0f} mm: {text}", (n + share) / of)

    return say

"""A kiln charge: which slabs go in, in which layer, and how each lies."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pithline.dry.laying.admitted import LeftOut, admitted
from pithline.dry.laying.bound import layers_at_least
from pithline.dry.laying.footprint import Footprint
from pithline.dry.laying.layers import Layer, Room, heaviest_first, laid_out, stuck
from pithline.dry.laying.loading import within_height
from pithline.dry.laying.nesting import Effort, Nested, Progress, nest
from pithline.dry.laying.stickers import Stickers, suited

__all__ = ["Charge", "Shelf", "plan_charge", "thickness_classes"]


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
    short : float or None
        Where the height does not take all: at most so much more of what is wanted another choice among the
        groups found holds, 0 where it is proved that none does. [fraction]
    """

    room: Room
    stickers: Stickers
    layers: tuple[Layer, ...]
    left_out: tuple[LeftOut, ...]
    shelves: tuple[Shelf, ...]
    short: float | None = None

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
    is wanted: among these groups, not among all that there might be.
    """
    inside, left_out = admitted(slabs, room, stickers, must)
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
    layers = [
        laid_out([inside[i] for i in members], spots, stickers.thickness, room.floor)
        for members, got in zip(classes, nested, strict=True)
        for spots in got.layers
    ]
    short = None
    if sum(layer.height for layer in layers) > room.height + 1e-9:
        layers, used, pools = [], set[int](), [got.pool for got in nested]
        stick = stickers.thickness
        if progress is not None:
            progress("choosing what goes in, for the height does not take all", 1.0)
        chosen, short = within_height(inside, classes, pools, room.height, stick, wanted, must)
        for alike, spots in chosen:
            kept = tuple(spot for spot in spots if alike[spot.slab] not in used)
            used.update(alike[spot.slab] for spot in kept)
            if kept:
                layers.append(laid_out([inside[i] for i in alike], kept, stick, room.floor))
        left_out += [
            LeftOut(slab.name, "left for the next load: the height is full")
            for i, slab in enumerate(inside)
            if i not in used
        ]
    reaches = [(laid.along, float(laid.ring[:, 0].max())) for layer in layers for laid in layer.slabs]
    stickers = suited(stickers, reaches)
    layers = [stuck(layer, stickers) for layer in layers]
    return Charge(room, stickers, tuple(heaviest_first(layers)), tuple(left_out), tuple(shelves), short)


def _told(progress: Progress | None, n: int, of: int, thickness: float) -> Progress | None:
    if progress is None:
        return None

    def say(text: str, share: float) -> None:
        progress(f"{thickness * 1000:.0f} mm: {text}", (n + share) / of)

    return say

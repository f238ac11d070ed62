"""The plan that people make by eye: every slab its bounding rectangle, the fewest layers exactly."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pithline.dry.laying.contact import GRAIN, Floor
from pithline.dry.laying.footprint import Footprint, Turn
from pithline.dry.laying.partition import fewest, greedy

__all__ = ["RectanglePlan", "Spot", "rectangle_plan"]

_ROOM = 400_000  # groups kept; more than this are too many to choose from
_TRIES = 200_000  # placements for one group before it is left out
_MOST = 12  # slabs of a layer, as the kernel has it


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a slab lies in its layer.

    Attributes
    ----------
    slab : int
    turn : Turn
    along, across : float
        Its nearer end from the near end of the floor, its least reach from the left side. [m]
    """

    slab: int
    turn: Turn
    along: float
    across: float


@dataclass(frozen=True, slots=True)
class RectanglePlan:
    """Layers of bounding rectangles.

    Attributes
    ----------
    layers : tuple of tuple of Spot
    least : int
        No layers of rectangles are fewer, where `whole`.
    whole : bool
        Every group that fits was looked at.
    """

    layers: tuple[tuple[Spot, ...], ...]
    least: int
    whole: bool

    @property
    def proved(self) -> bool:
        """Whether no plan of rectangles takes fewer layers."""
        return self.whole and len(self.layers) <= self.least


def rectangle_plan(slabs: Sequence[Footprint], floor: Floor, nodes: int = 2000) -> RectanglePlan:
    """Fewest layers of bounding rectangles, each slab in the narrowest that its skews allow.

    Parameters
    ----------
    slabs : sequence of Footprint
        Each fits on the floor.
    floor : Floor
    nodes : int
        Branches of the solver.

    Notes
    -----
    Groups grow slab by slab out of groups that fit; whether one fits is settled exactly, to a
    tenth of a millimetre outward; the fewest groups that hold every slab are HiGHS's.
    """
    from pithline.dry.laying.rectangle_kernel import every_group, pack

    boxes = [_box(slab, floor) for slab in slabs]
    turns = [turn for turn, _, _ in boxes]
    # Large ones first: sets that cannot grow are found early.
    order = sorted(range(len(slabs)), key=lambda i: (-boxes[i][1] * boxes[i][2], i))
    lengths = np.array([_grains(boxes[i][1] + floor.gap) for i in order], dtype=np.int64)
    widths = np.array([_grains(boxes[i][2] + floor.gap) for i in order], dtype=np.int64)
    long = math.floor((floor.length + floor.gap) / GRAIN + 1e-6)
    wide = math.floor((floor.width + floor.gap) / GRAIN + 1e-6)
    count = len(slabs)
    groups, counts = np.zeros((_ROOM, _MOST), np.int64), np.zeros(_ROOM, np.int64)
    pairs = np.zeros((count, count), np.bool_)
    triples = np.zeros((count, count, count), np.bool_)
    found, whole = every_group(lengths, widths, long, wide, _TRIES, groups, counts, pairs, triples)
    pool = [tuple(int(i) for i in groups[g, : counts[g]]) for g in range(found)]
    pool += [(i,) for i in range(count)]  # where room gave out, every slab is still in a group
    start = greedy(pool, (lengths * widths).astype(np.float64))
    plan = fewest(pool, count, start, nodes)
    layers, seen = [], set[int]()
    for g in sorted(plan.chosen, key=lambda g: -len(pool[g])):
        group = [i for i in pool[g] if i not in seen]
        seen.update(group)
        if not group:
            continue
        along, across = np.zeros(len(group), np.int64), np.zeros(len(group), np.int64)
        fits = pack(lengths[group], widths[group], len(group), long, wide, along, across, 100 * _TRIES)
        if fits != 1:
            raise RuntimeError(f"slabs {group} fit one layer a moment ago, and now do not")
        layers.append(
            tuple(
                Spot(order[i], turns[order[i]], float(a) * GRAIN, float(c) * GRAIN)
                for i, a, c in zip(group, along, across, strict=True)
            )
        )
    return RectanglePlan(tuple(layers), plan.least, bool(whole))


def _box(slab: Footprint, floor: Floor) -> tuple[Turn, float, float]:
    """The narrowest bounding rectangle that the floor has room for: how turned, length, width. [m]"""
    best: tuple[Turn, float, float] | None = None
    for lean in slab.leans(floor.skew):
        long, wide = (float(x) for x in slab.ring(Turn(skew=lean)).max(axis=0))
        if long <= floor.length + 1e-9 and (best is None or wide < best[2] - 1e-9):
            best = Turn(skew=lean), long, wide
    assert best is not None
    return best


def _grains(size: float) -> int:
    return math.ceil(size / GRAIN - 1e-6)

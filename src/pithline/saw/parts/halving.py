"""A log too wide for the bar, halved or quartered first, and every part planned by itself."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue, NoPlan
from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims, PithRule
from pithline.saw.mill import Mill
from pithline.saw.model import grounds, prepare, stations
from pithline.saw.parts.parted import beyond, chords_at, passes_needed
from pithline.saw.plan import Plan
from pithline.saw.planning import plan
from pithline.saw.rates import Rates
from pithline.saw.search import best_setting
from pithline.saw.timber import Timber

__all__ = ["Halved", "Lay", "Part", "Parting", "halve"]

Floats = NDArray[np.float64]
Lay = Literal["best", "flat down", "flat up", "on edge"]

_TURN = 0.5 * math.pi
# Quarter turns of a part from the roll of the first cut, for the part above the cut.
_LAYS: dict[str, tuple[int, ...]] = {
    "best": (0, 1, 2, 3),
    "flat down": (0,),
    "flat up": (2,),
    "on edge": (1, 3),
}
_STEP = math.radians(10)


@dataclass(frozen=True, slots=True)
class Parting:
    """One cut that parts the log.

    Attributes
    ----------
    roll : float
        Normal of its plane: 0 is a level cut, pi / 2 an upright one. [rad]
    width : float
        Widest chord, bark as the aims say. [m]
    passes : int
        1, or 2 from opposite sides.
    area : float
        Under bark. [m2]
    minutes, cost : float
    """

    roll: float
    width: float
    passes: int
    area: float
    minutes: float
    cost: float


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One half or quarter; `plan` is None where no slab comes of it."""

    name: str
    lay: str
    shape: LogShape
    plan: Plan | None


@dataclass(frozen=True, slots=True, eq=False)
class Halved:
    """The parted log beside the whole one as the bar can reach it."""

    partings: tuple[Parting, ...]
    parts: tuple[Part, ...]
    whole: Plan | None

    @property
    def plans(self) -> tuple[Plan, ...]:
        """Of the parts that give a slab."""
        return tuple(p.plan for p in self.parts if p.plan is not None)

    @property
    def net(self) -> float:
        """Of all parts, less what the parting cuts cost."""
        return sum(p.net for p in self.plans) - sum(c.cost for c in self.partings)

    @property
    def tally(self) -> float:
        """Of all parts, in the unit of the aims."""
        return sum(p.tally for p in self.plans)

    @property
    def cuts(self) -> int:
        """Parting cuts too."""
        return len(self.partings) + sum(len(p.cuts) for p in self.plans)

    @property
    def area(self) -> float:
        """Parting cuts too. [m2]"""
        return sum(c.area for c in self.partings) + sum(p.area for p in self.plans)

    @property
    def minutes(self) -> float:
        """Parting cuts too; turning and laying the parts not. [min]"""
        return sum(c.minutes for c in self.partings) + sum(p.minutes for p in self.plans)


def halve(
    shape: LogShape,
    lie: Lie,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    *,
    quarters: bool = False,
    lay: Lay = "best",
    rolls: Floats | None = None,
) -> Halved:
    """Part a log through its pith, plan every part, and set it beside the whole log.

    Parameters
    ----------
    shape, lie, mill, aims, rates, timber
        As for `saw.planning.plan`.
    quarters : bool
        Whether each half is parted once more, square to the first cut.
    lay : {"best", "flat down", "flat up", "on edge"}
        How a part lies when it is sawn, seen from the face of the first cut.
    rolls : ndarray, shape (rolls,), optional
        First cuts to try; else every 10 degrees through half a turn. [rad]

    Returns
    -------
    Halved
        Best of the rolls tried, each part exactly planned at pitch 0 in the search.

    Raises
    ------
    BadValue
        Where no first cut can be made, or the aims count or place things across the whole log.
    NoPlan
        Where no part gives a slab.

    Notes
    -----
    The kerf lies half on each side of the pith; no slab of a part may hold the pith's plane
    ("through"). A sawn face is reckoned as if it had bark too, which errs on the safe side.
    A part rests on the same bearers.
    """
    if aims.orders or aims.skips or any(u.at_most is not None for u in rates.uses):
        raise BadValue(
            "halving",
            "orders, capped uses or planes to avoid",
            "wishes that each half can be planned for by itself",
            "Take them out for this comparison.",
        )
    at = shape.at(stations(shape, aims.trim_butt, aims.trim_top))
    own = replace(aims, pith=PithRule.THROUGH, roll_free=False, crotch_plane=False)
    tried = np.arange(0.0, math.pi - 1e-9, _STEP) if rolls is None else rolls
    best, best_net = None, -math.inf
    for roll in tried:
        made = _parted(at, float(roll), mill, own, rates, quarters)
        if made is None:
            continue
        partings, shapes = made
        laid = [_lay_of(s, n, float(roll), lie, mill, own, rates, timber, lay) for n, s in shapes]
        net = sum(n for _, n in laid) - sum(p.cost for p in partings)
        if net > best_net + 1e-9:
            best, best_net = (partings, shapes, [k for k, _ in laid]), net
    if best is None:
        raise BadValue(
            "mill.bar",
            f"{1000 * mill.usable:.0f} mm usable",
            "two passes from opposite sides that meet in the log, and wood on both sides of the cut",
            "Give a longer bar, or trim the sides first.",
        )
    partings, shapes, turns = best
    parts = tuple(
        Part(name, _lay_name(name, k), s, _planned(s, partings[0].roll, k, lie, mill, own, rates, timber))
        for (name, s), k in zip(shapes, turns, strict=True)
    )
    if not any(p.plan for p in parts):
        raise NoPlan("No slab fits into any part of the log: allow narrower or thinner slabs.")
    try:
        whole = plan(shape, lie, mill, aims, rates, timber, compare=False)
    except NoPlan:
        whole = None
    return Halved(partings, parts, whole)


def _parted(
    at: LogShape, roll: float, mill: Mill, aims: Aims, rates: Rates, quarters: bool
) -> tuple[tuple[Parting, ...], list[tuple[str, LogShape]]] | None:
    """Cuts and parts for a first cut at `roll`; None where it cannot be made."""
    half = 0.5 * mill.kerf
    first = _parting(at, roll, 0.0, mill, aims, rates)
    try:
        pieces = [("above", beyond(at, roll, half)), ("below", beyond(at, roll + math.pi, half))]
        if first is None or not quarters:
            return None if first is None else ((first,), pieces)
        cuts, quartered = [first], []
        for name, piece in pieces:
            cut = _parting(piece, roll + _TURN, 0.0, mill, aims, rates)
            if cut is None:
                return None
            cuts.append(cut)
            quartered.append((f"{name} right", beyond(piece, roll + _TURN, half)))
            quartered.append((f"{name} left", beyond(piece, roll - _TURN, half)))
    except BadValue:
        return None
    return tuple(cuts), quartered


def _parting(
    at: LogShape, roll: float, height: float, mill: Mill, aims: Aims, rates: Rates
) -> Parting | None:
    passed = at.over_bark() if aims.bark.name == "ON" else at.outlines
    width = float(chords_at(passed, roll, height).max())
    passes = passes_needed(width, mill)
    if not passes:
        return None
    area = float(np.trapezoid(chords_at(at.outlines, roll, height), at.z))
    minutes = area * mill.minutes_per_area + passes * mill.minutes_per_cut
    return Parting(roll, width, passes, area, minutes, area * float(rates.per_cut_area))


def _resting(shape: LogShape, lie: Lie) -> Lie:
    """A part on the bearers, as it lies at roll 0; other rolls are found from the bearers anyway."""
    low = shape.over_bark()[[0, -1], :, 1].min(axis=1)
    return replace(lie, pith_butt=lie.bearer_butt - float(low[0]), pith_top=lie.bearer_top - float(low[1]))


def _lay_of(
    shape: LogShape,
    name: str,
    roll: float,
    lie: Lie,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    lay: Lay,
) -> tuple[int, float]:
    """Quarter turns and net of the lay that pays most."""
    ways = _LAYS[lay]
    ahead = 2 if name.startswith("below") else 0
    turns = [(k + ahead) % 4 for k in ways]
    angles = np.array([(roll + k * _TURN) % (2 * math.pi) for k in turns])
    model = prepare(shape, mill, aims, rates, timber)
    ground = grounds(shape, _resting(shape, lie), mill, aims, angles)
    found = best_setting(model, angles, np.zeros(1), ground)
    k = found.best[0]
    return turns[k], max(0.0, float(found.net[k, 0]))


def _lay_name(name: str, turns: int) -> str:
    ahead = 2 if name.startswith("below") else 0
    return ("flat down", "on edge", "flat up", "on edge")[(turns - ahead) % 4]


def _planned(
    shape: LogShape, roll: float, turns: int, lie: Lie, mill: Mill, aims: Aims, rates: Rates, timber: Timber
) -> Plan | None:
    here = replace(aims, roll=(roll + turns * _TURN) % (2 * math.pi))
    try:
        return plan(shape, _resting(shape, lie), mill, here, rates, timber, compare=False)
    except NoPlan:
        return None

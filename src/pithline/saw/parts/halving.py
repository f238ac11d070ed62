"""A log too wide for the bar, halved or quartered first, and every part planned by itself."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue, NoPlan
from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims, PithRule
from pithline.saw.mill import Mill
from pithline.saw.model import stations
from pithline.saw.parts.counted import counts_of, share_out
from pithline.saw.parts.laid import Job, Lay, laid, lay_name, most_slabs, planned, turns_of
from pithline.saw.parts.parted import beyond, chords_at, passes_needed
from pithline.saw.plan import Plan
from pithline.saw.planning import plan
from pithline.saw.rates import Rates
from pithline.saw.timber import Timber
from pithline.saw.uses.use import Use

__all__ = ["Halved", "Lay", "Part", "Parting", "Shared", "halve"]

Floats = NDArray[np.float64]

_TURN = 0.5 * math.pi
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


@dataclass(frozen=True, slots=True)
class Shared:
    """An order over all parts: pieces (or pairs) wanted and cut."""

    name: str
    wanted: int
    cut: int


@dataclass(frozen=True, slots=True, eq=False)
class Halved:
    """The parted log beside the whole one as the bar can reach it."""

    partings: tuple[Parting, ...]
    parts: tuple[Part, ...]
    whole: Plan | None
    orders: tuple[Shared, ...] = ()

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
        Best of the rolls tried, each part exactly planned; orders filled over all parts first.

    Raises
    ------
    BadValue
        Where no first cut can be made, where planes are to be skipped and the parts are to lie on
        edge, or where the counted pieces have too many combinations.
    NoPlan
        Where no part gives a slab.

    Notes
    -----
    The kerf lies half on each side of the pith; no slab of a part may hold the pith's plane
    ("through"). A sawn face is reckoned as if it had bark too, which errs on the safe side.
    A part rests on the same bearers. Planes to skip lie along the log's own roll, so the first
    cut is then made along them, and the parts are sawn along it.
    """
    at = shape.at(stations(shape, aims.trim_butt, aims.trim_top))
    own = replace(aims, pith=PithRule.THROUGH, roll_free=False, crotch_plane=False)
    job = Job(lie, mill, own, rates, timber)
    if aims.skips and lay == "on edge":
        raise BadValue(
            "lay", "on edge", "flat where planes are to be skipped", "They would run through every slab."
        )
    tried = np.arange(0.0, math.pi - 1e-9, _STEP) if rolls is None else rolls
    if aims.skips:
        tried = np.array([aims.roll])
    counted = counts_of(own, rates, (4 if quarters else 2) * most_slabs(at, job))
    best, best_key = None, (-1.0, -math.inf)
    for roll in tried:
        made = _parted(at, float(roll), mill, own, rates, quarters)
        if made is None:
            continue
        partings, shapes = made
        tries = [
            laid(s, turns_of(name, lay, bool(aims.skips)), float(roll), job, counted) for name, s in shapes
        ]
        filled, net, counts = share_out([t.best for t in tries])
        net -= sum(p.cost for p in partings)
        if (filled, net) > (best_key[0], best_key[1] + 1e-9 * (filled == best_key[0])):
            turns = [t.turn(n) for t, n in zip(tries, counts, strict=True)]
            best, best_key = (partings, shapes, turns, counts), (filled, net)
    if best is None:
        raise BadValue(
            "mill.bar",
            f"{1000 * mill.usable:.0f} mm usable",
            "two passes from opposite sides that meet in the log, and wood on both sides of the cut",
            "Give a longer bar, or trim the sides first.",
        )
    partings, shapes, turns, counts = best
    first = partings[0].roll
    parts = tuple(
        Part(name, lay_name(name, k), s, planned(s, k, first, job, counted, n))
        for (name, s), k, n in zip(shapes, turns, counts, strict=True)
    )
    if not any(p.plan for p in parts):
        raise NoPlan("No slab fits into any part of the log: allow narrower or thinner slabs.")
    try:
        whole = plan(shape, lie, mill, aims, rates, timber, compare=False)
    except NoPlan:
        whole = None
    return Halved(partings, parts, whole, _filled(aims.orders, parts))


def _filled(orders: tuple[Use, ...], parts: tuple[Part, ...]) -> tuple[Shared, ...]:
    plans = [p.plan for p in parts if p.plan is not None]
    return tuple(
        Shared(
            order.name,
            order.at_most or 0,
            sum(o.cut for made in plans for o in made.orders if o.name == order.name),
        )
        for order in orders
    )


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

"""Upright cuts that take the bulge off the sides, so that the bar spans what is left."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from pithline.errors import BadValue
from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.model import grounds, prepare, stations
from pithline.saw.parts.parted import beyond, chords_at, passes_needed
from pithline.saw.rates import Rates
from pithline.saw.search import best_setting
from pithline.saw.solution import solve
from pithline.saw.timber import Timber

__all__ = ["Trim", "Trims", "trimmed", "trims_needed"]

_GRID = 0.01  # [m]


@dataclass(frozen=True, slots=True)
class Trim:
    """One upright cut along a side.

    Attributes
    ----------
    side : {"left", "right"}
        Seen from the butt, the log rolled as its plan is.
    face : float
        The face it leaves, from the pith; to the right is positive. [m]
    width : float
        Widest chord, bark as the aims say. [m]
    passes : int
        1, or 2 from opposite sides.
    area : float
        Under bark. [m2]
    minutes, cost : float
    """

    side: str
    face: float
    width: float
    passes: int
    area: float
    minutes: float
    cost: float


@dataclass(frozen=True, slots=True)
class Trims:
    """The side trims that pay most, beside doing without and beside a bar without limit.

    Attributes
    ----------
    cuts : tuple of Trim
        Empty where none pays.
    roll : float
        [rad]
    net : float
        With the trims, their cost taken off.
    net_without, net_unlimited : float
    """

    cuts: tuple[Trim, ...]
    roll: float
    net: float
    net_without: float
    net_unlimited: float

    @property
    def area(self) -> float:
        """Of the trim cuts. [m2]"""
        return sum(c.area for c in self.cuts)

    @property
    def minutes(self) -> float:
        """Of the trim cuts; rolling the log onto its side for them not. [min]"""
        return sum(c.minutes for c in self.cuts)

    @property
    def cost(self) -> float:
        """Of the trim cuts."""
        return sum(c.cost for c in self.cuts)


def trims_needed(
    shape: LogShape, lie: Lie, mill: Mill, aims: Aims, rates: Rates, timber: Timber, roll: float = 0.0
) -> Trims:
    """Where to trim the sides so that every level cut can be made, by trying every place on 10 mm.

    The wood kept is as wide as the bar spans, less the bark that a trimmed face is reckoned to
    carry; each trim takes one pass or two that meet. Pitch 0, at the given roll. [rad]

    Raises
    ------
    BadValue
        Where the bar is too short for any trim.
    """
    at = shape.at(stations(shape, aims.trim_butt, aims.trim_top))
    outer = at.over_bark()
    v = outer[..., 0] * math.cos(roll) - outer[..., 1] * math.sin(roll)
    left, right = float(v.min()), float(v.max())
    bark = float(at.bark.max()) if aims.bark.name == "ON" else 0.0
    span = mill.usable - mill.clearance - 2 * bark
    if span <= 0:
        raise BadValue("mill.bar", f"{1000 * mill.usable:.0f} mm usable", "more than clearance and bark")

    here = np.array([roll])
    ground = grounds(shape, lie, mill, aims, here)

    def score(s: LogShape) -> float:
        """Net value, and what orders count above it: they come first here too."""
        model = prepare(s, mill, aims, rates, timber)
        return float(best_setting(model, here, np.zeros(1), ground).net[0, 0])

    def net(s: LogShape, m: Mill) -> float:
        return solve(prepare(s, m, aims, rates, timber), roll, 0.0, ground[0]).net

    cuts: tuple[Trim, ...] = ()
    best, kept = score(at), at
    for low in np.arange(math.floor(left / _GRID) * _GRID, max(right - span, left) + _GRID, _GRID):
        made = _cut_sides(at, float(low), float(low + span), roll, mill, aims, rates)
        if made is None:
            continue
        part, tried = made
        gained = score(part) - sum(c.cost for c in tried)
        if gained > best + 1e-9:
            best, cuts, kept = gained, tried, part
    without, unlimited = net(at, mill), net(at, replace(mill, bar=mill.bar + 100.0))
    return Trims(cuts, roll, net(kept, mill) - sum(c.cost for c in cuts), without, unlimited)


def trimmed(shape: LogShape, trims: Trims, aims: Aims) -> LogShape:
    """The log without what the trims take off its sides, at the plan's stations."""
    part = shape.at(stations(shape, aims.trim_butt, aims.trim_top))
    for cut in trims.cuts:
        part = beyond(part, *_plane(cut.side, cut.face, trims.roll))
    return part


def _plane(side: str, face: float, roll: float) -> tuple[float, float]:
    """The trim as `beyond` reads it: seen along a normal towards the wood that is kept."""
    return (roll - 0.5 * math.pi, -face) if side == "right" else (roll + 0.5 * math.pi, face)


def _cut_sides(
    at: LogShape, low: float, high: float, roll: float, mill: Mill, aims: Aims, rates: Rates
) -> tuple[LogShape, tuple[Trim, ...]] | None:
    """The strip kept between two faces, and the cuts that leave it; None where two passes do not meet."""
    part, cuts = at, []
    passed = at.over_bark() if aims.bark.name == "ON" else at.outlines
    for side, face in (("right", high), ("left", low)):
        plane = _plane(side, face, roll)
        width = float(chords_at(passed, *plane).max())
        if width <= 0:
            continue
        passes = passes_needed(width, mill)
        if not passes:
            return None
        area = float(np.trapezoid(chords_at(part.outlines, *plane), part.z))
        minutes = area * mill.minutes_per_area + passes * mill.minutes_per_cut
        cuts.append(Trim(side, face, width, passes, area, minutes, area * float(rates.per_cut_area)))
        part = beyond(part, *plane)
    return part, tuple(cuts[::-1])

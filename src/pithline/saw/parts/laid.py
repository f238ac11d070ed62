"""How a part of a log lies when it is sawn, and what it is worth so for every number of counted pieces."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pithline.errors import NoPlan
from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims, Following
from pithline.saw.mill import Mill
from pithline.saw.model import Model, grounds, prepare
from pithline.saw.parts.counted import Counted, Counts, Worth, allowed, better, worth_by_counts
from pithline.saw.plan import Plan
from pithline.saw.planning import PITCHES, plan
from pithline.saw.rates import Rates
from pithline.saw.search import bark_pitch
from pithline.saw.solution import solve
from pithline.saw.timber import Timber
from pithline.saw.uses.wants import most_pieces

__all__ = ["Job", "Laid", "Lay", "laid", "lay_name", "most_slabs", "planned", "turns_of"]

Floats = NDArray[np.float64]
Lay = Literal["best", "flat down", "flat up", "on edge"]

_TURN = 0.5 * math.pi
# Quarter turns of a part from the roll of the first cut, for the part above the cut.
_LAYS: dict[str, tuple[int, ...]] = {
    "best": (0, 1, 2, 3),
    "flat": (0, 2),
    "flat down": (0,),
    "flat up": (2,),
    "on edge": (1, 3),
}


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """What every part is planned with."""

    lie: Lie
    mill: Mill
    aims: Aims
    rates: Rates
    timber: Timber


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A part with every lay tried: quarter turns from the first cut's roll, and what it is worth so."""

    turns: tuple[int, ...]
    worths: tuple[Worth, ...]

    @property
    def best(self) -> Worth:
        """For every number of pieces in its best lay."""
        best = self.worths[0]
        for other in self.worths[1:]:
            best = better(best, other)
        return best

    def turn(self, counts: Counts) -> int:
        """Quarter turns of the lay that is best for so many pieces; the first of equals."""
        ranked = [(float(w.filled[counts]), float(w.net[counts])) for w in self.worths]
        return self.turns[ranked.index(max(ranked))]


def turns_of(name: str, lay: Lay, skips: bool) -> tuple[int, ...]:
    """Quarter turns to be tried for a part; where planes are to be skipped, only along the first cut."""
    ahead = 2 if name.startswith("below") else 0
    return tuple((k + ahead) % 4 for k in _LAYS["flat" if skips and lay == "best" else lay])


def lay_name(name: str, turns: int) -> str:
    """The word for a lay."""
    ahead = 2 if name.startswith("below") else 0
    return ("flat down", "on edge", "flat up", "on edge")[(turns - ahead) % 4]


def most_slabs(shape: LogShape, job: Job) -> int:
    """More slabs than a log, or a part of it, can hold."""
    plain = replace(job.aims, orders=())
    return prepare(shape, job.mill, plain, replace(job.rates, uses=()), job.timber).most_slabs


def laid(shape: LogShape, turns: Sequence[int], roll: float, job: Job, counted: Sequence[Counted]) -> Laid:
    """Value a part in several lays, for every number of counted pieces.

    Parameters
    ----------
    shape : LogShape
    turns : sequence of int
        Quarter turns from `roll`.
    roll : float
        Of the first cut. [rad]
    """
    worths = []
    # As many of each as this part could cut: its tables then hold every smaller number too.
    most = most_slabs(shape, job) if counted else 0
    uses = (*job.aims.orders, *job.rates.uses)
    may = tuple(max(1, min(c.most, most_pieces(uses[c.place], most))) for c in counted)
    aims, rates = allowed(job.aims, job.rates, counted, may)
    part = prepare(shape, job.mill, aims, rates, job.timber)
    for k in turns:
        here = _turned(job, roll, k)
        angle = here.aims.roll
        skips = np.array(here.aims.skips, dtype=np.float64).reshape(-1, 2)
        model = replace(part, pay=part.pay._replace(skips=skips))
        ground = grounds(shape, resting(shape, job.lie), job.mill, aims, np.array([angle]))[0]
        found = [
            worth_by_counts(solve(model, angle, float(p), ground), model, counted)
            for p in _pitches(aims, model, angle)
        ]
        best = found[0]
        for other in found[1:]:
            best = better(best, other)
        worths.append(best)
    return Laid(tuple(turns), tuple(worths))


def planned(
    shape: LogShape, turns: int, roll: float, job: Job, counted: Sequence[Counted], counts: Counts
) -> Plan | None:
    """The whole plan of a part that may cut so many of each counted use; None where nothing pays."""
    here = _turned(job, roll, turns)
    aims, rates = allowed(here.aims, here.rates, counted, counts)
    try:
        return plan(shape, resting(shape, here.lie), here.mill, aims, rates, here.timber, compare=False)
    except NoPlan:
        return None


def resting(shape: LogShape, lie: Lie) -> Lie:
    """A part on the bearers, as it lies at roll 0; other rolls are found from the bearers anyway."""
    low = shape.over_bark()[[0, -1], :, 1].min(axis=1)
    return replace(lie, pith_butt=lie.bearer_butt - float(low[0]), pith_top=lie.bearer_top - float(low[1]))


def _turned(job: Job, roll: float, turns: int) -> Job:
    """The same with the part's own roll; heights to skip change their sign with which side is up."""
    angle = (roll + turns * _TURN) % (2 * math.pi)
    skips = job.aims.skips
    if skips and math.cos(angle - job.aims.roll) < 0:
        skips = tuple((-high, -low) for low, high in skips)
    return replace(job, aims=replace(job.aims, roll=angle, skips=skips))


def _pitches(aims: Aims, model: Model, roll: float) -> Floats:
    """What the cuts may follow, as `saw.planning.choose_setting` will try it."""
    if aims.follow is Following.GIVEN:
        return np.array([aims.pitch])
    if aims.follow is Following.BARK:
        return np.array([bark_pitch(model.wood, roll)])
    if aims.follow is Following.BEST:
        return PITCHES * max(abs(bark_pitch(model.wood, roll)), 0.002)
    return np.zeros(1)

"""Which measurement to take again: what not knowing it exactly costs, and how far it moves the value."""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from typing import Protocol

import numpy as np

from pithline.errors import NoPlan, Refused
from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.model import Model, grounds, prepare, wood_of
from pithline.saw.plan import Plan, Retake
from pithline.saw.solution import Solution, solve
from pithline.saw.spread import revalue
from pithline.saw.tables import Tables
from pithline.saw.timber import Timber
from pithline.saw.uses.through import best_through_uses

__all__ = ["NODES", "kept_cuts", "retaken"]

# Middles of six equal shares of the normal distribution, in standard deviations: the mean of
# a loss with a kink, such as |z|, comes out 5 % short (0.756 of 0.798).
NODES = (-1.3830, -0.6745, -0.2104, 0.2104, 0.6745, 1.3830)
_TENTH = 1.2816  # one in ten lies beyond, on each side
_THREADS = 2


class _Log(Protocol):
    def to_shape(self) -> LogShape: ...
    def lie(self) -> Lie: ...


class _Measurement(Protocol):
    @property
    def field(self) -> str: ...
    @property
    def value(self) -> str: ...
    @property
    def error(self) -> str: ...
    def by(self, z: float, /) -> _Log: ...


def retaken(plan: Plan, measured: Iterable[_Measurement], timber: Timber) -> tuple[Retake, ...]:
    """What each measurement's own error costs, if all the others are right.

    Parameters
    ----------
    plan : Plan
        The best plan of the log as measured.
    measured : iterable
        See `log.retakes.taped_fields`.
    timber : Timber

    Returns
    -------
    tuple of Retake
        The one with the largest expected regret first, then the one that moves the value most.

    Notes
    -----
    For each of `NODES` the log is taken to be otherwise by so much. The plan's own cuts are valued
    in it, and the best plan is found for it, at the same roll and pitch: the difference is the
    regret, what would have been gained by knowing. Its mean over the error is the most that
    measuring this one perfectly is worth [1]_; it counts the cuts as planned and not those
    that would be best on average, which errs on the high side. A cut that bar, ground or
    metal stops in the other log ends the sawing there.

    References
    ----------
    .. [1] Expected value of perfect information: Raiffa and Schlaifer, *Applied Statistical
       Decision Theory*, 1961, chapter 4 [from memory].
    """
    model = prepare(plan.shape, plan.mill, plan.aims, plan.rates, timber)
    ground = grounds(plan.shape, plan.lie, plan.mill, plan.aims, np.array([plan.roll]))[0]
    own = solve(model, plan.roll, plan.pitch, ground)

    def one(each: _Measurement) -> Retake | None:
        tried = {z: _other(plan, own, model, each, z) for z in (*NODES, -_TENTH, _TENTH)}
        known = [tried[z] for z in NODES]
        told = [t for t in known if t is not None]
        low, high = tried[-_TENTH], tried[_TENTH]
        if not told or low is None or high is None:
            return None
        nets = (low[1], high[1])
        return Retake(
            field=each.field,
            value=each.value,
            error=each.error,
            net_low=nets[0],
            net_high=nets[1],
            kept_low=low[0],
            kept_high=high[0],
            swing=max(abs(net - own.net) for net in nets),
            regret=sum(best - kept for kept, best, _ in told) / len(told),
            moved=max(low[2], high[2]),
        )

    with ThreadPoolExecutor(_THREADS) as pool:
        found = [r for r in pool.map(one, measured) if r is not None]
    return tuple(sorted(found, key=lambda r: (-round(r.regret, 9), -r.swing)))


def _other(
    plan: Plan, own: Solution, model: Model, each: _Measurement, z: float
) -> tuple[float, float, float] | None:
    """Net of the plan's cuts and of the best ones in the other log, and how far a cut moves [m]."""
    try:
        record = each.by(z)
        shape, lie = record.to_shape(), record.lie()
        wood = wood_of(shape, plan.aims)
    except Refused:  # a mark below the ground, say: then it cannot be so
        return None
    other = replace(model, wood=wood)
    ground = grounds(shape, lie, plan.mill, plan.aims, np.array([plan.roll]))[0]
    best = solve(other, plan.roll, plan.pitch, ground)
    kept = kept_cuts(own, best, model)
    net = _worth(kept, best, other) if kept.cuts else 0.0
    step = model.reach.step
    moved = max((min(abs(a - b) for b in own.cuts) for a in best.cuts), default=0) * step if own.cuts else 0.0
    # Cuts planned for another log may be tallied a hair above the best by rounding alone.
    return net, max(best.net, net), float(moved)


def _worth(kept: Solution, best: Solution, other: Model) -> float:
    """What cuts bring in another log, whose tables `best` holds."""
    if other.wants is not None:
        # Pieces are given out anew, orders first, as a person would who sees the slabs.
        free = replace(best, tables=best.tables._replace(starts=best.tables.allowed))
        inside = tuple(c for c in kept.cuts if other.reach.kerf <= c - best.first < best.tables.costs.size)
        try:
            return best_through_uses(free, other, inside, only=True).net
        except NoPlan:  # what lies between two cuts is now neither a slab nor waste
            pass
    lines = max(kept.tables.costs.size, best.tables.costs.size)
    tables = Tables.of(other.wood.z.size, lines, len(other.choices), best.tables.pith_low.size)
    return revalue(other, other.wood, kept, tables)[0]


def kept_cuts(solution: Solution, other: Solution, model: Model) -> Solution:
    """The cuts of one solution as far as they can be made in the log of another, from the top down.

    Parameters
    ----------
    solution, other : Solution
        At the same roll and pitch.
    model : Model
    """
    tables, kerf = other.tables, model.reach.kerf
    made = []
    for line in solution.cuts:
        i = line - other.first
        # A cut wholly outside the wood of a thinner log is a pass through air: nothing stops it.
        if kerf <= i < tables.allowed.size and not tables.allowed[i]:
            break
        made.append(line)
    ends = set(made)
    whole = [
        k
        for k, (face, o) in enumerate(solution.slabs)
        if face + kerf in ends and face - int(model.pay.thick[o]) in ends
    ]
    takes = [solution.takes[k] for k in whole] if solution.takes else []
    if sum(pair >= 0 for _, pair in takes) % 2:
        # Its other half is not sawn: alone it is sold as any slab.
        last = max(k for k, (_, pair) in enumerate(takes) if pair >= 0)
        takes[last] = (0, -1)
    return replace(
        solution, cuts=tuple(made), slabs=tuple(solution.slabs[k] for k in whole), takes=tuple(takes)
    )

"""Slabs, boards and both mixed, planned for the same log."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.answer import answer
from pithline.saw.mill import Mill
from pithline.saw.model import Model, grounds, prepare
from pithline.saw.plan import Plan, PlannedSlab
from pithline.saw.planning import choose_setting
from pithline.saw.rates import Rates
from pithline.saw.rip.boards import Along, Boards, Rip
from pithline.saw.rip.cants import with_cants
from pithline.saw.rip.chain import with_rips
from pithline.saw.rip.mixed import Mixed, RippedSlab, Sawn
from pithline.saw.rip.ripping import rip_outline, rip_values
from pithline.saw.rip.stock import Stock, stock_of
from pithline.saw.solution import Solution, solve
from pithline.saw.timber import Timber
from pithline.units import System

__all__ = ["MIXED", "boards_of", "rip_log"]

Floats = NDArray[np.float64]

SLABS, BOARDS, MIXED = "slabs", "boards", "mixed"
_ROLLS = np.radians(np.arange(0.0, 360.0, 20.0))


@dataclass(frozen=True, slots=True, eq=False)
class _Job:
    shape: LogShape
    lie: Lie
    mill: Mill
    aims: Aims
    rates: Rates
    timber: Timber
    boards: Boards
    model: Model
    stock: Stock

    def solved(self, roll: float, pitch: float) -> Solution:
        """The best plan for slabs alone at a setting."""
        ground = grounds(self.shape, self.lie, self.mill, self.aims, np.array([roll]))[0]
        return solve(self.model, roll, pitch, ground)

    def rips(self, solution: Solution, along: Along | None = None) -> Floats:
        """Worth of boards under every face, less the slab's own cost; -inf where there are none."""
        model, tables = self.model, solution.tables
        boards = self.boards if along is None else replace(self.boards, along=along)
        worth = rip_values(model, boards, self.stock, tables, solution.first)
        cost = np.full(worth.shape, model.pay.slab_cost)
        for o, t in enumerate(int(n) for n in model.pay.thick):
            mean = 0.5 * (tables.face[t:] + tables.face[: tables.face.size - t])
            cost[o, t:] += float(model.pay.per_volume[o]) * mean * t * model.reach.step
        return np.where(worth > 0, worth - cost, -math.inf)


def rip_log(
    shape: LogShape,
    lie: Lie,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    boards: Boards,
    *,
    progress: Callable[[str], None] = lambda _: None,
    system: System = "metric",
) -> Mixed:
    """Plan a log for slabs, for boards, and for whichever pays more slab by slab.

    Parameters
    ----------
    shape, lie, mill, aims, rates, timber
        As for `saw.planning.plan`.
    boards : Boards
    progress : callable
        Told what is being worked on.
    system : {"metric", "inch"}
        For sizes in remarks.

    Returns
    -------
    Mixed

    Notes
    -----
    At one roll and pitch all three are exact: the worth of every slab that could be sawn is the
    larger of its live-edge value and its best rip (or the one of the two that is asked for), and the same
    chain of cuts is made the best of. Where the roll is free, boards and mixed are tried at every 20
    degrees and at the roll that is best for slabs, with rips parallel to the pith; the best roll
    is then solved with the rips that were asked for. The pitch is that of the slabs.
    """
    job = _job(shape, lie, mill, aims, rates, timber, boards)
    progress("planning for slabs")
    roll, pitch = choose_setting(job.model, shape, lie, mill, job.aims)
    plain = job.solved(roll, pitch)
    progress("planning for boards")
    rolls = [roll, *(_ROLLS if aims.roll_free else ())]
    best = {BOARDS: (roll, -math.inf), MIXED: (roll, -math.inf)}
    for at in rolls if len(rolls) > 1 else ():
        here = job.solved(float(at), pitch)
        worth = job.rips(here, Along.PITH)
        for name in best:
            net = with_rips(job.model, here, worth, live=name == MIXED).net
            if net > best[name][1]:
                best[name] = (float(at), net)
    found = {}
    for name, (at, _) in best.items():
        here = job.solved(at, pitch)
        found[name] = (at, here, with_rips(job.model, here, job.rips(here), live=name == MIXED))
    progress("describing slabs and boards")
    at, here, solution = found[MIXED]
    made, slabs = _described(job, solution, here, at, system)
    ways = [_slabs_alone(job, plain, roll), _same_slabs(job, plain, roll, system)]
    ways.append(_boards_alone(job, *found[BOARDS], system))
    ripped = [s for s in slabs if s.ripped]
    ways.append(
        Sawn(
            MIXED,
            made.net,
            made.value,
            len(slabs) - len(ripped),
            sum(len(s.rip.boards) for s in ripped),
            len(made.cuts),
            at,
            chosen=True,
        )
    )
    return Mixed(made, slabs, tuple(ways), job.boards)


def boards_of(plan: Plan, timber: Timber, boards: Boards) -> tuple[RippedSlab, ...]:
    """What each slab of a finished plan would be as boards; its cuts are left as they are."""
    aims, rates, boards = with_cants(plan.aims, plan.rates, boards)
    model = prepare(plan.shape, plan.mill, aims, rates, timber)
    stock = stock_of(boards, model.choices, aims, model, plan.shape.length)
    numbers = {(c.aim.label, c.lines): o for o, c in enumerate(model.choices)}
    found = []
    for slab in plan.slabs:
        lines = round(slab.outline.thickness / model.reach.step)
        rip = _rip(slab, numbers[slab.aim.label, lines], plan.pitch, model, stock, boards)
        ripped = rip.value > slab.value
        whole = replace(slab, value=max(rip.value, slab.value))
        found.append(RippedSlab(whole, rip, slab.value, ripped))
    return tuple(found)


def _job(
    shape: LogShape, lie: Lie, mill: Mill, aims: Aims, rates: Rates, timber: Timber, boards: Boards
) -> _Job:
    aims, rates, boards = with_cants(aims, rates, boards)
    model = prepare(shape, mill, aims, rates, timber)
    stock = stock_of(boards, model.choices, aims, model, shape.length)
    return _Job(shape, lie, mill, aims, rates, timber, boards, model, stock)


def _rip(slab: PlannedSlab, choice: int, pitch: float, model: Model, stock: Stock, boards: Boards) -> Rip:
    wood = model.wood
    usable = float(wood.z[wood.usable_from]), float(wood.z[wood.usable_to - 1])
    # Against slanting cuts the straight pith line has a range of heights, its ends'.
    reach = 0.5 * abs(pitch) * float(wood.z[-1])
    holds = slab.lower < reach - 1e-9 and slab.upper > -reach + 1e-9
    depth = min(-reach - slab.lower, slab.upper - reach)
    return rip_outline(slab.outline, usable, (holds, depth), boards, stock, choice)


def _described(
    job: _Job, solution: Solution, plain: Solution, roll: float, system: System
) -> tuple[Plan, tuple[RippedSlab, ...]]:
    """The plan of a mixed solution, and its slabs with their boards."""
    made = answer(
        solution,
        roll,
        job.model,
        job.shape,
        job.lie,
        job.mill,
        job.aims,
        job.rates,
        job.timber,
        weigh=False,
        system=system,
    )
    found = []
    for n, (slab, (line, choice)) in enumerate(zip(made.slabs, solution.slabs, strict=True)):
        row, kept = line - solution.first, False
        rip = _rip(slab, choice, made.pitch, job.model, job.stock, job.boards)
        if plain.claimed is None:
            whole = float(plain.tables.values[choice, row])
        else:
            claim, pair = solution.takes[n]
            whole = (
                slab.value - slab.own_cost if pair >= 0 else float(plain.claimed.values[choice, claim, row])
            )
            # Counted pieces and pairs are spoken for: a slab that holds one stays a slab.
            kept = pair >= 0 or claim > 0
        as_slab = whole + slab.own_cost if math.isfinite(whole) else 0.0
        ripped = rip.value > as_slab and not kept
        value = rip.value if ripped else as_slab
        pieces = () if ripped else slab.pieces
        found.append(RippedSlab(replace(slab, value=value, pieces=pieces), rip, as_slab, ripped))
    slabs = tuple(found)
    whole_plan = replace(made, slabs=tuple(s.slab for s in slabs), value=sum(s.slab.value for s in slabs))
    return whole_plan, slabs


def _slabs_alone(job: _Job, plain: Solution, roll: float) -> Sawn:
    cost = _cut_costs(plain)
    own = _own_costs(job.model, plain)
    return Sawn(SLABS, plain.net, plain.net + cost + own, len(plain.slabs), 0, len(plain.cuts), roll)


def _same_slabs(job: _Job, plain: Solution, roll: float, system: System) -> Sawn:
    """The slabs' own plan, with each ripped where that pays."""
    if not plain.slabs:
        return Sawn("slabs, ripped where it pays", 0.0, 0.0, 0, 0, 0, roll)
    made, slabs = _described(job, plain, plain, roll, system)
    value = sum(s.slab.value for s in slabs)
    ripped = [s for s in slabs if s.ripped]
    boards = sum(len(s.rip.boards) for s in ripped)
    name = "slabs, ripped where it pays"
    return Sawn(name, value - made.cost, value, len(slabs) - len(ripped), boards, len(made.cuts), roll)


def _boards_alone(job: _Job, roll: float, plain: Solution, solution: Solution, system: System) -> Sawn:
    if not solution.slabs:
        return Sawn(BOARDS, 0.0, 0.0, 0, 0, 0, roll)
    made, slabs = _described(job, solution, plain, roll, system)
    count = sum(len(s.rip.boards) for s in slabs)
    value = sum(s.rip.value for s in slabs)
    return Sawn(BOARDS, solution.net, value, 0, count, len(made.cuts), roll)


def _cut_costs(solution: Solution) -> float:
    return sum(float(solution.tables.costs[c - solution.first]) for c in solution.cuts)


def _own_costs(model: Model, solution: Solution) -> float:
    tables, step = solution.tables, model.reach.step
    total = 0.0
    for line, o in solution.slabs:
        i, t = line - solution.first, int(model.pay.thick[o])
        mean = 0.5 * float(tables.face[i] + tables.face[i - t])
        total += model.pay.slab_cost + float(model.pay.per_volume[o]) * mean * t * step
    return total

"""The best plan for every height of the first cut, read from the tables of one roll and pitch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np

from pithline.saw.appraise import sold_run
from pithline.saw.field.next_cut import NextCut, all_open, next_cut
from pithline.saw.model import Model
from pithline.saw.solution import Solution

__all__ = ["BriefSlab", "StartPlan", "start_plans"]


@dataclass(frozen=True, slots=True)
class BriefSlab:
    """A slab in a few figures.

    Attributes
    ----------
    line : int
        Upper face, in lines of the planner.
    choice : int
        Number in the model's menu.
    value : float
        Before costs, in money or tally units.
    tally : float
        In the unit of the aims.
    width : float
        Mean of the tally width over the run that is sold by the tally. [m]
    uses : tuple of str
        What it is for, from the butt up; "" is by the tally; empty where there are no uses.
    pair : bool
        Half of a pair.
    """

    line: int
    choice: int
    value: float
    tally: float
    width: float
    uses: tuple[str, ...]
    pair: bool = False


@dataclass(frozen=True, slots=True)
class StartPlan:
    """The best plan whose first cut has its upper side at `cuts[0]`; lines as of the planner."""

    net: float
    cuts: tuple[int, ...]
    slabs: tuple[BriefSlab, ...]


def start_plans(solution: Solution, model: Model, apart: int = 1) -> tuple[StartPlan, ...]:
    """The best plan for first cuts at least some lines apart, from the highest down.

    Parameters
    ----------
    solution : Solution
        Its tables are read.
    model : Model
    apart : int
        Lines between two first cuts; the best first cut of all is always among them.

    Returns
    -------
    tuple of StartPlan
        Only those that bring more than they cost.
    """
    kerf, first = model.reach.kerf, solution.first
    starts = np.flatnonzero(solution.tables.starts)
    best = solution.cuts[0] - first if solution.cuts else 0
    # The lower parts of most plans are the same, so every face is read once.
    read = cache(lambda line, state: next_cut(solution, model, line, state))
    brief = cache(lambda line, step, worth: _brief(line, step, worth, solution, model))
    found = []
    for i in starts[(starts >= kerf) & ((starts - best) % apart == 0)][::-1]:
        one = _plan_from(first + int(i), solution, model, read, brief)
        if one.net > 0:
            found.append(one)
    return tuple(found)


def _plan_from(
    cut: int,
    solution: Solution,
    model: Model,
    read: Callable[[int, int], NextCut],
    brief: Callable[[int, NextCut, float | None], BriefSlab],
) -> StartPlan:
    kerf, state = model.reach.kerf, all_open(model)
    net = read(cut - kerf, state).to_come - float(solution.tables.costs[cut - solution.first])
    cuts, slabs = [cut], []
    line: int | None = cut - kerf
    while line is not None:
        step = read(line, state)
        if step.choice >= 0:
            worth = sum(p.value for p in step.pieces) if step.pieces else None
            slabs.append(brief(line, step, worth))
            if step.kind == "pair":
                between = line - int(model.pay.thick[step.choice])
                cuts.append(between)
                slabs.append(brief(between - kerf, step, worth))
        if step.below is not None:
            cuts.append(step.below + kerf)
        line, state = step.below, step.state
    return StartPlan(net, tuple(cuts), tuple(slabs))


def _brief(line: int, cut: NextCut, worth: float | None, solution: Solution, model: Model) -> BriefSlab:
    tables, pay, row, choice = solution.tables, model.pay, line - solution.first, cut.choice
    run = sold_run(model, tables, row, choice)
    length = run.end - run.start
    if worth is None:
        face = 0.5 * float(tables.face[row] + tables.face[row - pay.thick[choice]])
        own = pay.slab_cost + float(pay.per_volume[choice]) * face * model.choices[choice].green
        worth = float(tables.values[choice, row]) + own
    width = run.area / length if length > 0 else 0.0
    uses = tuple(p.use for p in cut.pieces)
    return BriefSlab(line, choice, worth, run.tally, width, uses, cut.kind == "pair")

"""The best plan through cuts that a person wants, and what a cut costs at every height.

The planner's recursion once more in plain Python, over cuts instead of faces and with
cuts that must be there: a second way to the same number, which the tests make use of.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pithline.errors import NoPlan
from pithline.saw.aims import PithRule
from pithline.saw.given import why_not
from pithline.saw.model import Model
from pithline.saw.solution import Solution
from pithline.saw.uses.through import best_through_uses, worth_through_uses
from pithline.units import System

__all__ = ["best_through", "worth_through"]

Floats = NDArray[np.float64]


def best_through(
    solution: Solution, model: Model, pins: tuple[int, ...], rule: PithRule, system: System = "metric"
) -> Solution:
    """The best plan that has a cut at each of the given lines.

    Parameters
    ----------
    solution : Solution
        Of the same setting: its tables are read.
    model : Model
    pins : tuple of int
        Upper sides of kerfs that must be there, in lines of the planner.
    rule : PithRule
        Of the aims.
    system : {"metric", "inch"}
        For the sizes in a refusal.

    Returns
    -------
    Solution
        Without pins the optimum itself.

    Raises
    ------
    NoPlan
        Where no chain of cuts passes all of them.
    """
    for pin in pins:
        if told := why_not(solution, model, pin, rule, system):
            raise NoPlan(told)
    if model.wants is not None:
        return best_through_uses(solution, model, pins)
    tables, first, kerf = solution.tables, solution.first, model.reach.kerf
    pinned = sorted((p - first for p in pins), reverse=True)
    after, take = _below(solution, model, pinned, rule)
    starts = np.where(tables.starts, after, -math.inf)
    if pinned:
        starts[: pinned[0]] = -math.inf  # the first cut is the highest pin or lies above it
    net, line = float(starts.max()), int(starts.argmax())
    if not math.isfinite(net):
        raise NoPlan("No row of cuts that your mill can make passes through a cut there.")
    if not pinned and net <= 0:
        return replace(solution, net=0.0, cuts=(), slabs=())
    cuts, slabs = [], []
    while line >= 0:
        cuts.append(first + line)
        below, choice = take[line]
        if choice >= 0:
            slabs.append((first + line - kerf, choice))
        line = below
    return replace(solution, net=net, cuts=tuple(cuts), slabs=tuple(slabs))


def worth_through(solution: Solution, model: Model, rule: PithRule) -> Floats:
    """Net value of the best plan that has a cut at a line, for every line at once.

    Parameters
    ----------
    solution, model, rule
        As for `best_through`.

    Returns
    -------
    ndarray, shape (lines,)
        Row i is line `solution.first + i`; -inf where no cut can be.
    """
    if model.wants is not None:
        return worth_through_uses(solution, model)
    tables, kerf, reach = solution.tables, model.reach.kerf, model.reach
    after, _ = _below(solution, model, [], rule)
    lines = after.size
    above = np.where(tables.starts & tables.allowed, 0.0, -math.inf)  # all that is sawn before a cut here
    paid = np.full(lines, -math.inf)  # the same with the cost of the cut
    for i in range(lines - 1, kerf - 1, -1):
        if not tables.allowed[i]:
            continue
        for o, t in enumerate(model.pay.thick):
            face = i + int(t)
            if face + kerf < lines and paid[face + kerf] > -math.inf:
                above[i] = max(above[i], paid[face + kerf] + float(tables.values[o, face]))
        top = i + reach.most_waste
        if rule is PithRule.BOX:
            low, high = (b / reach.step - solution.first for b in (tables.pith_low, tables.pith_high))
            # Waste whose lower side is below the pith must end below it.
            top = min([top, *(math.floor(a) for a, h in zip(low, high, strict=True) if i < h)])
        window = paid[i + reach.least_waste + kerf : top + kerf + 1]
        if window.size:
            above[i] = max(above[i], float(window.max()))
        paid[i] = above[i] - tables.costs[i]
    return np.asarray(above + after)


def _below(
    solution: Solution, model: Model, pinned: list[int], rule: PithRule
) -> tuple[Floats, list[tuple[int, int]]]:
    """For a cut at every line, its cost and the best below it; and the next cut and choice (-1: waste)."""
    tables, reach, first = solution.tables, model.reach, solution.first
    kerf, lines = reach.kerf, tables.costs.size
    after = np.full(lines, -math.inf)
    take: list[tuple[int, int]] = [(-1, -1)] * lines
    low, high = (b / reach.step - first for b in (tables.pith_low, tables.pith_high))
    for i in range(kerf, lines):
        if not tables.allowed[i]:
            continue
        face = i - kerf
        # The next pin below bounds how far the next cut may lie.
        bound = max((p for p in pinned if p < i), default=-1)
        best, chosen = (0.0, (-1, -1)) if bound < 0 else (-math.inf, (-1, -1))
        for o, t in enumerate(model.pay.thick):
            below = face - int(t)
            if below >= max(kerf, bound) and after[below] > -math.inf:
                value = float(tables.values[o, face] + after[below])
                if value > best:
                    best, chosen = value, (below, o)
        floor = max(kerf, bound, face - reach.most_waste)
        if rule is PithRule.BOX:
            floor = max([floor, *(math.ceil(h) for a, h in zip(low, high, strict=True) if face > a)])
        window = after[floor : face - reach.least_waste + 1] if face > floor else after[:0]
        if window.size and window.max() > best:
            best, chosen = float(window.max()), (floor + int(window.argmax()), -1)
        after[i] = best - tables.costs[i]
        take[i] = chosen
    return after, take

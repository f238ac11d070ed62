"""What cuts that a person puts somewhere are worth, by the planner's own tables.

Two questions. `value_of_cuts`: these cuts and no others. `best_through`: a cut at
each of these lines, and the best of all others that go with them. Neither can ever
be worth more than the plan itself, because every answer is one that the planner
looked at too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pithline.errors import NoPlan
from pithline.saw.aims import PithRule
from pithline.saw.model import Model
from pithline.saw.solution import Solution
from pithline.units import System, show_length

__all__ = ["Given", "best_through", "lines_near", "value_of_cuts"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Given:
    """Cuts as given, with the best use of every piece between them.

    Attributes
    ----------
    solution : Solution
        Its `net` is what the cuts are worth; -inf where one of them cannot be made.
    faults : tuple of (line, str)
        The cuts that cannot be made and why; else empty.
    """

    solution: Solution
    faults: tuple[tuple[int, str], ...] = ()

    @property
    def net(self) -> float:
        """Value of the slabs less all costs."""
        return self.solution.net


def lines_near(solution: Solution, model: Model, heights: Floats) -> tuple[int, ...]:
    """The planner's lines nearest to heights above the pith line, kept inside the log.

    Parameters
    ----------
    solution : Solution
        Of the setting whose lines are meant.
    model : Model
    heights : array_like, shape (cuts,)
        Upper sides of kerfs at mid-length. [m]

    Returns
    -------
    tuple of int
        From the top down, each once.
    """
    low = solution.first + model.reach.kerf
    high = solution.first + solution.tables.costs.size - 1
    lines = np.clip(np.round(np.asarray(heights) / model.reach.step), low, high)
    return tuple(sorted({int(line) for line in lines}, reverse=True))


def value_of_cuts(
    solution: Solution, model: Model, cuts: tuple[int, ...], rule: PithRule, system: System = "metric"
) -> Given:
    """What exactly these cuts are worth.

    Parameters
    ----------
    solution : Solution
        Of the same setting: its tables are read.
    model : Model
    cuts : tuple of int
        Upper sides of the kerfs, falling, in lines of the planner.
    rule : PithRule
        Of the aims.
    system : {"metric", "inch"}
        For the sizes in `faults`.

    Returns
    -------
    Given

    Notes
    -----
    A piece counts as a slab where its thickness is on the menu; else it is waste, and
    waste thinner than the aims allow, or deeper than the mill reaches, is a fault.
    """
    tables, reach = solution.tables, model.reach
    thick = model.pay.thick
    faults = [(line, told) for line in cuts if (told := _why_not(solution, model, line, rule, system))]
    if cuts and cuts[0] not in dict(faults) and not tables.starts[cuts[0] - solution.first]:
        faults.append((cuts[0], "The mill does not reach so deep from above the bark: make a cut above it."))
    slabs: list[tuple[int, int]] = []
    inside = [c for c in cuts if 0 <= c - solution.first < tables.costs.size]
    net = -sum(float(tables.costs[line - solution.first]) for line in inside)
    for line, below in pairwise(inside):
        face = line - reach.kerf
        gap = face - below
        fits = [
            (float(tables.values[o, face - solution.first]), int(o)) for o in np.flatnonzero(thick == gap)
        ]
        worth, choice = max(fits, default=(-math.inf, -1))
        clean = reach.least_waste <= gap <= reach.most_waste and not _boxed(
            solution, model, face, below, rule
        )
        if worth > (0.0 if clean else -math.inf):
            net += worth
            slabs.append((face, choice))
        elif not clean:
            faults.append((below, _bad_gap(model, gap, system)))
    return Given(
        replace(solution, net=-math.inf if faults else net, cuts=tuple(cuts), slabs=tuple(slabs)),
        tuple(faults),
    )


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
        if told := _why_not(solution, model, pin, rule, system):
            raise NoPlan(told)
    tables, reach, first = solution.tables, model.reach, solution.first
    kerf, lines = reach.kerf, tables.costs.size
    pinned = sorted((p - first for p in pins), reverse=True)
    after = np.full(lines, -math.inf)  # a cut at this line and the best below it
    take: list[tuple[int, int]] = [(-1, -1)] * lines  # next cut, choice (-1: waste)
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
        window = after[floor : face - reach.least_waste + 1]
        if window.size and window.max() > best:
            best, chosen = float(window.max()), (floor + int(window.argmax()), -1)
        after[i] = best - tables.costs[i]
        take[i] = chosen
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


def _boxed(solution: Solution, model: Model, face: int, below: int, rule: PithRule) -> bool:
    """Whether a waste piece would hold the pith, which has to be boxed in a slab."""
    if rule is not PithRule.BOX:
        return False
    step, t = model.reach.step, solution.tables
    return any(
        face * step > a + 1e-12 and below * step < b - 1e-12
        for a, b in zip(t.pith_low, t.pith_high, strict=True)
    )


def _bad_gap(model: Model, gap: int, system: System) -> str:
    step = model.reach.step
    if gap > model.reach.most_waste:
        return f"The mill does not reach {show_length(gap * step, system)} below the cut above."
    if gap < model.reach.least_waste:
        least = show_length(model.reach.least_waste * step, system)
        return (
            f"{show_length(max(gap, 0) * step, system)} is left below the cut above: "
            f"neither a slab nor the {least} that can be thrown away."
        )
    return "The piece above would be waste and holds the pith, which is to be boxed."


def _why_not(solution: Solution, model: Model, line: int, rule: PithRule, system: System) -> str:
    """Why no cut can be at a line; empty where one can."""
    tables, reach = solution.tables, model.reach
    i = line - solution.first
    if not reach.kerf <= i < tables.costs.size:
        return "There is no wood at that height."
    if tables.allowed[i]:
        return ""
    widest = float(max(tables.widest[i], tables.widest[i - reach.kerf]))
    if widest > reach.bar + 1e-9:
        return f"{show_length(widest, system)} wide there; your bar cuts {show_length(reach.bar, system)}."
    tilt = solution.setting.pitch * 0.5 * float(model.wood.z[-1])
    under = (line - reach.kerf) * reach.step
    s = solution.setting
    if under - tilt < s.ground_butt - 1e-9 or under + tilt < s.ground_top - 1e-9:
        return "The saw would touch the ground there."
    if rule is PithRule.BOX and any(
        under <= b and line * reach.step >= a for a, b in zip(tables.pith_low, tables.pith_high, strict=True)
    ):
        return "It would cut the pith, which is to be boxed in one slab."
    return "There is metal in its way."

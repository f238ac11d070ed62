"""What cuts that a person puts somewhere are worth, by the planner's own tables.

Never more than the plan itself, because the planner looked at these cuts too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pithline.saw.aims import PithRule
from pithline.saw.model import Model
from pithline.saw.solution import Solution
from pithline.saw.uses.through import best_through_uses
from pithline.units import System, show_length

__all__ = ["Given", "lines_near", "value_of_cuts", "why_not"]

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
    faults = [(line, told) for line in cuts if (told := why_not(solution, model, line, rule, system))]
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
    if model.wants is not None:
        if not faults and cuts:
            return Given(best_through_uses(solution, model, cuts, only=True))
        blank = replace(solution, net=-math.inf if faults else 0.0, cuts=tuple(cuts), slabs=tuple(slabs))
        return Given(replace(blank, takes=((0, -1),) * len(slabs)), tuple(faults))
    return Given(
        replace(solution, net=-math.inf if faults else net, cuts=tuple(cuts), slabs=tuple(slabs)),
        tuple(faults),
    )


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


def why_not(solution: Solution, model: Model, line: int, rule: PithRule, system: System) -> str:
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

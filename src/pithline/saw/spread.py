"""How much yield and value may differ, given how well the log was measured.

The chosen cuts stay where they are against the pith marks; the log around them is
drawn anew, and the same slabs are valued again.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.appraise import sold_run
from pithline.saw.model import Model, wood_of
from pithline.saw.plan import Spread
from pithline.saw.solution import Solution, room
from pithline.saw.tables import Tables

__all__ = ["revalue", "spread_of", "spreads"]

Floats = NDArray[np.float64]
_THREADS = 2


def revalue(
    solution: Solution, model: Model, shape: LogShape, aims: Aims, tables: Tables
) -> tuple[float, float]:
    """Net value and tally of a solution's cuts in another log.

    Parameters
    ----------
    shape : LogShape
        The log as it may really be, from the same pith marks.
    tables : Tables
        Room to work in.

    Returns
    -------
    net, tally : float
    """
    from pithline.saw import planner_kernel

    wood = wood_of(shape, aims)
    first, lines = solution.first, solution.tables.costs.size
    planner_kernel.tabulate(wood, model.reach, model.pay, solution.setting, first, lines, tables)
    net = -sum(float(tables.costs[c - first]) for c in solution.cuts)
    tally = 0.0
    for line, choice in solution.slabs:
        value = float(tables.values[choice, line - first])
        if math.isfinite(value):
            net += value
            tally += sold_run(model, wood, tables, line - first, choice).tally
        else:
            net -= model.pay.slab_cost  # it fell short of every size, and was handled all the same
    return net, tally


def spread_of(values: Floats) -> Spread:
    """10, 50 and 90 % of draws."""
    p10, p50, p90 = np.percentile(values, [10, 50, 90])
    return Spread(float(p10), float(p50), float(p90))


def spreads(
    solution: Solution, model: Model, shapes: Iterable[LogShape], aims: Aims
) -> tuple[Spread, Spread]:
    """Ranges of net value and of tally over logs drawn within the measuring error."""
    shapes = list(shapes)

    def part(some: list[LogShape]) -> list[tuple[float, float]]:
        tables = room(model)
        # A drawn log may be larger than the measured one; the solution's lines stay.
        return [revalue(solution, model, shape, aims, tables) for shape in some]

    with ThreadPoolExecutor(_THREADS) as pool:
        halves = list(pool.map(part, [shapes[i::_THREADS] for i in range(_THREADS)]))
    drawn = np.array([pair for half in halves for pair in half])
    return spread_of(drawn[:, 0]), spread_of(drawn[:, 1])

"""How much yield and value may differ, given how well the log was measured.

The chosen cuts stay where they are against the pith marks; the log around them is
drawn anew, and the same slabs are valued again.
"""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.model import Model, wood_of
from pithline.saw.plan import Spread
from pithline.saw.solution import Solution, room
from pithline.saw.tables import Tables, Wood

__all__ = ["revalue", "spread_of", "spreads"]

Floats = NDArray[np.float64]
_THREADS = 2


def spread_of(values: Floats) -> Spread:
    """10, 50 and 90 % of draws."""
    p10, p50, p90 = np.percentile(values, [10, 50, 90])
    return Spread(float(p10), float(p50), float(p90))


def spreads(
    solution: Solution, model: Model, shapes: Iterable[LogShape], aims: Aims
) -> tuple[Spread, Spread]:
    """Ranges of net value and of tally over logs drawn within the measuring error.

    Parameters
    ----------
    solution : Solution
        Its cuts and slabs are valued again, not planned again.
    model : Model
    shapes : iterable of LogShape
        Logs as they may really be, from the same pith marks.

    Returns
    -------
    net, tally : Spread
    """
    shapes = list(shapes)

    def part(some: list[LogShape]) -> list[tuple[float, float]]:
        tables = room(model, pitch=solution.setting.pitch)
        return [revalue(model, wood_of(shape, aims), solution, tables) for shape in some]

    with ThreadPoolExecutor(_THREADS) as pool:
        halves = list(pool.map(part, [shapes[i::_THREADS] for i in range(_THREADS)]))
    drawn = np.array([pair for half in halves for pair in half])
    return spread_of(drawn[:, 0]), spread_of(drawn[:, 1])


def revalue(model: Model, wood: Wood, solution: Solution, tables: Tables) -> tuple[float, float]:
    """Net value and tally of the same cuts in another log.

    Parameters
    ----------
    model : Model
    wood : Wood
        The other log, from the same pith marks.
    solution : Solution
        Its cuts and slabs stay where they are.
    tables : Tables
        Room to work in, see `saw.solution.room`.

    Returns
    -------
    net, tally : float
    """
    setting, first, lines = solution.setting, solution.first, solution.tables.costs.size
    cuts = np.array(solution.cuts, dtype=np.int64) - first
    slabs = np.array(solution.slabs, dtype=np.int64).reshape(-1, 2) - np.array([first, 0])
    if model.wants is not None:
        from pithline.saw.uses import again_kernel

        takes = np.array(solution.takes, dtype=np.int64).reshape(-1, 2)
        sold = np.hstack([slabs, takes])
        return again_kernel.revalue(  # type: ignore[no-any-return]
            wood, model.reach, model.pay, model.wants, setting, first, lines, cuts, sold, tables
        )
    from pithline.saw import planner_kernel

    return planner_kernel.revalue(  # type: ignore[no-any-return]
        wood, model.reach, model.pay, setting, first, lines, cuts, slabs, tables
    )

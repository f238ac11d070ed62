"""What the large losses are worth, each found by lifting that one limit."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pithline.saw.model import Model
from pithline.saw.plan import Ledger, Worth
from pithline.saw.solution import Solution, best_below, solve
from pithline.units import System, show_length

__all__ = ["first_cut_values", "worths"]

Floats = NDArray[np.float64]
_NO_GROUND = np.array([-math.inf, -math.inf])


def first_cut_values(solution: Solution, model: Model) -> tuple[Floats, Floats]:
    """Net value of the best plan for every height of the first cut.

    Returns
    -------
    heights, net : ndarray, shape (cuts,)
        Upper side of the first kerf above the pith [m]; money or tally units.
    """
    tables, kerf = solution.tables, model.reach.kerf
    may = np.flatnonzero(tables.starts)
    may = may[may >= kerf]
    heights = np.asarray((solution.first + may) * model.reach.step, dtype=np.float64)
    return heights, best_below(solution, model)[may - kerf] - tables.costs[may]


def worths(
    solution: Solution,
    model: Model,
    where: Ledger,
    roll: float,
    pitch: float,
    ground: Floats,
    system: System = "metric",
) -> Iterator[Worth]:
    """Start height, opening piece, ground and bar, in money or tally units.

    Parameters
    ----------
    solution : Solution
        With slabs.
    where : Ledger
        Where the wood went under it.
    roll, pitch, ground
        As given to `saw.solution.solve`.
    system : {"metric", "inch"}
        For the sizes in the notes.
    """
    heights, nets = first_cut_values(solution, model)
    spacing = (max(c.lines for c in model.choices) + model.reach.kerf) * model.reach.step
    near = nets[np.abs(heights - solution.cuts[0] * model.reach.step) <= 0.5 * spacing + 1e-9]
    lost, most = solution.net - float(near.mean()), solution.net - float(near.min())
    # As a ratio: money and tally units have no digits in common.
    worst = f"; the worst there loses {most / lost:.1f} times as much" if lost > 0 else ""
    yield Worth(
        "start height",
        lost,
        f"against a first cut anywhere within {show_length(0.5 * spacing, system)} of the best, "
        f"on average{worst}",
    )
    volumes = {line.name: line.volume for line in where.lines}
    sold = volumes["sold by the tally"] + volumes.get("sold as pieces", 0.0)
    if sold > 0:
        yield Worth(
            "opening piece",
            volumes["opening piece"] / sold * solution.net,
            "at most, if all of it were slabs; some of it is always lost",
        )
    freed = solve(model, roll, pitch, _NO_GROUND).net
    yield Worth("last piece", freed - solution.net, "if the ground did not end the sawing")
    longer = replace(model, reach=model.reach._replace(bar=math.inf))
    gain = solve(longer, roll, pitch, ground).net - solution.net
    yield Worth("bar", gain, "if the bar were long enough for every cut")

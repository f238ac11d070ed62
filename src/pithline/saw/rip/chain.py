"""The best chain of cuts where a slab may be ripped, or must be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pithline.saw.model import Model
from pithline.saw.solution import Solution, follow
from pithline.saw.uses.tabled import need_tables

__all__ = ["with_rips"]

Floats = NDArray[np.float64]


def with_rips(model: Model, solution: Solution, rips: Floats, live: bool = True) -> Solution:
    """The best chain of cuts where slabs may be ripped, or with `live` false must be.

    Parameters
    ----------
    model : Model
    solution : Solution
        Of the same setting for slabs alone: its tables are read.
    rips : ndarray, shape (thicknesses, lines)
        Worth of the best rip less the slab's own cost, -inf where there is none.
    live : bool

    Returns
    -------
    Solution
        Its tables hold the larger of the two values.
    """
    from pithline.saw import planner_kernel, share_kernel
    from pithline.saw.uses import chain_kernel

    tables, lines = solution.tables, solution.tables.costs.size
    values = np.maximum(tables.values, rips) if live else rips
    tables = tables._replace(values=values, best=tables.best.copy(), take=tables.take.copy())
    if model.wants is None:
        piths = tables.pith_low.size if model.pay.pith_rule == share_kernel.BOX else 0
        net, line = planner_kernel.best_chain(
            model.reach,
            model.pay.thick,
            tables.pith_low[:piths] / model.reach.step - solution.first,
            tables.pith_high[:piths] / model.reach.step - solution.first,
            lines,
            tables,
        )
        cuts, slabs = _row(int(line), solution.first, tables.take, model)
        return replace(solution, net=float(net), cuts=cuts, slabs=slabs, tables=tables)
    need_tables(model, "What ripping brings")
    assert solution.claimed is not None
    claims = solution.claimed.values.copy() if live else np.full_like(solution.claimed.values, -math.inf)
    claims[:, 0] = np.maximum(claims[:, 0], rips)
    pairs = solution.claimed.paired if live else np.full_like(solution.claimed.paired, -math.inf)
    claimed = solution.claimed._replace(
        values=claims,
        paired=pairs,
        best=solution.claimed.best.copy(),
        after=solution.claimed.after.copy(),
        take=solution.claimed.take.copy(),
    )
    wants, none = model.wants, np.full(lines + 1, -1, dtype=np.int64)
    _, line = chain_kernel.chain(
        model.reach,
        model.pay,
        wants,
        wants.next_state,
        wants.bonus,
        none,
        solution.first,
        lines,
        tables,
        claimed,
    )
    return follow(replace(solution, tables=tables, claimed=claimed), model, int(line))


def _row(
    line: int, first: int, take: NDArray[np.int64], model: Model
) -> tuple[tuple[int, ...], tuple[tuple[int, int], ...]]:
    """Cuts and slabs that the chain's table holds, from the first cut's row down."""
    cuts, slabs = [], []
    while line >= 0:
        cuts.append(first + line)
        face = line - model.reach.kerf
        taken = int(take[face])
        if taken == -1:
            break
        if taken >= 0:
            slabs.append((first + face, taken))
            line = face - int(model.pay.thick[taken])
        else:
            line = face + taken + 2
    return tuple(cuts), tuple(slabs)

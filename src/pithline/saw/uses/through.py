"""The best plan through given cuts where slabs are for something, and what a cut costs at every height."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pithline.errors import NoPlan
from pithline.saw.model import Model
from pithline.saw.solution import Solution, follow, without_bonus
from pithline.saw.uses.tabled import need_tables

__all__ = ["best_through_uses", "worth_through_uses"]

Floats = NDArray[np.float64]


def best_through_uses(
    solution: Solution, model: Model, pins: tuple[int, ...], only: bool = False
) -> Solution:
    """The best plan that has a cut at each of the given lines, and with `only` no others.

    Parameters
    ----------
    solution : Solution
        Of the same setting: its tables are read.
    model : Model
        With uses.
    pins : tuple of int
        Upper sides of kerfs that must be there, in lines of the planner.
    only : bool

    Raises
    ------
    NoPlan
        Where no chain of cuts passes all of them.
    """
    from pithline.saw.uses import chain_kernel

    need_tables(model, "A plan through a given cut")
    wants = model.wants
    assert wants is not None
    assert solution.claimed is not None
    lines, kerf = solution.tables.costs.size, model.reach.kerf
    rows = np.array(sorted(p - solution.first for p in pins), dtype=np.int64)
    allowed = solution.tables.allowed.copy()
    every = np.arange(lines)
    if rows.size:
        # A kerf that overlaps a wanted one would swallow it.
        apart = np.abs(every[:, None] - rows).min(axis=1)
        allowed &= (apart == 0) | ((apart >= kerf) & (not only))
    # The highest wanted cut at or below every face; the last entry is the whole log's.
    floor = np.append(rows, -1)[np.searchsorted(rows, np.arange(lines + 1), side="right") - 1]
    tables = solution.tables._replace(allowed=allowed, starts=solution.tables.starts & allowed)
    claimed = solution.claimed._replace(
        best=solution.claimed.best.copy(),
        after=solution.claimed.after.copy(),
        take=solution.claimed.take.copy(),
    )
    value, line = chain_kernel.chain(
        model.reach,
        model.pay,
        wants,
        wants.next_state,
        wants.bonus,
        floor,
        solution.first,
        lines,
        tables,
        claimed,
    )
    if not math.isfinite(value):
        raise NoPlan("No row of cuts that your mill can make passes through a cut there.")
    found = follow(replace(solution, tables=tables, claimed=claimed), model, int(line))
    # Later questions are about the log, not about these cuts.
    return replace(found, tables=solution.tables, claimed=solution.claimed)


def worth_through_uses(solution: Solution, model: Model) -> Floats:
    """Net value of the best plan that has a cut at a line, for every line; -inf where none can be."""
    from pithline.saw.uses import above_kernel

    need_tables(model, "What a cut at every height costs")
    wants = model.wants
    assert wants is not None
    assert solution.claimed is not None
    lines = solution.tables.costs.size
    scores = above_kernel.above_all(
        model.reach, model.pay, wants, solution.first, lines, solution.tables, solution.claimed
    )
    return without_bonus(scores, wants)

"""Which caps have to be counted: those that the best plan would pass, and no others.

A plan that keeps a cap by itself is as good as one that was told to. So uses are counted
only once the best plan sells too many of them, which keeps the combinations few.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from pithline.saw.aims import Aims
from pithline.saw.model import Model
from pithline.saw.rates import Rates
from pithline.saw.solution import Solution
from pithline.saw.uses.search import SOLVER_SETTINGS

__all__ = ["BY_SOLVER", "NOT_PROVED", "caps_left_out", "pieces_cut", "rates_as_needed"]

BY_SOLVER = (
    "Orders and capped uses have too many combinations for the planner's tables: a general solver chose the "
    f"cuts, at {SOLVER_SETTINGS} rolls and pitches at most: those that promise most with nothing counted."
)
NOT_PROVED = (
    "The solver ran out of time: these cuts are the best it found, not proved the best. "
    "Fewer orders and caps take less time."
)


def caps_left_out(told: Rates, counted: Rates) -> str:
    """A sentence on the caps that needed no counting."""
    left = [u.name for u, c in zip(told.uses, counted.uses, strict=True) if u.at_most != c.at_most]
    return (
        f"Too many uses are capped to count them all. Not counted, because the best plan keeps to them by "
        f"itself: {', '.join(left)}. Mind these caps where you saw otherwise than planned."
    )


def pieces_cut(solution: Solution, model: Model, uses: int) -> list[int]:
    """How many of each use a solution cuts, counted or not; a pair counts once.

    Parameters
    ----------
    uses : int
        How many there are, orders first.
    """
    from pithline.saw.uses.pieces import pieces_of

    cut = np.zeros(uses)
    names = {name: k for k, name in enumerate(model.use_names)}
    for n, (_, pair) in enumerate(solution.takes):
        for piece in pieces_of(n, solution, model):
            if piece.use:
                cut[names[piece.use]] += 0.5 if pair >= 0 else 1.0
    return [round(c) for c in cut]


def rates_as_needed(
    aims: Aims,
    rates: Rates,
    prepared: Callable[[Rates], Model],
    best: Callable[[Model], Solution],
) -> Rates:
    """The rates with only those caps that the best plan does not keep by itself.

    Parameters
    ----------
    aims : Aims
        Orders are always counted.
    rates : Rates
    prepared : callable
        The model of given rates.
    best : callable
        The best plan of a model.

    Returns
    -------
    Rates
        Unchanged where even these caps have too many combinations.

    Notes
    -----
    Exact: fewer caps allow more, so a best plan that keeps them all is the best of those that do.
    """
    first = len(aims.orders)
    needed: set[int] = set()
    while True:
        uses = tuple(u if k in needed else replace(u, at_most=None) for k, u in enumerate(rates.uses))
        fewer = replace(rates, uses=uses)
        model = prepared(fewer)
        if model.wants is not None and model.wants.by_solver:
            return rates
        cut = pieces_cut(best(model), model, first + len(uses))[first:]
        over = {k for k, u in enumerate(rates.uses) if u.at_most is not None and cut[k] > u.at_most}
        if not over - needed:
            return fewer
        needed |= over

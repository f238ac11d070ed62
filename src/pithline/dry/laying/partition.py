"""Which slabs share a layer: the fewest groups that hold every slab once, by HiGHS."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["Duals", "Partition", "fewest", "greedy", "incidence", "relaxed"]

Floats = NDArray[np.float64]

_EPS = 1e-6
_FEW = (1200, 5000)  # columns that are branched on first
_AT_ONCE = 400  # columns taken into the linear programme in one round


@dataclass(frozen=True, slots=True)
class Duals:
    """The linear programme over some groups: its value and what each slab is worth in it.

    Attributes
    ----------
    value : float
        Layers, in fractions: no choice among these groups takes fewer.
    worth : ndarray, shape (slabs,)
        Groups worth more than 1 together would lower the value.
    taken : ndarray, shape (some,)
        Groups of which it takes a part.
    """

    value: float
    worth: Floats
    taken: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Partition:
    """Groups chosen from a pool.

    Attributes
    ----------
    chosen : tuple of int
        Their places in the pool; together they hold every slab.
    least : int
        No choice from this pool takes fewer.
    """

    chosen: tuple[int, ...]
    least: int

    @property
    def proved(self) -> bool:
        """Whether the pool holds nothing better."""
        return len(self.chosen) <= self.least


def incidence(groups: Sequence[Iterable[int]], slabs: int) -> Any:
    """Which slab is in which group: a sparse matrix, shape (slabs, groups)."""
    from scipy.sparse import csc_array

    members = [list(group) for group in groups]
    rows = np.fromiter((i for m in members for i in m), dtype=np.int64)
    ends = np.cumsum([0, *(len(m) for m in members)])
    return csc_array((np.ones(len(rows)), rows, ends), shape=(slabs, len(members)))


def greedy(groups: Sequence[Sequence[int]], worth: Floats) -> tuple[int, ...]:
    """A first choice: again and again the group that adds most."""
    matrix, open_ = incidence(groups, len(worth)), np.asarray(worth, dtype=np.float64) + _EPS
    chosen: list[int] = []
    while open_.any():
        best = int(np.argmax(matrix.T @ open_))
        chosen.append(best)
        open_[list(groups[best])] = 0
    return tuple(chosen)


def relaxed(matrix: Any, begin: Iterable[int] = ()) -> Duals:
    """Solve the linear programme over a pool, taking in columns as they are wanted.

    Parameters
    ----------
    matrix : sparse array, shape (slabs, groups)
        As `incidence` gives it; every slab is in a group.
    begin : iterable of int
        Groups to begin with that hold every slab; all of them where left out.
    """
    from scipy.optimize import linprog

    active = np.zeros(matrix.shape[1], dtype=bool)
    active[list(begin)] = True
    if not active.any():
        active[:] = True
    while True:
        columns = np.flatnonzero(active)
        some = matrix[:, columns]
        solved = linprog(np.ones(some.shape[1]), A_ub=-some, b_ub=-np.ones(some.shape[0]), method="highs")
        if solved.status != 0:
            raise ArithmeticError(f"HiGHS: {solved.message}")
        worth = np.maximum(-solved.ineqlin.marginals, 0.0)
        lack = matrix.T @ worth - 1
        lack[active] = 0
        wanted = np.flatnonzero(lack > _EPS)
        if not wanted.size:
            return Duals(float(solved.fun), worth, columns[solved.x > 1e-9])
        active[wanted[np.argsort(-lack[wanted], kind="stable")[:_AT_ONCE]]] = True


def fewest(groups: Sequence[Sequence[int]], slabs: int, start: Sequence[int], nodes: int = 2000) -> Partition:
    """The fewest groups of a pool that together hold every slab.

    Parameters
    ----------
    groups : sequence of sequence of int
        Which slabs may share a layer. A part of a group may too.
    slabs : int
    start : sequence of int
        A choice that is known; it is given back where nothing better is found.
    nodes : int
        Branches that HiGHS may look at; a count and not a time, so that the same slabs give
        the same layers on every machine.

    Returns
    -------
    Partition

    Notes
    -----
    A whole choice with fewer groups than the known one can only use groups whose reduced cost
    is at most the gap between the two bounds; the others are left out before branching.
    """
    matrix = incidence(groups, slabs)
    duals = relaxed(matrix, start)
    least, best = math.ceil(duals.value - _EPS), tuple(start)
    reduced = 1 - matrix.T @ duals.worth
    # Few columns first: what they give often leaves none of the others in question.
    for few in (*(few for few in _FEW if few < len(groups)), len(groups)):
        use = np.flatnonzero(reduced <= len(best) - 1 - duals.value + _EPS)
        if len(best) <= least or (few < len(groups) and len(use) <= few):
            continue
        use = use[np.argsort(reduced[use], kind="stable")[:few]]
        # Many are as good as those that the linear programme takes; its own hold every slab.
        use = np.union1d(use, duals.taken)
        found, bound = _branch(matrix[:, use], least, len(best) - 1, nodes)
        if found is not None:
            best = tuple(int(use[k]) for k in found)
        if few == len(groups):
            least = max(least, min(bound, len(best)))
    return Partition(best, least)


def _branch(matrix: Any, least: int, most: int, nodes: int) -> tuple[NDArray[np.int64] | None, int]:
    """A choice of at most `most` columns, or None; and a bound that no choice of columns is below."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    count = matrix.shape[1]
    if not count:
        return None, most + 1
    solved = milp(
        np.ones(count),
        constraints=[
            LinearConstraint(matrix, lb=1),
            LinearConstraint(np.ones((1, count)), lb=least, ub=most),
        ],
        integrality=np.ones(count),
        bounds=Bounds(0, 1),
        options={"node_limit": nodes},
    )
    found = None if solved.x is None else np.flatnonzero(solved.x > 0.5)
    if solved.status == 2:  # proved that there is none
        return None, most + 1
    if solved.status == 0 and found is not None:
        return found, len(found)
    bound = solved.mip_dual_bound
    return found, math.ceil(bound - _EPS) if bound is not None and math.isfinite(bound) else least

"""Which groups go in where the height does not take all: the most of what is wanted, by HiGHS."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue

__all__ = ["most_worth"]

Floats = NDArray[np.float64]


def most_worth(
    pools: Sequence[Sequence[Sequence[int]]],
    heights: Sequence[float],
    height: float,
    worth: Floats,
    must: Sequence[int],
    nodes: int = 2000,
) -> tuple[tuple[int, int], ...]:
    """Layers that hold most of what is wanted within a height.

    Parameters
    ----------
    pools : sequence of sequence of sequence of int
        For each thickness its groups of slabs; a part of a group may share a layer too.
    heights : sequence of float
        Of a layer of each thickness, sticks included. [m]
    height : float
        There is. [m]
    worth : ndarray, shape (slabs,)
        0 or more.
    must : sequence of int
        Slabs that go in.
    nodes : int
        Branches that the solver may look at.

    Returns
    -------
    chosen : tuple of (int, int)
        Thickness and group. A slab may be in two of them: leave it out of one.

    Raises
    ------
    BadValue
        What must go in is too high.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array, hstack

    where = [(k, g) for k, pool in enumerate(pools) for g in range(len(pool))]
    columns, slabs = len(where), len(worth)
    rows, cols = [], []
    for c, (k, g) in enumerate(where):
        rows += list(pools[k][g])
        cols += [c] * len(pools[k][g])
    holds = csr_array((np.ones(len(rows)), (rows, cols)), shape=(slabs, columns))
    # One 0/1 for each group, then one for each slab: in only if a group that holds it is.
    inside = hstack([holds, -csr_array(np.eye(slabs))])
    tall = np.array([heights[k] for k, _ in where])
    low = np.zeros(columns + slabs)
    low[[columns + i for i in must]] = 1
    # A hair against each layer: none is laid for nothing.
    cost = np.concatenate([tall * 1e-6 * max(float(worth.max()), 1e-9), -worth])
    solved = milp(
        cost,
        constraints=[
            LinearConstraint(inside, lb=0),
            LinearConstraint(np.concatenate([tall, np.zeros(slabs)])[None, :], ub=height + 1e-9),
        ],
        integrality=np.concatenate([np.ones(columns), np.zeros(slabs)]),
        bounds=Bounds(low, 1),
        options={"node_limit": nodes},
    )
    if solved.x is None:
        raise BadValue(
            "must", "more than the height holds", "within the kiln's height", "Let some of them go."
        )
    return tuple(where[c] for c in np.flatnonzero(solved.x[:columns] > 0.5))

"""Which groups go in where the height does not take all: the most of what is wanted, by HiGHS."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from pithline.dry.laying.footprint import Footprint
from pithline.dry.laying.rectangles import Spot
from pithline.errors import BadValue

__all__ = ["most_worth", "within_height"]

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


def within_height(
    slabs: Sequence[Footprint],
    classes: Sequence[Sequence[int]],
    pools: Sequence[Sequence[tuple[Spot, ...]]],
    height: float,
    stick: float,
    wanted: Mapping[str, float] | None,
    must: Sequence[str],
) -> list[tuple[Sequence[int], tuple[Spot, ...]]]:
    """Layers that hold most of what is wanted within a height.

    Parameters
    ----------
    slabs : sequence of Footprint
    classes : sequence of sequence of int
        Slabs that may share a layer.
    pools : sequence of sequence of tuple of Spot
        For each class its groups as they lie; spots count within the class.
    height, stick : float
        There is; of the sticks below each layer. [m]
    wanted : mapping of str to float or None
        How much each slab is wanted; None: its volume.
    must : sequence of str
        Slabs that go in.

    Returns
    -------
    chosen : list of (class, spots)
        A slab may be in two of them: leave it out of one.

    Raises
    ------
    BadValue
        What must go in is too high; what is wanted less than not at all.

    Notes
    -----
    A group is as high as its thickest slab, and lower without it: each is offered whole and
    without what is thicker than one of its slabs, so that any part of it counts with its own height.
    """
    offered: dict[float, dict[tuple[int, ...], tuple[Sequence[int], tuple[Spot, ...]]]] = {}
    for members, pool in zip(classes, pools, strict=True):
        for spots in pool:
            for thick in {slabs[members[spot.slab]].thickness for spot in spots}:
                part = tuple(spot for spot in spots if slabs[members[spot.slab]].thickness <= thick)
                group = tuple(sorted(members[spot.slab] for spot in part))
                offered.setdefault(thick, {}).setdefault(group, (members, part))
    heights = sorted(offered, reverse=True)
    chosen = most_worth(
        [list(offered[thick]) for thick in heights],
        [thick + stick for thick in heights],
        height,
        _worths(slabs, wanted),
        [i for i, slab in enumerate(slabs) if slab.name in must],
    )
    return [list(offered[heights[k]].values())[g] for k, g in chosen]


def _worths(slabs: Sequence[Footprint], wanted: Mapping[str, float] | None) -> Floats:
    worth = [
        wanted.get(slab.name, 0.0) if wanted is not None else slab.area * slab.thickness for slab in slabs
    ]
    for slab, value in zip(slabs, worth, strict=True):
        if not 0 <= value < math.inf:
            raise BadValue(f"wanted.{slab.name}", value, "0 or more")
    return np.array(worth)

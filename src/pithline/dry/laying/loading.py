"""Which groups go in where the height does not take all: the most of what is wanted, by HiGHS."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pithline.dry.laying.footprint import Footprint
from pithline.dry.laying.rectangles import Spot
from pithline.errors import BadValue

__all__ = ["Choice", "most_worth", "within_height"]

Floats = NDArray[np.float64]

_HAIR = 1e-6  # of the dearest slab, against a metre of layer: none is laid for nothing
_NEAR = 0.005  # heights so near each other want no rows of their own. [m]


@dataclass(frozen=True, slots=True)
class Choice:
    """Groups that go in.

    Attributes
    ----------
    groups : tuple of (int, int)
        Thickness and group. A slab may be in two of them: leave it out of one.
    short : float
        At most so much more another choice of the groups holds; 0 where none does, proved. [fraction]
    """

    groups: tuple[tuple[int, int], ...]
    short: float


def most_worth(
    pools: Sequence[Sequence[Sequence[int]]],
    heights: Sequence[float],
    height: float,
    worth: Floats,
    must: Sequence[int],
    nodes: int = 300,
) -> Choice:
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
    Choice

    Raises
    ------
    BadValue
        No choice was found that holds what must go in.
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
    cost = np.concatenate([tall * _HAIR * max(float(worth.max()), 1e-9), -worth])
    solved = milp(
        cost,
        constraints=[
            LinearConstraint(inside, lb=0),
            LinearConstraint(np.concatenate([tall, np.zeros(slabs)])[None, :], ub=height + 1e-9),
            _whole_layers(tall, height, slabs),
        ],
        integrality=np.concatenate([np.ones(columns), np.zeros(slabs)]),
        bounds=Bounds(low, 1),
        options={"node_limit": nodes},
    )
    if solved.x is None:
        raise BadValue(
            "must", "more than was found to fit", "within the kiln's height", "Let some of them go."
        )
    groups = tuple(where[c] for c in np.flatnonzero(solved.x[:columns] > 0.5))
    held = float(worth @ (solved.x[columns:] > 0.5))
    short = 0.0 if solved.status == 0 else (-solved.mip_dual_bound - held) / held if held else math.inf
    # The hair is in the bound, and no gain.
    return Choice(groups, short if short > 10 * _HAIR else 0.0)


def _whole_layers(tall: Floats, height: float, slabs: int) -> Any:
    """Rows that hold for whole layers and cut off halves of them.

    Any multiple of the heights, rounded down each, stays within that multiple of the height, rounded
    down (Chvatal 1973, from memory). Without them the linear programme lays half a layer more, and
    the search takes many times as long.
    """
    from scipy.optimize import LinearConstraint
    from scipy.sparse import csr_array

    steps: list[float] = []
    for high in np.unique(tall).tolist():
        if not steps or high > steps[-1] + _NEAR:
            steps.append(high)
    rows: dict[tuple[float, ...], float] = {}
    for step in steps:
        for times in range(1, 6):
            row = np.floor(times * tall / step + 1e-9)
            one = float(np.gcd.reduce(row.astype(np.int64))) or 1.0
            most = math.floor(math.floor(times * height / step + 1e-6) / one)
            key = tuple((row / one).tolist())
            rows[key] = min(most, rows.get(key, math.inf))
    matrix = np.hstack([np.array(list(rows)), np.zeros((len(rows), slabs))])
    return LinearConstraint(csr_array(matrix), ub=np.array(list(rows.values())))


def within_height(
    slabs: Sequence[Footprint],
    classes: Sequence[Sequence[int]],
    pools: Sequence[Sequence[tuple[Spot, ...]]],
    height: float,
    stick: float,
    wanted: Mapping[str, float] | None,
    must: Sequence[str],
) -> tuple[list[tuple[Sequence[int], tuple[Spot, ...]]], float]:
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
    short : float
        As `Choice` has it. [fraction]

    Raises
    ------
    BadValue
        No choice was found that holds what must go in; a slab wanted less than not at all.

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
    return [list(offered[heights[k]].values())[g] for k, g in chosen.groups], chosen.short


def _worths(slabs: Sequence[Footprint], wanted: Mapping[str, float] | None) -> Floats:
    worth = [
        wanted.get(slab.name, 0.0) if wanted is not None else slab.area * slab.thickness for slab in slabs
    ]
    for slab, value in zip(slabs, worth, strict=True):
        if not 0 <= value < math.inf:
            raise BadValue(f"wanted.{slab.name}", value, "0 or more")
    return np.array(worth)

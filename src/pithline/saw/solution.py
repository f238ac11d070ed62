"""The best chain of cuts at one roll and pitch."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.saw.model import Model
from pithline.saw.tables import Setting, Tables
from pithline.saw.uses.wants import Claimed, Wants

__all__ = ["Solution", "best_below", "edges_matter", "follow", "room", "solve", "without_bonus"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """What the planner found. Lines are whole steps of the grid above the pith line.

    Attributes
    ----------
    net : float
        Value of the slabs less all costs.
    cuts : tuple of int
        Upper side of each kerf, from the top down.
    slabs : tuple of (line, choice)
        Upper face and number of the choice in the model's menu, from the top down.
    tables : Tables
        Cut down to this setting's lines; row i is line `first + i`.
    first : int
    setting : Setting
    takes : tuple of (claim, pair)
        For every slab what it takes from the uses, and the number of the pair it is half of (-1: of none).
        Empty where there are no uses.
    claimed : Claimed or None
        The uses' tables, cut down like `tables`.
    proved : bool
        No plan of this setting is worth more; False where a solver ran out of time.
    """

    net: float
    cuts: tuple[int, ...]
    slabs: tuple[tuple[int, int], ...]
    tables: Tables
    first: int
    setting: Setting
    takes: tuple[tuple[int, int], ...] = ()
    claimed: Claimed | None = None
    proved: bool = True


def room(model: Model, edges: bool = True, pitch: float = 0.0) -> Tables:
    """Tables large enough for this log at any roll and pitches up to the given one [m/m].

    Without `edges` only values come out of them, not the slabs' outlines.
    """
    wood, reach = model.wood, model.reach
    radius = float(np.sqrt((wood.outlines**2).sum(axis=2)).max())
    lines = 2 * math.ceil((radius + 0.5 * abs(pitch) * wood.z[-1]) / reach.step) + 2 * reach.kerf + 4
    piths = 2 if wood.second.size else 1
    return Tables.of(wood.z.size, lines, len(model.choices), piths, edges)


def edges_matter(model: Model) -> bool:
    """Whether values are judged by where the edges lie, and not by widths alone."""
    if model.wood.spoilt.any() or (model.pay.finished > 0).any():
        return True
    wants = model.wants
    return wants is not None and bool((np.isfinite(wants.ring_to) | (wants.ring_from > 0)).any())


def solve(model: Model, roll: float, pitch: float, ground: Floats, tables: Tables | None = None) -> Solution:
    """The true optimum of the model at one roll and pitch.

    Parameters
    ----------
    model : Model
    roll, pitch : float
        [rad], [m/m]
    ground : ndarray, shape (2,)
        See `saw.model.grounds`. [m]
    tables : Tables, optional
        Room to work in; made where not given.

    Returns
    -------
    Solution
        With no cuts and `net` 0 where nothing pays.
    """
    tables = room(model, pitch=pitch) if tables is None else tables
    setting = Setting(math.sin(roll), math.cos(roll), float(pitch), float(ground[0]), float(ground[1]))
    if model.wants is not None:
        return _solve_with_uses(model, model.wants, setting, tables)
    from pithline.saw import planner_kernel

    value, line, first, lines = planner_kernel.solve(model.wood, model.reach, model.pay, setting, tables)
    own = tables.cut_to(int(lines))
    cuts, slabs = _trace(int(line), own, model)
    return Solution(
        float(value),
        tuple(first + c for c in cuts),
        tuple((first + f, o) for f, o in slabs),
        own,
        int(first),
        setting,
    )


def _trace(line: int, tables: Tables, model: Model) -> tuple[list[int], list[tuple[int, int]]]:
    """Follow the choices that the kernel noted, from the first cut down."""
    cuts: list[int] = []
    slabs: list[tuple[int, int]] = []
    while line >= 0:
        cuts.append(line)
        face = line - model.reach.kerf
        take = int(tables.take[face])
        if take == -1:
            break
        if take >= 0:
            slabs.append((face, take))
            line = face - int(model.pay.thick[take])
        else:
            line = face + take + 2
    return cuts, slabs


def _solve_with_uses(model: Model, wants: Wants, setting: Setting, tables: Tables) -> Solution:
    from pithline.saw.uses import chain_kernel

    claimed = Claimed.of(wants, model.pay, tables.costs.size, model.wood.z.size)
    _, line, first, lines = chain_kernel.solve(
        model.wood, model.reach, model.pay, wants, setting, tables, claimed
    )
    found = Solution(
        0.0, (), (), tables.cut_to(int(lines)), int(first), setting, (), claimed.cut_to(int(lines))
    )
    if wants.by_solver:
        from pithline.saw.uses.by_solver import best_walk

        return best_walk(found, model)
    return follow(found, model, int(line))


def best_below(solution: Solution, model: Model) -> Floats:
    """Net value of the best plan of the wood below each face, shape (lines,); all uses still open."""
    if solution.claimed is None or model.wants is None:
        return solution.tables.best
    return without_bonus(solution.claimed.best[:, -1], model.wants)


def without_bonus(scores: Floats, wants: Wants) -> Floats:
    """Net values from scores: what ordered pieces count above their price is taken off."""
    heavy = wants.bonus[wants.bonus > 0]
    if not heavy.size:
        return scores
    # One piece counts more than twice what all wood can bring, so the nearest whole number is meant.
    one = float(heavy.min())
    return np.asarray(scores - one * np.round(np.where(np.isfinite(scores), scores, 0.0) / one))


def follow(solution: Solution, model: Model, line: int) -> Solution:
    """The cuts and slabs that the tables of a solution with uses hold, from the first cut's row down.

    Its net value is their sum: what an order counts above its price is not in it.
    """
    from pithline.saw.uses.chain_kernel import unpack

    wants, tables, claimed = model.wants, solution.tables, solution.claimed
    assert wants is not None
    assert claimed is not None
    states, claims = wants.next_state.shape
    kerf, thick, first = model.reach.kerf, model.pay.thick, solution.first
    cuts: list[int] = []
    slabs: list[tuple[int, int]] = []
    takes: list[tuple[int, int]] = []
    state, net = states - 1, 0.0
    while line >= 0:
        cuts.append(first + line)
        net -= float(tables.costs[line])
        face = line - kerf
        take = int(claimed.take[face, state])
        if take == -1:
            break
        if take < -1:
            line = face + take + 2
            continue
        kind, o, which = unpack(take, claims, thick.size)
        slabs.append((first + face, o))
        line = face - int(thick[o])
        if kind == 0:
            takes.append((which, -1))
            net += float(claimed.values[o, which, face])
        else:
            # The price of a pair is already less the cut between its slabs.
            net += float(claimed.paired[o, which, face])
            cuts.append(first + line)
            slabs.append((first + line - kerf, o))
            takes += [(0, which), (0, which)]
            line -= kerf + int(thick[o])
            which = int(wants.single[wants.pairs[which]])
        state = int(wants.next_state[state, which])
    return replace(solution, net=net, cuts=tuple(cuts), slabs=tuple(slabs), takes=tuple(takes))

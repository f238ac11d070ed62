"""The best roll and pitch where slabs are for something: every setting that may be the best is solved."""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from pithline.saw.model import Model
from pithline.saw.solution import edges_matter, room, solve
from pithline.saw.uses.wants import Claimed, Wants

__all__ = ["SOLVER_SETTINGS", "best_scores"]

Floats = NDArray[np.float64]

_THREADS = 2
SOLVER_SETTINGS = 3  # a solver takes a second or many for each
_FEW_STATES = 32  # up to here counting costs less than looking twice


def best_scores(
    model: Model, wants: Wants, rolls: Floats, pitches: Floats, grounds: Floats, both_ways: bool
) -> Floats:
    """Score of the best plan at every roll and pitch: its net value, and the bonus of filled orders.

    With many states every setting is first solved with nothing counted, which no count
    can surpass; then settings are counted in falling order of that bound, until the
    best one found beats all bounds that are left.

    Parameters
    ----------
    rolls : ndarray, shape (rolls,)
        [rad]
    pitches : ndarray, shape (pitches,)
        [m/m]
    grounds : ndarray, shape (turns, 2, 2)
        As `planner_kernel.search` reads them.
    both_ways : bool
        Half a turn on is read from the same tables: turns is then half the rolls.

    Returns
    -------
    ndarray, shape (rolls, pitches)
        -inf where a setting was shown not to be the best.
    """
    if wants.by_solver:
        return _by_solver(model, wants, rolls, pitches, grounds, both_ways)
    states = wants.next_state.shape[0]
    few = states <= _FEW_STATES
    found = _search(model, wants, few or states == 1, rolls, pitches, grounds, both_ways)
    if few:
        return found
    most_bonus = _most_bonus(wants)
    scores = np.full(found.shape, -math.inf)
    order = np.argsort(-found, axis=None, kind="stable")
    best = -math.inf
    turns = grounds.shape[0]
    # A few at a time, so that both threads have work.
    for start in range(0, order.size, 2 * _THREADS):
        some = [np.unravel_index(int(k), found.shape) for k in order[start : start + 2 * _THREADS]]
        if float(found[some[0]]) + most_bonus <= best:
            break

        def one(at: tuple[np.intp, ...]) -> float:
            r, p = int(at[0]), int(at[1])
            ground = grounds[r % turns, r // turns][None, None].repeat(2, axis=1)
            return float(_search(model, wants, True, rolls[[r]], pitches[[p]], ground, False, 1)[0, 0])

        with ThreadPoolExecutor(_THREADS) as pool:
            for at, score in zip(some, pool.map(one, some), strict=True):
                scores[at] = score
                best = max(best, score)
    return scores


def _by_solver(
    model: Model, wants: Wants, rolls: Floats, pitches: Floats, grounds: Floats, both_ways: bool
) -> Floats:
    """The same where a solver keeps the counts: only at settings that promise most with nothing counted."""
    from pithline.saw.uses.by_solver import ordered_pieces

    promised = _search(model, wants, False, rolls, pitches, grounds, both_ways)
    scores = np.full(promised.shape, -math.inf)
    one = float(wants.bonus.max(initial=0.0, where=wants.taken.sum(axis=1) == 1))
    turns, best = grounds.shape[0], -math.inf
    for k in np.argsort(-promised, axis=None, kind="stable")[:SOLVER_SETTINGS]:
        at = np.unravel_index(int(k), promised.shape)
        r, p = int(at[0]), int(at[1])
        if one == 0.0 and promised[at] <= best:
            break
        ground = grounds[r % turns, r // turns]
        found = solve(model, float(rolls[r]), float(pitches[p]), ground)
        scores[at] = found.net + one * ordered_pieces(found, model)
        best = max(best, float(scores[at]))
    return scores


def _most_bonus(wants: Wants) -> float:
    """What all orders together count above their price: the last state's, claim by claim."""
    states = wants.next_state.shape[0]
    best = np.zeros(states)
    for s in range(states):
        for c in range(1, wants.bonus.size):
            to = int(wants.next_state[s, c])
            if 0 <= to < s:
                best[s] = max(best[s], best[to] + wants.bonus[c])
    return float(best[-1])


def _search(
    model: Model,
    wants: Wants,
    counted: bool,
    rolls: Floats,
    pitches: Floats,
    grounds: Floats,
    both_ways: bool,
    threads: int = _THREADS,
) -> Floats:
    from pithline.saw.uses import chain_kernel

    turns = grounds.shape[0]
    scores = np.zeros((turns, 2, pitches.size))

    def part(which: NDArray[np.int64]) -> None:
        found = np.empty((which.size, 2, pitches.size))
        steep = float(np.abs(pitches).max())
        tables, turned = (room(model, edges_matter(model), steep) for _ in range(2))
        claimed, over = (Claimed.of(wants, model.pay, tables.costs.size, model.wood.z.size) for _ in range(2))
        chain_kernel.search(
            model.wood,
            model.reach,
            model.pay,
            wants,
            counted,
            rolls[which],
            pitches,
            grounds[which],
            both_ways,
            tables,
            turned,
            claimed,
            over,
            found,
        )
        scores[which] = found

    parts = [np.arange(turns)[start::threads] for start in range(threads)]
    if threads == 1:
        part(parts[0])
    else:
        with ThreadPoolExecutor(threads) as pool:
            list(pool.map(part, parts))
    return np.concatenate([scores[:, 0], scores[:, 1]]) if both_ways else scores[:, 0]

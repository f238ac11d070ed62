"""The best chain of cuts where slabs are for something and some uses are counted, compiled by numba.

`planner_kernel.best_chain` once more with a state: how many of each counted use are
still open. Uses that nobody counts leave one state, and then it is the same chain with
pairs in it.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pithline.saw.planner_kernel import lay, relaid, setting_lines, turn_over
from pithline.saw.share_kernel import BOX
from pithline.saw.tables import Setting
from pithline.saw.uses.pair_kernel import pair_values
from pithline.saw.uses.worth_kernel import claim_values

__all__ = ["chain", "fill", "search", "solve", "unpack"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "0806c5aa"


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def unpack(take, claims, choices):  # type: ignore[no-untyped-def]
    """Kind (0 slab, 1 pair), menu entry, and claim or pair number of what is sawn."""
    if take < claims * choices:
        return 0, take // claims, take % claims
    rest = take - claims * choices
    return 1, rest % choices, rest // choices


@njit(cache=True, nogil=True, error_model="numpy")
def _ways_on(next_state):  # type: ignore[no-untyped-def]
    """Each claim as one step back among the states, and which states it is closed to.

    Returns
    -------
    back : (claims,) by how many a state's number falls
    closed : (claims, states) 0 where the claim can be taken, else -inf
    """
    states, claims = next_state.shape
    back = np.zeros(claims, dtype=np.int64)
    closed = np.zeros((claims, states))
    for c in range(claims):
        for s in range(states):
            if next_state[s, c] < 0:
                closed[c, s] = -math.inf
            else:
                back[c] = s - next_state[s, c]
    return back, closed


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _take(gain, code, shut, below, best, take):  # type: ignore[no-untyped-def]
    """Raise the best of some states by something sawn, with what is `below` in the states it leads to."""
    for s in range(best.shape[0]):
        whole = gain + below[s] + shut[s]
        better = whole > best[s]
        best[s] = whole if better else best[s]
        take[s] = code if better else take[s]


@njit(cache=True, nogil=True, error_model="numpy")
def chain(reach, pay, wants, next_state, bonus, floor, first, lines, tables, claimed):  # type: ignore[no-untyped-def]
    """The best value of the wood below every face in every state, and the best first cut.

    Parameters
    ----------
    next_state, bonus : of `wants`, or with nothing counted
    floor : (lines + 1,) the highest cut that must be made below a face; -1 where there is
        none; the last is that of the whole log
    claimed : reads values and paired; writes best, after and take, where take is
        -1 to stop, -2 - g for g lines of waste, else see `unpack`

    Returns
    -------
    value, line : with nothing sold yet; the first cut's line, -1 if nothing pays
    """
    kerf, step = reach.kerf, reach.step
    states, claims = next_state.shape
    choices, pairs = pay.thick.shape[0], wants.pairs.shape[0]
    # Taken out of their tuples once: every look into a tuple of arrays in a loop costs as much as the sum.
    allowed, starts, costs = tables.allowed, tables.starts, tables.costs
    values, paired = claimed.values, claimed.paired
    after = claimed.after
    thick, pair_claims = pay.thick, wants.single[wants.pairs]
    piths = tables.pith_low.shape[0] if pay.pith_rule == BOX else 0
    back, closed = _ways_on(next_state)
    # Cuts that may end the waste, best first, for every state; the first of each and what it brings.
    queue = np.empty((states, lines), dtype=np.int64)
    head, tail = np.zeros(states, dtype=np.int64), np.zeros(states, dtype=np.int64)
    ends, brings = np.full(states, -1, dtype=np.int64), np.full(states, -math.inf)
    # Of the face at hand: one row of each, which the processor keeps near.
    best, take = np.empty(states), np.empty(states, dtype=np.int64)
    after[:lines] = -math.inf
    for f in range(lines):
        must = floor[f]
        best[:] = 0.0 if must < 0 else -math.inf
        take[:] = -1
        for o in range(choices):
            t = thick[o]
            i = f - t
            if i < kerf or not allowed[i]:
                continue
            if i >= must:
                for c in range(claims):
                    if values[o, c, f] > -math.inf:
                        gain = values[o, c, f] + bonus[c]
                        b = back[c]
                        _take(gain, o * claims + c, closed[c, b:], after[i, : states - b], best[b:], take[b:])
            below = i - kerf - t
            if below < kerf or not allowed[below] or (must >= 0 and must != i and must > below):
                continue
            for p in range(pairs):
                if paired[o, p, f] > -math.inf and floor[i - kerf] <= below:
                    c = pair_claims[p]
                    code = choices * claims + p * choices + o
                    gain = paired[o, p, f] + bonus[c]
                    b = back[c]
                    _take(gain, code, closed[c, b:], after[below, : states - b], best[b:], take[b:])
        i = f - reach.least_waste
        if i >= kerf and allowed[i]:
            for s in range(states):
                if after[i, s] >= brings[s]:
                    head[s], tail[s], ends[s], brings[s] = 0, 0, i, after[i, s]
                while tail[s] > head[s] and after[queue[s, tail[s] - 1], s] <= after[i, s]:
                    tail[s] -= 1
                queue[s, tail[s]] = i
                tail[s] += 1
        bound = float(max(f - reach.most_waste, must))
        for q in range(piths):
            if f > tables.pith_low[q] / step - first:
                bound = max(bound, tables.pith_high[q] / step - first)
        for s in range(states):
            if ends[s] < bound and tail[s] > head[s]:
                while tail[s] > head[s] and queue[s, head[s]] < bound:
                    head[s] += 1
                some = tail[s] > head[s]
                ends[s] = queue[s, head[s]] if some else -1
                brings[s] = after[ends[s], s] if some else -math.inf
        for s in range(states):
            better = brings[s] > best[s]
            best[s] = brings[s] if better else best[s]
            take[s] = -2 - (f - ends[s]) if better else take[s]
        claimed.best[f] = best
        claimed.take[f] = take
        if f >= kerf and allowed[f]:
            for s in range(states):
                after[f, s] = claimed.best[f - kerf, s] - costs[f]
    value, line = 0.0 if floor[lines] < 0 else -math.inf, -1
    for i in range(lines):
        if starts[i] and i >= floor[lines] and after[i, states - 1] > value:
            value, line = after[i, states - 1], i
    return value, line


@njit(cache=True, nogil=True, error_model="numpy")
def fill(wood, reach, pay, wants, setting, first, lines, tables, claimed):  # type: ignore[no-untyped-def]
    """Fill all tables of one setting but the chain's."""
    lay(wood, reach, pay, setting, first, lines, tables)
    claim_values(wood, pay, wants, first, lines, reach.step, tables, claimed)
    pair_values(wood, pay, wants, reach, first, lines, tables, claimed)


@njit(cache=True, nogil=True, error_model="numpy")
def solve(wood, reach, pay, wants, setting, tables, claimed):  # type: ignore[no-untyped-def]
    """Fill the tables of one setting and find its best chain: value, first cut, first line, lines."""
    first, lines = setting_lines(wood, reach, setting, tables)
    fill(wood, reach, pay, wants, setting, first, lines, tables, claimed)
    floor = np.full(lines + 1, -1, dtype=np.int64)
    value, line = chain(
        reach, pay, wants, wants.next_state, wants.bonus, floor, first, lines, tables, claimed
    )
    return value, line, first, lines


@njit(cache=True, nogil=True, error_model="numpy")
def _turn_claims(reach, pay, lines, claimed, turned):  # type: ignore[no-untyped-def]
    """What the uses are worth in the log turned upside down: upper faces become lower ones."""
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        both = 2 * t + reach.kerf
        for c in range(claimed.values.shape[1]):
            for i in range(lines):
                turned.values[o, c, i] = claimed.values[o, c, lines - 1 - i + t] if i >= t else -math.inf
        for p in range(claimed.paired.shape[1]):
            for i in range(lines):
                turned.paired[o, p, i] = (
                    claimed.paired[o, p, lines - 1 - i + both] if i >= both else -math.inf
                )


@njit(cache=True, nogil=True, error_model="numpy")
def search(  # type: ignore[no-untyped-def]
    wood, reach, pay, wants, counted, rolls, pitches, grounds, both_ways, tables, turned, claimed, over, found
):
    """Best score at every roll and pitch; see `planner_kernel.search`.

    Parameters
    ----------
    counted : whether to count uses; else found is a bound that no plan can pass, less the bonus
    claimed, over : room beside tables and turned
    """
    count = pitches.shape[0]
    nothing = np.zeros(wants.bonus.shape[0])
    next_state = wants.next_state if counted else wants.free
    bonus = wants.bonus if counted else nothing
    for r in range(rolls.shape[0]):
        sine, cosine = math.sin(rolls[r]), math.cos(rolls[r])
        for p in range(count):
            setting = Setting(sine, cosine, pitches[p], grounds[r, 0, 0], grounds[r, 0, 1])
            first, lines = setting_lines(wood, reach, setting, tables)
            fill(wood, reach, pay, wants, setting, first, lines, tables, claimed)
            floor = np.full(lines + 1, -1, dtype=np.int64)
            found[r, 0, p] = chain(
                reach, pay, wants, next_state, bonus, floor, first, lines, tables, claimed
            )[0]
            if both_ways:
                turn_over(reach, pay, lines, tables, turned)
                _turn_claims(reach, pay, lines, claimed, over)
                other = Setting(-sine, -cosine, -pitches[p], grounds[r, 1, 0], grounds[r, 1, 1])
                first = relaid(wood, reach, setting, other, first, lines, turned)
                found[r, 1, count - 1 - p] = chain(
                    reach, pay, wants, next_state, bonus, floor, first, lines, turned, over
                )[0]

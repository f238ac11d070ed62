"""One setting's tables and the best chain of cuts, compiled by numba.

`tests/saw/twin.py` says the same in plain Python, docs/planner.md in words.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pithline.saw.chords_kernel import chords, extents, spans
from pithline.saw.profile_kernel import SOLID, profile_room
from pithline.saw.share_kernel import BOX, rate_of, slab_cost_of
from pithline.saw.tables import Setting
from pithline.saw.value_kernel import slab_values, sold_run

__all__ = [
    "best_chain",
    "lay",
    "relaid",
    "revalue",
    "search",
    "setting_lines",
    "solve",
    "tabulate",
    "turn_over",
]

# Compiled code is kept on disk and looked up by the text of its own file alone. This mark of the
# kernels called from here makes a change in them a change here; a test says what it must be.
_BUILT_ON = "fda57620"


@njit(cache=True, nogil=True, error_model="numpy")
def _piths(wood, setting, offsets, low, high):  # type: ignore[no-untyped-def]
    """Range of heights of each pith line, in the cutting planes' own heights."""
    last = wood.z.shape[0] - 1
    low[0] = min(-offsets[0], -offsets[last])  # the pith line is straight: its ends bound it
    high[0] = max(-offsets[0], -offsets[last])
    for q in range(1, low.shape[0]):
        low[q], high[q] = math.inf, -math.inf
        for j in range(last + 1):
            u = wood.second[j, 0] * setting.sine + wood.second[j, 1] * setting.cosine - offsets[j]
            if not math.isnan(u):  # there is no second pith before the fork
                low[q] = min(low[q], u)
                high[q] = max(high[q], u)


@njit(cache=True, nogil=True, error_model="numpy")
def _cuts(wood, reach, pith_rule, setting, offsets, first, lines, tables):  # type: ignore[no-untyped-def]
    """Cost of each cut, and where bar, pith rule and metal let one be."""
    kerf, step, bar, half = reach.kerf, reach.step, reach.bar + 1e-9, 0.5 * reach.cut_cost
    # Taken out of their tuples once: every look into a tuple of arrays in a loop costs as much as the sum.
    costs, passes, sawn, widest = tables.costs, tables.passes, tables.sawn, tables.widest
    costs[:lines] = 0.0
    passes[:lines] = False
    metal = wood.metal.any()
    for i in range(kerf, lines):
        costs[i] = half * (sawn[i] + sawn[i - kerf])
        fits = max(widest[i], widest[i - kerf]) <= bar
        passes[i] = fits
        if not fits or not (metal or pith_rule == BOX):
            continue
        upper, under = (first + i) * step, (first + i - kerf) * step
        if pith_rule == BOX:
            for q in range(tables.pith_low.shape[0]):
                if under <= tables.pith_high[q] and upper >= tables.pith_low[q]:
                    fits = False
        for q in range(wood.zones.shape[0]):
            if fits and wood.metal[q]:
                centre = wood.zones[q, 0] * setting.sine + wood.zones[q, 1] * setting.cosine
                for j in range(wood.z.shape[0]):
                    u = centre - offsets[j]
                    if wood.present[q, j] and under - wood.zones[q, 2] < u < upper + wood.zones[q, 2]:
                        fits = False
        passes[i] = fits


@njit(cache=True, nogil=True, error_model="numpy")
def _heights(wood, setting):  # type: ignore[no-untyped-def]
    """Lowest and highest bark, in the cutting planes' own heights. [m]"""
    lowest, highest = math.inf, -math.inf
    middle = 0.5 * wood.z[-1]
    for j in range(wood.z.shape[0]):
        offset = setting.pitch * (wood.z[j] - middle)
        for p in range(wood.over_bark.shape[1]):
            u = wood.over_bark[j, p, 0] * setting.sine + wood.over_bark[j, p, 1] * setting.cosine - offset
            lowest = u if u < lowest else lowest
            highest = u if u > highest else highest
    return lowest, highest


@njit(cache=True, nogil=True, error_model="numpy")
def _reached(wood, reach, setting, highest, first, lines, tables):  # type: ignore[no-untyped-def]
    """Of the cuts that pass, write which clear the ground, and which may be the first."""
    kerf, step = reach.kerf, reach.step
    rise = setting.pitch * 0.5 * wood.z[-1]
    # The rail lies clear over the highest bark, and the mill reaches so far down from it.
    rail_floor = highest + reach.rail_clear - (reach.depth_max - kerf) * step
    passes, allowed, starts = tables.passes, tables.allowed, tables.starts
    for i in range(lines):
        upper, under = (first + i) * step, (first + i - kerf) * step
        fits = i >= kerf and passes[i]
        # Ground and cut are straight between the ends, so the ends decide.
        fits = fits and under - rise >= setting.ground_butt - 1e-9
        fits = fits and under + rise >= setting.ground_top - 1e-9
        allowed[i] = fits
        starts[i] = fits and upper >= rail_floor - 1e-9


@njit(cache=True, nogil=True, error_model="numpy")
def lay(wood, reach, pay, setting, first, lines, tables):  # type: ignore[no-untyped-def]
    """Fill all of `tables` but the slabs' values for one setting."""
    stations = wood.z.shape[0]
    middle = 0.5 * wood.z[stations - 1]
    offsets = np.empty(stations)
    for j in range(stations):
        offsets[j] = setting.pitch * (wood.z[j] - middle)
    chords(wood, setting, offsets, first, lines, reach.step, tables)
    extents(wood, setting, offsets, first, lines, reach.step, tables)
    if pay.rule == SOLID:
        for j in range(stations):
            tables.below[j, 0] = 0.0
            for i in range(1, lines):
                slice_ = 0.5 * reach.step * (tables.width[j, i - 1] + tables.width[j, i])
                tables.below[j, i] = tables.below[j, i - 1] + slice_
    if pay.per_volume.max() > 0.0:
        face = tables.face[:lines]
        face[:] = 0.0
        for j in range(1, stations):
            half = 0.5 * (wood.z[j] - wood.z[j - 1])
            before, here = tables.width[j - 1, :lines], tables.width[j, :lines]
            for i in range(lines):
                face[i] += half * (before[i] + here[i])
    _piths(wood, setting, offsets, tables.pith_low, tables.pith_high)
    _cuts(wood, reach, pay.pith_rule, setting, offsets, first, lines, tables)
    _reached(wood, reach, setting, _heights(wood, setting)[1], first, lines, tables)


@njit(cache=True, nogil=True, error_model="numpy")
def tabulate(wood, reach, pay, setting, first, lines, tables):  # type: ignore[no-untyped-def]
    """Fill `tables` for one setting; only the first `lines` lines are written."""
    lay(wood, reach, pay, setting, first, lines, tables)
    slab_values(wood, pay, first, lines, reach.step, tables)


@njit(cache=True, nogil=True, error_model="numpy")
def best_chain(reach, thick, boxed_low, boxed_high, lines, tables):  # type: ignore[no-untyped-def]
    """The best value of the wood below every face, and the best first cut.

    A face f is the lower side of a kerf. Below it lies a slab, or waste, and then
    the next cut, whose kerf has its upper side at line i; or nothing more is sawn.

    Parameters
    ----------
    boxed_low, boxed_high : (piths,) in lines; waste may not hold what lies between
    tables : reads values, costs, allowed, starts; writes best and take, where take
        is a thickness number, -1 to stop, or -2 - g for g lines of waste

    Returns
    -------
    value, line : of the whole log; the first cut's line, -1 if nothing pays
    """
    kerf = reach.kerf
    best, take, allowed = tables.best, tables.take, tables.allowed
    after = np.full(lines, -math.inf)  # a cut at this line and all below it
    queue = np.empty(lines, dtype=np.int64)  # cuts that may end the waste, best first
    head, tail = 0, 0
    for f in range(lines):
        best[f] = 0.0
        take[f] = -1
        for o in range(thick.shape[0]):
            i = f - thick[o]
            if i >= kerf and allowed[i]:
                value = tables.values[o, f] + after[i]
                if value > best[f]:
                    best[f] = value
                    take[f] = o
        # The cuts within reach of a waste piece form a window that slides with f.
        i = f - reach.least_waste
        if i >= kerf and allowed[i]:
            while tail > head and after[queue[tail - 1]] <= after[i]:
                tail -= 1
            queue[tail] = i
            tail += 1
        bound = float(f - reach.most_waste)
        for q in range(boxed_low.shape[0]):
            if f > boxed_low[q]:
                bound = max(bound, boxed_high[q])
        while tail > head and queue[head] < bound:
            head += 1
        if tail > head and after[queue[head]] > best[f]:
            best[f] = after[queue[head]]
            take[f] = -2 - (f - queue[head])
        if f >= kerf and allowed[f]:
            after[f] = best[f - kerf] - tables.costs[f]
    value, line = 0.0, -1
    for i in range(lines):
        if tables.starts[i] and after[i] > value:
            value, line = after[i], i
    return value, line


@njit(cache=True, nogil=True, error_model="numpy")
def _chain(reach, pay, first, lines, tables):  # type: ignore[no-untyped-def]
    """The best chain of filled tables: value, first cut."""
    piths = tables.pith_low.shape[0] if pay.pith_rule == BOX else 0
    boxed_low = tables.pith_low[:piths] / reach.step - first
    boxed_high = tables.pith_high[:piths] / reach.step - first
    return best_chain(reach, pay.thick, boxed_low, boxed_high, lines, tables)


@njit(cache=True, nogil=True, error_model="numpy")
def setting_lines(wood, reach, setting, tables):  # type: ignore[no-untyped-def]
    """First line of a setting, and how many there are."""
    first, lines = spans(wood, setting, reach.step)
    # A kerf may lie outside the wood at the top as at the bottom and bare a narrow first face.
    first -= reach.kerf
    return first, min(lines + reach.kerf - first + 1, tables.costs.shape[0])


@njit(cache=True, nogil=True, error_model="numpy")
def solve(wood, reach, pay, setting, tables):  # type: ignore[no-untyped-def]
    """Tabulate one setting and find its best chain: value, first cut, first line, lines."""
    first, lines = setting_lines(wood, reach, setting, tables)
    tabulate(wood, reach, pay, setting, first, lines, tables)
    value, line = _chain(reach, pay, first, lines, tables)
    return value, line, first, lines


@njit(cache=True, nogil=True, error_model="numpy")
def turn_over(reach, pay, lines, tables, turned):  # type: ignore[no-untyped-def]
    """Write to `turned` what `tables` say of the log turned upside down.

    The planes are the same ones, counted from the other side: a slab keeps its value
    and its upper face becomes its lower one, and so does a kerf's upper side.
    """
    kerf = reach.kerf
    for i in range(lines):
        turned.costs[i] = 0.0
        turned.passes[i] = False
        if i >= kerf:
            turned.costs[i] = tables.costs[lines - 1 - i + kerf]
            turned.passes[i] = tables.passes[lines - 1 - i + kerf]
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        for i in range(lines):
            turned.values[o, i] = tables.values[o, lines - 1 - i + t] if i >= t else -math.inf
    for q in range(tables.pith_low.shape[0]):
        turned.pith_low[q], turned.pith_high[q] = -tables.pith_high[q], -tables.pith_low[q]


@njit(cache=True, nogil=True, error_model="numpy")
def relaid(wood, reach, setting, over, first, lines, turned):  # type: ignore[no-untyped-def]
    """Lay a turned log's cuts on the ground; its first line.

    The lowest bark is the highest then, and what rose towards the top falls.
    """
    first = 1 - first - lines
    _reached(wood, reach, over, -_heights(wood, setting)[0], first, lines, turned)
    return first


@njit(cache=True, nogil=True, error_model="numpy")
def search(wood, reach, pay, rolls, pitches, grounds, both_ways, tables, turned, found):  # type: ignore[no-untyped-def]
    """Best value at every roll and pitch.

    Parameters
    ----------
    grounds : (rolls, 2, 2) the lowest allowed kerf at butt and top, at each roll and
        half a turn on [m]
    both_ways : whether to value half a turn on as well, from the same tables; the
        pitches must then run from one value to its negative
    tables, turned : room
    found : (rolls, 2, pitches), written: at each roll, and half a turn on
    """
    count = pitches.shape[0]
    for r in range(rolls.shape[0]):
        sine, cosine = math.sin(rolls[r]), math.cos(rolls[r])
        for p in range(count):
            setting = Setting(sine, cosine, pitches[p], grounds[r, 0, 0], grounds[r, 0, 1])
            value, _, first, lines = solve(wood, reach, pay, setting, tables)
            found[r, 0, p] = value
            if both_ways:
                turn_over(reach, pay, lines, tables, turned)
                over = Setting(-sine, -cosine, -pitches[p], grounds[r, 1, 0], grounds[r, 1, 1])
                first = relaid(wood, reach, setting, over, first, lines, turned)
                found[r, 1, count - 1 - p] = _chain(reach, pay, first, lines, turned)[0]


@njit(cache=True, nogil=True, error_model="numpy")
def revalue(wood, reach, pay, setting, first, lines, cuts, slabs, tables):  # type: ignore[no-untyped-def]
    """Net value and tally of given cuts and slabs in a log: where they were planned for another.

    Parameters
    ----------
    cuts : (cuts,) line of each, counted from `first`
    slabs : (slabs, 2) line of the upper face, and thickness number
    """
    lay(wood, reach, pay, setting, first, lines, tables)
    net, tally = 0.0, 0.0
    for c in cuts:
        net -= tables.costs[c]
    profile = profile_room(wood.usable_to - wood.usable_from, 1)
    for s in range(slabs.shape[0]):
        row, o = slabs[s, 0], slabs[s, 1]
        net -= slab_cost_of(pay, o, row, pay.thick[o], reach.step, tables)  # handled, whatever it is worth
        rate = rate_of(wood, pay, o, first, row, reach.step, tables)
        if rate > 0.0:
            sold = sold_run(wood, pay, o, row, reach.step, tables, profile)
            net += rate * sold[0]
            tally += sold[5]
    return net, tally

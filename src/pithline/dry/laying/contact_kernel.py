"""Layers built slab by slab, each slid against those that lie, by a beam of the best halves.

Compiled by numba; tests/dry/test_charge.py lays the outlines out with shapely. Whole numbers
throughout: cells along, grains across, so a result does not hang on rounding.
"""

from __future__ import annotations

import numpy as np
from numba import njit

__all__ = ["build", "slide"]


@njit(cache=True, nogil=True)
def slide(front, low, cells, at):  # type: ignore[no-untyped-def]
    """How far across a profile comes to rest against the front of what lies. [GRAIN]"""
    rest = np.int32(0)
    for k in range(cells):
        y = front[at + k] - low[k]
        rest = y if y > rest else rest
    return rest


@njit(cache=True, nogil=True)
def _places(starts, ends, count, cells, step, last, places):  # type: ignore[no-untyped-def]
    """Where along a slab is tried: every step, flush with the far end, end to end with others."""
    found = 0
    for at in range(0, last + 1, step):
        places[found] = at
        found += 1
    if last % step:
        places[found] = last
        found += 1
    for j in range(count):
        if 0 < ends[j] < last and ends[j] % step:
            places[found] = ends[j]
            found += 1
        at = starts[j] - cells
        if 0 < at < last and at % step:
            places[found] = at
            found += 1
    return found


@njit(cache=True, nogil=True)
def build(  # type: ignore[no-untyped-def]
    low, high, cells, own, worth, keys, length, width, step, most, beam, sets, places, counts, totals
):
    """Layers of great worth; returns how many were written to `sets` and its fellows.

    low, high (ways, length) and cells, own (ways,): the profiles. worth, keys (slabs,): what a
    slab adds, 0 = leave it out, and a random word each. most: slabs a layer. beam: halves kept.
    sets (room, most): ways laid, in the order they are laid; places (room, most, 2): cell along
    and grain across; counts, totals (room,): slabs and worth of each.
    """
    ways = cells.shape[0]
    room = sets.shape[0]
    tops = np.zeros(ways, np.int32)
    sums = np.zeros(ways, np.int64)
    for w in range(ways):
        for k in range(cells[w]):
            tops[w] = max(tops[w], high[w, k])
            sums[w] += high[w, k]
    whole = np.float64(length) * width
    front = np.zeros((beam, length), np.int32)
    laid = np.zeros((beam, most), np.int32)
    spots = np.zeros((beam, most, 2), np.int32)
    gained = np.zeros(beam)
    marks = np.zeros(beam, np.uint64)
    states, written = 1, 0
    tries = np.zeros(length + 2 * most + 2, np.int32)
    before = np.zeros(length + 1, np.int64)
    starts, ends = np.zeros(most, np.int32), np.zeros(most, np.int32)
    taken = np.zeros(worth.shape[0], np.bool_)
    for depth in range(most):
        kept = 0
        scores = np.full(beam, -1e30)
        which = np.zeros((beam, 4), np.int32)  # state, way, along, across
        names = np.zeros(beam, np.uint64)
        worst = 0
        for b in range(states):
            before[0] = 0
            for k in range(length):
                before[k + 1] = before[k] + front[b, k]
            taken[:] = False
            for j in range(depth):
                taken[own[laid[b, j]]] = True
                starts[j], ends[j] = spots[b, j, 0], spots[b, j, 0] + cells[laid[b, j]]
            for w in range(ways):
                i = own[w]
                if worth[i] <= 0 or taken[i]:
                    continue
                reach = cells[w]
                count = _places(starts, ends, depth, reach, step, length - reach, tries)
                name = marks[b] ^ keys[i]
                for t in range(count):
                    at = tries[t]
                    # What the slab would cover at the least: without any hollow behind it.
                    behind = before[at + reach] - before[at]
                    rest = slide(front[b], low[w], reach, at)
                    if rest + tops[w] > width:
                        continue
                    covered = before[length] + rest * np.int64(reach) + sums[w] - behind
                    score = gained[b] + worth[i] + 1.0 - covered / whole
                    if kept == beam and score <= scores[worst]:
                        continue
                    slot = -1
                    for c in range(kept):
                        if names[c] == name:
                            slot = c
                            break
                    if slot >= 0:
                        if score <= scores[slot]:
                            continue
                    elif kept < beam:
                        slot = kept
                        kept += 1
                    else:
                        slot = worst
                    scores[slot], names[slot] = score, name
                    which[slot, 0], which[slot, 1], which[slot, 2], which[slot, 3] = b, w, at, rest
                    worst = 0
                    for c in range(1, kept):
                        if scores[c] < scores[worst]:
                            worst = c
        if kept == 0:
            break
        new_front, new_laid, new_spots = front.copy(), laid.copy(), spots.copy()
        new_gained, new_marks = gained.copy(), marks.copy()
        for c in range(kept):
            b, w, at, rest = which[c, 0], which[c, 1], which[c, 2], which[c, 3]
            new_front[c] = front[b]
            for k in range(cells[w]):
                new_front[c, at + k] = rest + high[w, k]
            new_laid[c], new_spots[c] = laid[b], spots[b]
            new_laid[c, depth] = w
            new_spots[c, depth, 0], new_spots[c, depth, 1] = at, rest
            new_gained[c] = gained[b] + worth[own[w]]
            new_marks[c] = names[c]
            if written < room:
                sets[written], places[written] = new_laid[c], new_spots[c]
                counts[written], totals[written] = depth + 1, new_gained[c]
                written += 1
        front, laid, spots, gained, marks = new_front, new_laid, new_spots, new_gained, new_marks
        states = kept
    return written

"""Bounding rectangles in one layer: whether a group fits at all, and every group that does.

Compiled by numba. Exact: in a layout whose rectangles are pushed to the near end as far as they go
each begins where another ends, or at the end of the layer; and whatever lies side by side can be
laid in the order of the left sides. Trying all such ends, then all such orders, misses none.
"""

from __future__ import annotations

import numpy as np
from numba import njit

__all__ = ["every_group", "pack"]

MOST = 12  # rectangles in one layer


@njit(cache=True, nogil=True)
def _across(lengths, widths, count, width, along, across, spent, budget):  # type: ignore[no-untyped-def]
    """Sides for rectangles whose near ends are known: 1, 0 or -1 as in `pack`, and what was spent."""
    order = np.full(count, -1, np.int64)
    used = np.zeros(count, np.bool_)
    item = np.zeros(count + 1, np.int64)
    depth = 0
    while depth >= 0:
        if order[depth] >= 0:
            used[order[depth]] = False
            order[depth] = -1
        placed = False
        while item[depth] < count:
            i = item[depth]
            item[depth] += 1
            if used[i]:
                continue
            spent += 1
            if spent > budget:
                return -1, spent
            rest = np.int64(0)
            for d in range(depth):
                j = order[d]
                if along[j] < along[i] + lengths[i] and along[i] < along[j] + lengths[j]:
                    rest = max(rest, across[j] + widths[j])
            # Laid in the order of their left sides; of those on one line, by their numbers.
            before = order[depth - 1] if depth else -1
            if before >= 0 and (rest < across[before] or (rest == across[before] and i < before)):
                continue
            if rest + widths[i] > width:
                continue
            order[depth], across[i], used[i] = i, rest, True
            placed = True
            break
        if not placed:
            depth -= 1
        elif depth == count - 1:
            return 1, spent
        else:
            depth += 1
            item[depth] = 0
    return 0, spent


@njit(cache=True, nogil=True)
def _longest(lengths, used, count):  # type: ignore[no-untyped-def]
    """Of the rectangles that do not lie yet."""
    most = np.int64(0)
    for i in range(count):
        if not used[i]:
            most = max(most, lengths[i])
    return most


@njit(cache=True, nogil=True)
def _room_at(lengths, widths, along, order, depth, at):  # type: ignore[no-untyped-def]
    """Width taken at a place by the first `depth` rectangles of an order."""
    taken = np.int64(0)
    for d in range(depth):
        j = order[d]
        if along[j] <= at < along[j] + lengths[j]:
            taken += widths[j]
    return taken


@njit(cache=True, nogil=True)
def _lost(lengths, widths, along, order, depth, at, width):  # type: ignore[no-untyped-def]
    """Area short of a place that the first `depth` rectangles leave empty."""
    area = at * width
    for d in range(depth):
        j = order[d]
        area -= widths[j] * max(np.int64(0), min(at, along[j] + lengths[j]) - along[j])
    return area


@njit(cache=True, nogil=True)
def _part(size, whole, k):  # type: ignore[no-untyped-def]
    """What a size counts for in twelfths of the whole, sizes that exclude each other rounded up.

    Whatever lies side by side within the whole never counts for more than twelve (the dual
    feasible functions u(k) of S. P. Fekete and J. Schepers 2001, from memory); k = 0 is the
    size itself.
    """
    if k == 0:
        return 12.0 * size / whole
    steps = (k + 1) * size
    if steps % whole == 0:
        return 12.0 * size / whole
    return 12.0 * (steps // whole) / k


@njit(cache=True, nogil=True)
def _too_much(lengths, widths, count, length, width):  # type: ignore[no-untyped-def]
    """Whether the rectangles are more than the layer by some way of counting them."""
    for p in range(5):
        for q in range(5):
            total = 0.0
            for i in range(count):
                total += _part(lengths[i], length, p) * _part(widths[i], width, q)
            if total > 144 + 1e-6:
                return True
    return False


@njit(cache=True, nogil=True)
def pack(lengths, widths, count, length, width, along, across, budget):  # type: ignore[no-untyped-def]
    """Lay rectangles into one layer: 1 and their places, 0 where they cannot lie, -1 not settled.

    lengths, widths (count,) and the layer's length and width: whole numbers. along, across
    (count,): filled in. budget: placements tried before giving up.
    """
    total, area, mid = 0, np.int64(0), 0
    for i in range(count):
        if lengths[i] > length or widths[i] > width:
            return 0
        total += widths[i]
        area += np.int64(lengths[i]) * widths[i]
        if 2 * lengths[i] > length:
            mid += widths[i]
    if total <= width:
        reached = 0
        for i in range(count):
            along[i], across[i] = 0, reached
            reached += widths[i]
        return 1
    # Two longer than half the layer always pass each other at its middle.
    spare = np.int64(length) * width - area
    if spare < 0 or mid > width or _too_much(lengths, widths, count, length, width):
        return 0
    # Depth first, without recursion: at each depth the next (rectangle, end it begins at) to try.
    order = np.full(count, -1, np.int64)
    used = np.zeros(count, np.bool_)
    item, where = np.zeros(count + 1, np.int64), np.zeros(count + 1, np.int64)
    depth, spent = 0, np.int64(0)
    while depth >= 0:
        if order[depth] >= 0:
            used[order[depth]] = False
            order[depth] = -1
        placed = False
        while item[depth] < count:
            i = item[depth]
            if used[i] or where[depth] > depth:
                item[depth] += 1
                where[depth] = 0
                continue
            q = where[depth]
            where[depth] += 1
            at = np.int64(0) if q == 0 else along[order[q - 1]] + lengths[order[q - 1]]
            spent += 1
            if spent > budget:
                return -1
            before = order[depth - 1] if depth else -1
            if before >= 0 and (at < along[before] or (at == along[before] and i < before)):
                continue
            # None that is still to come begins before this one.
            if at + _longest(lengths, used, count) > length:
                continue
            # They begin in rising order, so what is taken at its near end is taken most.
            if _room_at(lengths, widths, along, order, depth, at) + widths[i] > width:
                continue
            if _lost(lengths, widths, along, order, depth, at, width) > spare:
                continue
            order[depth], along[i], used[i] = i, at, True
            placed = True
            break
        if not placed:
            depth -= 1
            continue
        if depth == count - 1:
            fits, spent = _across(lengths, widths, count, width, along, across, spent, budget)
            if fits:
                return fits
            continue
        depth += 1
        item[depth], where[depth] = 0, 0
    return 0


@njit(cache=True, nogil=True)
def _small(lengths, widths, length, width, pairs, triples):  # type: ignore[no-untyped-def]
    """Which pairs and which threes fit, in rising order of their numbers."""
    slabs = lengths.shape[0]
    long, wide = np.zeros(3, np.int64), np.zeros(3, np.int64)
    a, c = np.zeros(3, np.int64), np.zeros(3, np.int64)
    for i in range(slabs):
        long[0], wide[0] = lengths[i], widths[i]
        for j in range(i + 1, slabs):
            long[1], wide[1] = lengths[j], widths[j]
            pairs[i, j] = pack(long, wide, 2, length, width, a, c, 1000) == 1
    for i in range(slabs):
        long[0], wide[0] = lengths[i], widths[i]
        for j in range(i + 1, slabs):
            if not pairs[i, j]:
                continue
            long[1], wide[1] = lengths[j], widths[j]
            for k in range(j + 1, slabs):
                if pairs[i, k] and pairs[j, k]:
                    long[2], wide[2] = lengths[k], widths[k]
                    triples[i, j, k] = pack(long, wide, 3, length, width, a, c, 10000) == 1


@njit(cache=True, nogil=True)
def _may(chosen, depth, i, pairs, triples):  # type: ignore[no-untyped-def]
    """Whether every pair and three of a set with `i` added fits."""
    for p in range(depth):
        if not pairs[chosen[p], i]:
            return False
        for q in range(p + 1, depth):
            if not triples[chosen[p], chosen[q], i]:
                return False
    return True


@njit(cache=True, nogil=True)
def every_group(lengths, widths, length, width, budget, groups, counts, pairs, triples):  # type: ignore[no-untyped-def]
    """Every set of rectangles that fits one layer and cannot take one more of a later number.

    groups (room, MOST), counts (room,), pairs (slabs, slabs) and triples (slabs, slabs, slabs):
    filled in. budget: placements tried for one set before it is left out. Returns how many, and
    whether that is all of them: False where the room, the layer or a budget gave out.
    """
    slabs = lengths.shape[0]
    room = groups.shape[0]
    _small(lengths, widths, length, width, pairs, triples)
    chosen = np.zeros(MOST + 1, np.int64)
    nxt = np.zeros(MOST + 2, np.int64)
    grew = np.zeros(MOST + 2, np.bool_)
    long, wide = np.zeros(MOST, np.int64), np.zeros(MOST, np.int64)
    a, c = np.zeros(MOST, np.int64), np.zeros(MOST, np.int64)
    found, depth, whole = 0, 0, True
    while depth >= 0:
        advanced = False
        while nxt[depth] < slabs:
            i = nxt[depth]
            nxt[depth] += 1
            # A part of what fits fits: so sets grow only out of sets that fit.
            if not _may(chosen, depth, i, pairs, triples):
                continue
            if depth == MOST:
                whole = False
                break
            long[depth], wide[depth] = lengths[i], widths[i]
            fits = pack(long, wide, depth + 1, length, width, a, c, budget)
            if fits < 0:
                whole = False
            if fits == 1:
                chosen[depth] = i
                grew[depth] = True
                depth += 1
                nxt[depth], grew[depth] = i + 1, False
                advanced = True
                break
        if advanced:
            continue
        if depth > 0 and not grew[depth]:
            if found == room:
                return found, False
            for j in range(depth):
                groups[found, j] = chosen[j]
            counts[found] = depth
            found += 1
        depth -= 1
    return found, whole

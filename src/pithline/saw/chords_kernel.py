"""Where parallel lines cross the outlines: the hot loop under every plan.

Compiled by numba; `tests/saw/twin.py` holds a plain twin. A line has the height
``(first + i) * step + slope * (z - middle)`` above the pith line in a log rolled
anticlockwise by `roll`. All arrays are float64, lines run fastest.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

__all__ = ["chords", "extents", "spans"]

_MOST_CROSSINGS = 64  # of one line with one outline; a log is not that ragged


@njit(cache=True, nogil=True, error_model="numpy")
def spans(wood, setting, step):  # type: ignore[no-untyped-def]
    """Lowest and highest grid line that touch the wood: two whole numbers."""
    low = math.inf
    high = -math.inf
    middle = 0.5 * wood.z[-1]
    for j in range(wood.z.shape[0]):
        offset = setting.pitch * (wood.z[j] - middle)
        for p in range(wood.outlines.shape[1]):
            u = wood.outlines[j, p, 0] * setting.sine + wood.outlines[j, p, 1] * setting.cosine - offset
            low = min(low, u)
            high = max(high, u)
    return math.floor(low / step), math.ceil(high / step)


@njit(cache=True, nogil=True, error_model="numpy")
def _edges(points, sine, cosine, offset, first, lines, step, left, right):  # type: ignore[no-untyped-def]
    """Leftmost and rightmost crossing of each line with one outline.

    Returns how often the outline turns between rising and falling: 2 for one that
    every line crosses at most twice.
    """
    count = points.shape[0]
    for i in range(lines):
        left[i] = math.inf
        right[i] = -math.inf
    turns = 0
    before = 0.0
    opening = 0.0
    x, y = points[count - 1, 0], points[count - 1, 1]
    va = x * cosine - y * sine
    ua = (x * sine + y * cosine - offset) / step - first
    for p in range(count):
        x, y = points[p, 0], points[p, 1]
        vb = x * cosine - y * sine
        ub = (x * sine + y * cosine - offset) / step - first
        rise = ub - ua
        if rise != 0.0:
            if opening == 0.0:
                opening = rise
            elif before * rise < 0.0:
                turns += 1
            before = rise
            slope = (vb - va) / rise
            # Half open: a vertex on a line counts for one of its two edges only.
            low, high = (ua, ub) if rise > 0.0 else (ub, ua)
            i0 = max(0, math.ceil(low))
            i1 = min(lines, math.ceil(high))
            for i in range(i0, i1):
                v = va + (i - ua) * slope
                if v < left[i]:
                    left[i] = v
                if v > right[i]:
                    right[i] = v
        ua, va = ub, vb
    if before * opening < 0.0:
        turns += 1
    for i in range(lines):
        if left[i] > right[i]:
            left[i] = 0.0
            right[i] = 0.0
    return turns


@njit(cache=True, nogil=True, error_model="numpy")
def _widest_run(points, sine, cosine, offset, first, step, line, left, right):  # type: ignore[no-untyped-def]
    """Replace one line's extent by its widest run inside a non-convex outline."""
    crossings = np.empty(_MOST_CROSSINGS)
    found = 0
    count = points.shape[0]
    x, y = points[count - 1, 0], points[count - 1, 1]
    va = x * cosine - y * sine
    ua = (x * sine + y * cosine - offset) / step - first
    for p in range(count):
        x, y = points[p, 0], points[p, 1]
        vb = x * cosine - y * sine
        ub = (x * sine + y * cosine - offset) / step - first
        low, high = min(ua, ub), max(ua, ub)
        if low <= line < high and found < _MOST_CROSSINGS:
            crossings[found] = va + (line - ua) * (vb - va) / (ub - ua)
            found += 1
        ua, va = ub, vb
    inside = np.sort(crossings[:found])
    best = -1.0
    for c in range(0, found - 1, 2):
        if inside[c + 1] - inside[c] > best:
            best = inside[c + 1] - inside[c]
            left[line] = inside[c]
            right[line] = inside[c + 1]


@njit(cache=True, nogil=True, error_model="numpy")
def _clear_run(left, right, u, centres_v, centres_u, radii, spoils):  # type: ignore[no-untyped-def]
    """The widest part of one chord outside the zones that spoil the wood."""
    gaps = 0
    start = np.empty(spoils.shape[0])
    stop = np.empty(spoils.shape[0])
    for q in range(spoils.shape[0]):
        if not spoils[q]:
            continue
        h = u - centres_u[q]
        if abs(h) < radii[q]:
            half = math.sqrt(radii[q] * radii[q] - h * h)
            a, b = centres_v[q] - half, centres_v[q] + half
            if b > left and a < right:
                at = gaps
                while at > 0 and start[at - 1] > a:  # insertion keeps the gaps in order
                    start[at] = start[at - 1]
                    stop[at] = stop[at - 1]
                    at -= 1
                start[at] = a
                stop[at] = b
                gaps += 1
    if gaps == 0:
        return left, right
    best_left, best_right = left, left
    edge = left
    for q in range(gaps):
        if start[q] - edge > best_right - best_left:
            best_left, best_right = edge, start[q]
        edge = max(edge, stop[q])
    if right - edge > best_right - best_left:
        best_left, best_right = edge, right
    return best_left, best_right


@njit(cache=True, nogil=True, error_model="numpy")
def chords(wood, setting, offsets, first, lines, step, tables):  # type: ignore[no-untyped-def]
    """Write the edges of the sound wood on every line at every station.

    Parameters
    ----------
    offsets : (stations,) rise of the cutting planes at each station [m]
    first, lines, step : number of the lowest line, how many, grid [m]
    tables : left, right and figured are written [m]
    """
    left, right = tables.left, tables.right
    sine, cosine = setting.sine, setting.cosine
    count = wood.zones.shape[0]
    zone_v = np.empty(count)
    zone_u = np.empty(count)
    spoiling = np.empty(count, dtype=np.bool_)
    for j in range(wood.z.shape[0]):
        points = wood.outlines[j]
        turns = _edges(points, sine, cosine, offsets[j], first, lines, step, left[j], right[j])
        if turns > 2:
            for i in range(lines):
                if right[j, i] > left[j, i]:
                    _widest_run(points, sine, cosine, offsets[j], first, step, i, left[j], right[j])
        if count == 0:
            continue
        for q in range(count):
            zone_v[q] = wood.zones[q, 0] * cosine - wood.zones[q, 1] * sine
            zone_u[q] = wood.zones[q, 0] * sine + wood.zones[q, 1] * cosine - offsets[j]
            spoiling[q] = wood.present[q, j] and wood.spoils[q]
        for i in range(lines):
            u = (first + i) * step
            if wood.spoilt[j] and right[j, i] > left[j, i]:
                left[j, i], right[j, i] = _clear_run(
                    left[j, i], right[j, i], u, zone_v, zone_u, wood.zones[:, 2], spoiling
                )
            width = 0.0
            for q in range(count):
                h = u - zone_u[q]
                if wood.present[q, j] and not wood.spoils[q] and abs(h) < wood.zones[q, 2]:
                    half = math.sqrt(wood.zones[q, 2] * wood.zones[q, 2] - h * h)
                    width += max(0.0, min(right[j, i], zone_v[q] + half) - max(left[j, i], zone_v[q] - half))
            tables.figured[j, i] = min(width, right[j, i] - left[j, i])


@njit(cache=True, nogil=True, error_model="numpy")
def extents(outlines, setting, offsets, first, lines, step, tables):  # type: ignore[no-untyped-def]
    """Write what the bar must pass on every line at every station to `tables.span`. [m]"""
    for j in range(outlines.shape[0]):
        _edges(
            outlines[j],
            setting.sine,
            setting.cosine,
            offsets[j],
            first,
            lines,
            step,
            tables.scratch,
            tables.span[j],
        )
        for i in range(lines):
            tables.span[j, i] -= tables.scratch[i]

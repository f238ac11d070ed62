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
    """Left and right crossing of each line with one outline; 0 and 0 where it misses.

    An anticlockwise outline rises on its right and falls on its left. That holds for
    one that rises once and falls once; returns whether this one does.
    """
    count = points.shape[0]
    left[:lines] = 0.0
    right[:lines] = 0.0
    turns = 0
    before = 0.0
    opening = 0.0
    # Heights in lines from the first: the roll, the grid and the offset in one sum each.
    s, c, base = sine / step, cosine / step, offset / step + first
    x, y = points[count - 1, 0], points[count - 1, 1]
    va = x * cosine - y * sine
    ua = x * s + y * c - base
    for p in range(count):
        x, y = points[p, 0], points[p, 1]
        vb = x * cosine - y * sine
        ub = x * s + y * c - base
        rise = ub - ua
        if rise != 0.0:
            if opening == 0.0:
                opening = rise
            elif before * rise < 0.0:
                turns += 1
            before = rise
            slope = (vb - va) / rise
            start = va - ua * slope
            # Half open: a vertex on a line counts for one of its two edges only.
            if rise > 0.0:
                for i in range(max(0, math.ceil(ua)), min(lines, math.ceil(ub))):
                    right[i] = start + i * slope
            else:
                for i in range(max(0, math.ceil(ub)), min(lines, math.ceil(ua))):
                    left[i] = start + i * slope
        ua, va = ub, vb
    if before * opening < 0.0:
        turns += 1
    return turns <= 2


@njit(cache=True, nogil=True, error_model="numpy")
def _crossings(points, sine, cosine, offset, first, step, line, found):  # type: ignore[no-untyped-def]
    """All crossings of one line with one outline, in order; returns how many."""
    many = 0
    count = points.shape[0]
    x, y = points[count - 1, 0], points[count - 1, 1]
    va = x * cosine - y * sine
    ua = (x * sine + y * cosine - offset) / step - first
    for p in range(count):
        x, y = points[p, 0], points[p, 1]
        vb = x * cosine - y * sine
        ub = (x * sine + y * cosine - offset) / step - first
        low, high = min(ua, ub), max(ua, ub)
        if low <= line < high and many < found.shape[0]:
            v = va + (line - ua) * (vb - va) / (ub - ua)
            at = many
            while at > 0 and found[at - 1] > v:
                found[at] = found[at - 1]
                at -= 1
            found[at] = v
            many += 1
        ua, va = ub, vb
    return many


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
def _feather(wood, setting, offset, j, first, lines, step, left, right, shown):  # type: ignore[no-untyped-def]
    """Add the width that a crotch's feather shows: full between the piths, then fading."""
    v = wood.second[j, 0] * setting.cosine - wood.second[j, 1] * setting.sine
    u = wood.second[j, 0] * setting.sine + wood.second[j, 1] * setting.cosine
    if math.isnan(u):
        return
    low, high = min(0.0, u) - offset, max(0.0, u) - offset
    # As far to the sides of the piths as above and below them.
    near, far = min(0.0, v) - wood.feather, max(0.0, v) + wood.feather
    for i in range(lines):
        height = (first + i) * step
        away = max(0.0, low - height, height - high)
        within = min(right[i], far) - max(left[i], near)
        if away < wood.feather and within > 0.0:
            shown[i] += within * (1.0 - away / wood.feather)


@njit(cache=True, nogil=True, error_model="numpy")
def chords(wood, setting, offsets, first, lines, step, tables):  # type: ignore[no-untyped-def]
    """Write the sound wood on every line at every station.

    Parameters
    ----------
    offsets : (stations,) rise of the cutting planes at each station [m]
    first, lines, step : number of the lowest line, how many, grid [m]
    tables : left, right, width and figured are written [m]
    """
    sine, cosine = setting.sine, setting.cosine
    count = wood.zones.shape[0]
    radii = wood.zones[:, 2]
    zone_v = np.empty(count)
    zone_u = np.empty(count)
    spoiling = np.empty(count, dtype=np.bool_)
    found = np.empty(_MOST_CROSSINGS)
    keeps = tables.left.shape[0] > 1
    for j in range(wood.z.shape[0]):
        left, right = tables.left[j if keeps else 0], tables.right[j if keeps else 0]
        width = tables.width[j]
        points = wood.outlines[j]
        if not _edges(points, sine, cosine, offsets[j], first, lines, step, left, right):
            for i in range(lines):
                many = _crossings(points, sine, cosine, offsets[j], first, step, i, found)
                left[i], right[i] = 0.0, 0.0
                for c in range(0, many - 1, 2):  # the widest run inside
                    if found[c + 1] - found[c] > right[i] - left[i]:
                        left[i], right[i] = found[c], found[c + 1]
        for q in range(count):
            zone_v[q] = wood.zones[q, 0] * cosine - wood.zones[q, 1] * sine
            zone_u[q] = wood.zones[q, 0] * sine + wood.zones[q, 1] * cosine - offsets[j]
            spoiling[q] = wood.present[q, j] and wood.spoils[q]
        if wood.spoilt[j]:
            for i in range(lines):
                if right[i] > left[i]:
                    u = (first + i) * step
                    left[i], right[i] = _clear_run(left[i], right[i], u, zone_v, zone_u, radii, spoiling)
        for i in range(lines):
            width[i] = right[i] - left[i]
        shown = tables.figured[j]
        if count > 0 or wood.feather > 0.0:
            shown[:lines] = 0.0
        if not wood.figured[j]:
            continue
        if wood.feather > 0.0:
            _feather(wood, setting, offsets[j], j, first, lines, step, left, right, shown)
        for q in range(count):
            if wood.present[q, j] and not wood.spoils[q]:
                centre = zone_u[q] / step - first
                for i in range(
                    max(0, math.ceil(centre - radii[q] / step)),
                    min(lines, math.floor(centre + radii[q] / step) + 1),
                ):
                    h = (i - centre) * step
                    half = math.sqrt(max(0.0, radii[q] * radii[q] - h * h))
                    within = min(right[i], zone_v[q] + half) - max(left[i], zone_v[q] - half)
                    shown[i] = min(width[i], shown[i] + max(0.0, within))


@njit(cache=True, nogil=True, error_model="numpy")
def extents(wood, setting, offsets, first, lines, step, tables):  # type: ignore[no-untyped-def]
    """Write area and widest place of a cut along every line to `tables.sawn` and `.widest`."""
    sine, cosine = setting.sine, setting.cosine
    left, right = np.empty(lines), np.empty(lines)
    sawn, widest = tables.sawn, tables.widest
    sawn[:lines] = 0.0
    widest[:lines] = 0.0
    found = np.empty(_MOST_CROSSINGS)
    z = wood.z
    last = z.shape[0] - 1
    for j in range(last + 1):
        points = wood.bar_outlines[j]
        if not _edges(points, sine, cosine, offsets[j], first, lines, step, left, right):
            for i in range(lines):
                many = _crossings(points, sine, cosine, offsets[j], first, step, i, found)
                left[i], right[i] = 0.0, 0.0
                if many > 1:
                    left[i], right[i] = found[0], found[many - 1]
        share = 0.5 * (z[min(last, j + 1)] - z[max(0, j - 1)])  # trapezium rule
        for i in range(lines):
            span = right[i] - left[i]
            sawn[i] += share * span
            widest[i] = span if span > widest[i] else widest[i]

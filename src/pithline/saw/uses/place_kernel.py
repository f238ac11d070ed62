"""Where along a slab a piece can be cut, and what the rest of it brings by the tally, compiled by numba."""

from __future__ import annotations

import math

from numba import njit

from pithline.saw.value_kernel import tallied

__all__ = [
    "at",
    "between",
    "for_length",
    "grained",
    "holds_pith",
    "paid",
    "places",
    "upto",
    "window_run",
]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "d56d00b4"


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def at(values, z, k, where, b):  # type: ignore[no-untyped-def]
    """A width between stations k and k + 1."""
    f = (where - z[k]) / (z[k + 1] - z[k])
    return values[k, b] + f * (values[k + 1, b] - values[k, b])


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def upto(values, per, z, k, where, b):  # type: ignore[no-untyped-def]
    """A sum along the log up to a place between stations k and k + 1; `per` is what is summed up."""
    gap = where - z[k]
    return values[k, b] + 0.5 * gap * (per[k, b] + at(per, z, k, where, b))


@njit(cache=True, nogil=True, error_model="numpy")
def places(z, narrow, least, b, width, length):  # type: ignore[no-untyped-def]
    """Earliest end and latest start of a piece so wide and long in column b, and in how many runs it fits.

    inf, -inf and 0 where it fits in none.
    """
    last = z.shape[0] - 1
    if least >= width:
        if z[last] - z[0] < length - 1e-9:
            return math.inf, -math.inf, 0
        return z[0] + length, z[last] - length, 1
    earliest, latest, runs = math.inf, -math.inf, 0
    k = 0
    while k <= last:
        if narrow[k, b] < width:
            k += 1
            continue
        start = z[k]
        if k > 0:
            start -= (narrow[k, b] - width) / (narrow[k, b] - narrow[k - 1, b]) * (z[k] - z[k - 1])
        while k < last and narrow[k + 1, b] >= width:
            k += 1
        end = z[k]
        if k < last:
            end += (narrow[k, b] - width) / (narrow[k, b] - narrow[k + 1, b]) * (z[k + 1] - z[k])
        if end - start >= length - 1e-9:
            if earliest == math.inf:
                earliest = start + length
            latest = end - length
            runs += 1
        k += 1
    return earliest, latest, runs


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def for_length(steps, length):  # type: ignore[no-untyped-def]
    """The premium that a run of this length earns."""
    gained = 0.0
    for r in range(steps.shape[0]):
        if length >= steps[r, 0] - 1e-9:
            gained = steps[r, 1]
    return gained


@njit(cache=True, nogil=True, error_model="numpy")
def paid(area, figure, length, sold, premium, pay):  # type: ignore[no-untyped-def]
    """Worth of a run in tally units, with its premiums."""
    if length < pay.least_length - 1e-9 or area <= 0.0:
        return 0.0
    value = tallied(area, length, sold, pay.rounded) * (1.0 + premium)
    value *= 1.0 + for_length(pay.length_steps, length)
    return value * (1.0 + pay.figure_premium * min(area, figure) / area)


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def between(z, low, high):  # type: ignore[no-untyped-def]
    """Stations k and m such that low lies between k and k + 1, and high between m and m + 1."""
    last = z.shape[0] - 2
    # Stations lie nearly evenly, so a guess is at most a step or two off: a search takes four times as long.
    even = (last + 1) / (z[last + 1] - z[0])
    k = min(max(int((low - z[0]) * even), 0), last)
    while k > 0 and z[k] > low:
        k -= 1
    while k < last and z[k + 1] <= low:
        k += 1
    m = min(max(int((high - z[0]) * even), k), last)
    while m > k and z[m] >= high:
        m -= 1
    while m < last and z[m + 1] < high:
        m += 1
    return k, m


@njit(cache=True, nogil=True, error_model="numpy")
def window_run(z, profile, b, low, high, sold, pay):  # type: ignore[no-untyped-def]
    """The run of column b between two places that pays most by the tally.

    Returns
    -------
    worth, start, end : worth in tally units with all premiums
    """
    narrow, counted, shown, sums = profile.narrow, profile.counted, profile.shown, profile.upto
    steps = pay.width_steps
    best, best_start, best_end = 0.0, 0.0, 0.0
    if high - low < pay.least_length - 1e-9:
        return best, best_start, best_end
    first, last = between(z, low, high)
    for s in range(steps.shape[0] - 1, -1, -1):
        width, premium = steps[s, 0], steps[s, 1]
        if profile.most[b] < width:
            continue
        whole = profile.least[b] >= width
        begin, area, figure = low, 0.0, 0.0
        inside = whole
        if whole:
            area = -upto(sums, counted, z, first, low, b)
            figure = -at(shown, z, first, low, b)
        here = at(narrow, z, first, low, b)
        for k in range(last if whole else first, last + 1):
            # From one station, or the window's edge, to the next.
            a, e = max(low, z[k]), min(high, z[k + 1])
            there = narrow[k + 1, b] if e == z[k + 1] else at(narrow, z, k, e, b)
            if whole or here >= width or there >= width:
                if not inside:
                    begin = a if here >= width else a + (width - here) / (there - here) * (e - a)
                    area = -upto(sums, counted, z, k, begin, b)
                    figure = -at(shown, z, k, begin, b)
                    inside = True
                if k == last or there < width:
                    end = e if whole or there >= width else a + (here - width) / (here - there) * (e - a)
                    value = paid(
                        area + upto(sums, counted, z, k, end, b),
                        figure + at(shown, z, k, end, b),
                        end - begin,
                        sold,
                        premium,
                        pay,
                    )
                    if value > best:
                        best, best_start, best_end = value, begin, end
                    inside = False
            here = there
        if whole:
            # All of it reaches the width: no shorter run, and no lower premium, pays more.
            break
    return best, best_start, best_end


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def holds_pith(tables, first, f, t, step):  # type: ignore[no-untyped-def]
    """Whether a pith line runs in the slab of t lines under face f."""
    lower, upper = (first + f - t) * step, (first + f) * step
    for q in range(tables.pith_low.shape[0]):
        if lower < tables.pith_high[q] - 1e-9 and upper > tables.pith_low[q] + 1e-9:
            return True
    return False


@njit(cache=True, nogil=True, error_model="numpy")
def grained(wood, wants, u, first, f, t, step, tables):  # type: ignore[no-untyped-def]
    """Whether at least half of the wider face at mid-length has the wanted ring angle."""
    if wants.ring_from[u] <= 0.0 and wants.ring_to[u] == math.inf:
        return True
    middle = (wood.usable_from + wood.usable_to) // 2
    i = f if tables.width[middle, f] >= tables.width[middle, f - t] else f - t
    left, right = tables.left[middle, i], tables.right[middle, i]
    h = abs((first + f - 0.5 * t) * step)
    near, far = h * wants.ring_from[u], h * wants.ring_to[u]
    inside = max(0.0, min(right, far) - max(left, near)) + max(0.0, min(-left, far) - max(-right, near))
    return right > left and inside >= 0.5 * (right - left) - 1e-12

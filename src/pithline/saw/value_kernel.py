"""What the slab under each face is worth, compiled by numba.

A slab is sold over the run of stations that pays most: where both faces reach a
width, between the end trims, with widths straight between stations. For every
width that earns a premium the longest runs that reach it are tried; a shorter one
could not pay more, so the best of them is the best of all runs.

Slabs are worked on a block of lines at a time, small enough for the processor's cache:
first all their profiles, which the processor does several lines at once, then
their runs one by one.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pithline.saw.tables import Profile

__all__ = [
    "BOX",
    "FREE",
    "MEAN",
    "NARROW",
    "SOLID",
    "THROUGH",
    "WIDE",
    "allowance",
    "best_runs",
    "block_room",
    "block_values",
    "draw",
    "rate_of",
    "slab_cost_of",
    "slab_values",
    "sold_run",
    "tallied",
]

NARROW, MEAN, WIDE, SOLID = 0, 1, 2, 3
FREE, BOX, THROUGH = 0, 1, 2
_FOOT = 0.3048
_INCH = 0.0254
_BLOCK = 256  # lines; their profiles stay in the second-level cache


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def tallied(area, length, sold, rounded):  # type: ignore[no-untyped-def]
    """Tally of a face area over a run; `sold` in tally units per square metre."""
    if not rounded or length <= 0.0:
        return area * sold
    # Surface measure: whole feet of length, then to the nearest square foot.
    feet = math.floor(length / _FOOT + 1e-9)
    return math.floor(area / length / _INCH * feet / 12.0 + 0.5) * sold


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _premium(steps, size):  # type: ignore[no-untyped-def]
    """The premium of the highest step reached."""
    premium = 0.0
    for r in range(steps.shape[0]):
        if size >= steps[r, 0] - 1e-9:
            premium = steps[r, 1]
    return premium


@njit(cache=True, nogil=True, error_model="numpy")
def _finishes(pay, finished, green, a, b, height):  # type: ignore[no-untyped-def]
    """Whether a slab from -a to b across, `height` off the pith, dries and flattens to size."""
    width = a + b
    h = abs(height)
    # Mean of sin2 of the ring angle over the face: 1 is all quarter, 0 all flat.
    share = 1.0
    if width > 0.0 and h > 1e-12:
        share = 1.0 - h * (math.atan(a / h) + math.atan(b / h)) / width
    shrinkage = pay.radial * (1.0 - share) + pay.tangential * share
    allowance = pay.flattening[pay.flattening.shape[0] - 1, 1]
    for r in range(pay.flattening.shape[0]):
        if width <= pay.flattening[r, 0] + 1e-9:
            allowance = pay.flattening[r, 1]
            break
    return (green - pay.variation) * (1.0 - shrinkage) - allowance >= finished - 1e-9


@njit(cache=True, nogil=True, error_model="numpy")
def draw(wood, pay, t, step, i0, count, tables, profile):  # type: ignore[no-untyped-def]
    """Fill columns 0 .. count of `profile` with the slabs whose upper faces are i0 .. i0 + count."""
    green = t * step
    end = i0 + count
    # Narrow, mean and wide are one sum of the narrow face and both: so one loop serves all.
    of_narrow, of_both = 0.0, 0.5
    if pay.rule == NARROW:
        of_narrow, of_both = 1.0, 0.0
    elif pay.rule == WIDE:
        of_narrow, of_both = -1.0, 1.0
    least, most = profile.least[:count], profile.most[:count]
    least[:] = math.inf
    most[:] = 0.0
    profile.upto[0, :count] = 0.0
    profile.shown[0, :count] = 0.0
    # Read once below, times nought: what happens to lie in fresh memory may be no number.
    profile.counted[0, :count] = 0.0
    for j in range(wood.usable_from, wood.usable_to):
        k = j - wood.usable_from
        past = max(0, k - 1)
        half = 0.5 * (wood.z[j] - wood.z[j - 1]) if k > 0 else 0.0
        # Slices, not computed indices: only so does the compiler do several lines at once.
        upper, lower = tables.width[j, i0:end], tables.width[j, i0 - t : end - t]
        narrow, counted, upto = profile.narrow[k, :count], profile.counted[k, :count], profile.upto[k, :count]
        before, so_far = profile.counted[past, :count], profile.upto[past, :count]
        if pay.rule != SOLID and not wood.spoilt[j]:
            for b in range(count):
                up, lo = upper[b], lower[b]
                n = up if up < lo else lo
                m = of_narrow * n + of_both * (up + lo)
                narrow[b] = n
                least[b] = n if n < least[b] else least[b]
                most[b] = n if n > most[b] else most[b]
                upto[b] = so_far[b] + half * (before[b] + m)
                counted[b] = m
        else:
            above, under = tables.below[j, i0:end], tables.below[j, i0 - t : end - t]
            for b in range(count):
                i = i0 + b
                n = min(upper[b], lower[b])
                m = of_narrow * n + of_both * (upper[b] + lower[b])
                if wood.spoilt[j]:
                    # Where rot leaves pieces, both faces must keep the same one.
                    right = min(tables.right[j, i], tables.right[j, i - t])
                    left = max(tables.left[j, i], tables.left[j, i - t])
                    n = min(n, max(0.0, right - left))
                if pay.rule == NARROW:
                    m = n
                elif pay.rule == SOLID:
                    m = (above[b] - under[b]) / green
                narrow[b] = n
                least[b] = min(least[b], n)
                most[b] = max(most[b], n)
                upto[b] = so_far[b] + half * (before[b] + m)
                counted[b] = m
        if k == 0:
            continue
        if pay.shows:
            shown, earlier = profile.shown[k, :count], profile.shown[k - 1, :count]
            if not (wood.figured[j - 1] or wood.figured[j]):
                shown[:] = earlier
                continue
            a0, a1 = tables.figured[j - 1, i0:end], tables.figured[j, i0:end]
            b0, b1 = tables.figured[j - 1, i0 - t : end - t], tables.figured[j, i0 - t : end - t]
            for b in range(count):
                shown[b] = earlier[b] + 0.5 * half * (a0[b] + a1[b] + b0[b] + b1[b])


@njit(cache=True, nogil=True, error_model="numpy")
def best_runs(z, profile, count, threshold, sold, pay, wanted, found):  # type: ignore[no-untyped-def]
    """The run worth most of every wanted column, where its narrow face reaches a threshold.

    Parameters
    ----------
    wanted : (slabs,) bool
    found : (5, slabs), written for the wanted: value at a rate of 1 and before the
        width premium; start and end [m]; counted and figured area [m2]; 0 if none
    """
    narrow, counted, upto, shown = profile.narrow, profile.counted, profile.upto, profile.shown
    last = z.shape[0] - 1
    for b in range(count):
        if not wanted[b]:
            continue
        for r in range(5):
            found[r, b] = 0.0
        whole = profile.least[b] >= threshold
        k = last if whole else 0
        while k <= last:
            if narrow[k, b] < threshold:
                k += 1
                continue
            # The run begins and ends between stations, where the face reaches the width.
            start = z[0]
            area = 0.0
            figure = 0.0
            if k > 0 and not whole:
                f = (threshold - narrow[k - 1, b]) / (narrow[k, b] - narrow[k - 1, b])
                gap = f * (z[k] - z[k - 1])
                start = z[k - 1] + gap
                area = -upto[k - 1, b] - gap * (
                    counted[k - 1, b] + 0.5 * f * (counted[k, b] - counted[k - 1, b])
                )
                figure = -shown[k - 1, b] - f * (shown[k, b] - shown[k - 1, b])
            while k < last and narrow[k + 1, b] >= threshold:
                k += 1
            end = z[k]
            area += upto[k, b]
            figure += shown[k, b]
            if k < last:
                f = (narrow[k, b] - threshold) / (narrow[k, b] - narrow[k + 1, b])
                gap = f * (z[k + 1] - z[k])
                end += gap
                area += gap * (counted[k, b] + 0.5 * f * (counted[k + 1, b] - counted[k, b]))
                figure += f * (shown[k + 1, b] - shown[k, b])
            length = end - start
            if length >= pay.least_length - 1e-9 and area > 0.0:
                value = tallied(area, length, sold, pay.rounded)
                value *= 1.0 + _premium(pay.length_steps, length)
                figure = min(area, figure)
                value *= 1.0 + pay.figure_premium * figure / area
                if value > found[0, b]:
                    found[0, b], found[1, b], found[2, b] = value, start, end
                    found[3, b], found[4, b] = area, figure
            k += 1


@njit(cache=True, nogil=True, error_model="numpy")
def sold_run(wood, pay, o, row, step, tables, profile):  # type: ignore[no-untyped-def]
    """The run that pays most of the slab of thickness `o` under line `row`.

    `profile` is room for one slab, and holds its profile afterwards.

    Returns
    -------
    worth, start, end, area, figure, tally : worth is in tally units with all premiums
    """
    z = wood.z[wood.usable_from : wood.usable_to]
    wanted = np.ones(1, dtype=np.bool_)
    found = np.zeros((5, 1))
    draw(wood, pay, pay.thick[o], step, row, 1, tables, profile)
    worth, start, end, area, figure, tally = 0.0, z[0], z[0], 0.0, 0.0, 0.0
    for s in range(pay.width_steps.shape[0] - 1, -1, -1):
        best_runs(z, profile, 1, pay.width_steps[s, 0], pay.sold[o], pay, wanted, found)
        gained = found[0, 0] * (1.0 + pay.width_steps[s, 1])
        if gained > worth:
            worth, start, end, area, figure = gained, found[1, 0], found[2, 0], found[3, 0], found[4, 0]
            tally = tallied(area, end - start, pay.sold[o], pay.rounded)
    return worth, start, end, area, figure, tally


@njit(cache=True, nogil=True, error_model="numpy")
def _serves(pay, o, t, middle, first, i, step, tables):  # type: ignore[no-untyped-def]
    """Whether t lines below line i are enough for the finished size of menu entry `o`."""
    # Judged on the wider face at mid-length, where the wood has its middling width.
    wide = i if tables.width[middle, i] >= tables.width[middle, i - t] else i - t
    left, right = tables.left[middle, wide], tables.right[middle, wide]
    return _finishes(pay, pay.finished[o], t * step, -left, right, (first + i - 0.5 * t) * step)


@njit(cache=True, nogil=True, error_model="numpy")
def allowance(wood, pay, o, first, i, step, tables):  # type: ignore[no-untyped-def]
    """Share of its price that the slab under line i is paid: 0 where it may not be, or does not finish."""
    t = pay.thick[o]
    upper, lower = (first + i) * step, (first + i - t) * step
    share = 1.0
    for q in range(pay.skips.shape[0]):
        if lower < pay.skips[q, 1] - 1e-9 and upper > pay.skips[q, 0] + 1e-9:
            share = 0.0
    for q in range(tables.pith_low.shape[0]):
        if lower < tables.pith_high[q] - 1e-9 and upper > tables.pith_low[q] + 1e-9:
            if pay.pith_rule == THROUGH:
                share = 0.0
            elif pay.pith_rule == FREE:
                share = min(share, 1.0 - pay.deduction)
    if pay.finished[o] > 0.0:
        middle = (wood.usable_from + wood.usable_to) // 2
        if not _serves(pay, o, t, middle, first, i, step, tables):
            share = 0.0
    return share


@njit(cache=True, nogil=True, error_model="numpy")
def rate_of(wood, pay, o, first, i, step, tables):  # type: ignore[no-untyped-def]
    """Rate of the slab under line i, after the pith rule."""
    return pay.rates[o] * allowance(wood, pay, o, first, i, step, tables)


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def slab_cost_of(pay, o, i, t, step, tables):  # type: ignore[no-untyped-def]
    """What handling, carrying and drying the slab under line i costs: all of it is carried."""
    return pay.slab_cost + pay.per_volume[o] * 0.5 * (tables.face[i] + tables.face[i - t]) * t * step


@njit(cache=True, nogil=True, error_model="numpy")
def _rates(wood, pay, o, first, i0, count, step, tables, rates):  # type: ignore[no-untyped-def]
    """Rate of each slab of a block; 0 also where a thinner one would finish to the same size."""
    t = pay.thick[o]
    middle = (wood.usable_from + wood.usable_to) // 2
    # Where a line less would do, what is over is planed away, and nobody pays for it.
    thinner = o > 0 and pay.finished[o] > 0.0 and pay.finished[o - 1] == pay.finished[o]
    thinner = thinner and pay.thick[o - 1] == t - 1
    for b in range(count):
        rates[b] = rate_of(wood, pay, o, first, i0 + b, step, tables)
        if thinner and _serves(pay, o, t - 1, middle, first, i0 + b, step, tables):
            rates[b] = 0.0


@njit(cache=True, nogil=True, error_model="numpy")
def block_values(wood, pay, o, first, i0, count, step, tables, profile, spare):  # type: ignore[no-untyped-def]
    """Write the best values of the slabs of one drawn block to `tables.values`; `spare` is `block_room`."""
    factor, best, wanted, found = spare
    t = pay.thick[o]
    z = wood.z[wood.usable_from : wood.usable_to]
    last = z.shape[0] - 1
    # No run earns a higher premium for its length than the longest one.
    longest = 1.0 + _premium(pay.length_steps, z[last] - z[0])
    _rates(wood, pay, o, first, i0, count, step, tables, factor)
    best[:count] = 0.0
    for s in range(pay.width_steps.shape[0] - 1, -1, -1):
        threshold, premium = pay.width_steps[s, 0], pay.width_steps[s, 1]
        some = False
        for b in range(count):
            gain = factor[b] * (1.0 + premium)
            wanted[b] = gain > 0.0 and profile.most[b] >= threshold
            # No run holds more wood, or more figure, than all of the slab.
            most = profile.upto[last, b] + pay.figure_premium * profile.shown[last, b]
            if not pay.rounded and gain * most * pay.sold[o] * longest <= best[b]:
                wanted[b] = False
            some = some or wanted[b]
        if some:
            best_runs(z, profile, count, threshold, pay.sold[o], pay, wanted, found)
        for b in range(count):
            if wanted[b]:
                best[b] = max(best[b], factor[b] * (1.0 + premium) * found[0, b])
    for b in range(count):
        if best[b] > 0.0:
            tables.values[o, i0 + b] = best[b] - slab_cost_of(pay, o, i0 + b, t, step, tables)


@njit(cache=True, nogil=True, error_model="numpy")
def block_room(columns):  # type: ignore[no-untyped-def]
    """Room for `block_values`."""
    return np.empty(columns), np.empty(columns), np.empty(columns, dtype=np.bool_), np.empty((5, columns))


@njit(cache=True, nogil=True, error_model="numpy")
def slab_values(wood, pay, first, lines, step, tables):  # type: ignore[no-untyped-def]
    """Write the best value of the slab under each face, for each thickness, to `tables.values`."""
    block = (wood.usable_to - wood.usable_from, _BLOCK)
    profile = Profile(
        np.empty(block), np.empty(block), np.empty(block), np.zeros(block), np.empty(_BLOCK), np.empty(_BLOCK)
    )
    spare = block_room(_BLOCK)
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        tables.values[o, :lines] = -math.inf
        for i0 in range(t, lines, _BLOCK):
            count = min(_BLOCK, lines - i0)
            draw(wood, pay, t, step, i0, count, tables, profile)
            block_values(wood, pay, o, first, i0, count, step, tables, profile, spare)

"""Slabs side by side, station by station: how wide their faces are and what is counted, compiled by numba."""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pithline.saw.block import Profile

__all__ = ["MEAN", "NARROW", "SOLID", "WIDE", "draw", "profile_room"]

NARROW, MEAN, WIDE, SOLID = 0, 1, 2, 3


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
def profile_room(stations, columns):  # type: ignore[no-untyped-def]
    """Room for `draw`."""
    block = (stations, columns)
    # What shows figure is written only where it is paid for.
    return Profile(
        np.empty(block),
        np.empty(block),
        np.empty(block),
        np.zeros(block),
        np.empty(columns),
        np.empty(columns),
    )

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

from pithline.saw.block import BLOCK
from pithline.saw.profile_kernel import draw
from pithline.saw.share_kernel import shares, slab_cost_at, tally_rates

__all__ = ["best_runs", "block_values", "slab_values", "sold_run", "tallied"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "6df0ca46"

_FOOT = 0.3048
_INCH = 0.0254


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
def best_runs(z, profile, count, threshold, sold, pay, wanted, found):  # type: ignore[no-untyped-def]
    """The run worth most of every wanted column, where its narrow face reaches a threshold.

    Parameters
    ----------
    wanted : (slabs,) bool
    found : (5, slabs), written for the wanted: value at a rate of 1 and before the
        width premium; start and end [m]; counted and figured area [m2]; 0 if none
    """
    # Taken out of their tuples once: every look into a tuple of arrays in a loop costs as much as the sum.
    narrow, counted, upto, shown = profile.narrow, profile.counted, profile.upto, profile.shown
    least, lengths = profile.least, pay.length_steps
    last = z.shape[0] - 1
    for b in range(count):
        if not wanted[b]:
            continue
        for r in range(5):
            found[r, b] = 0.0
        whole = least[b] >= threshold
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
                value *= 1.0 + _premium(lengths, length)
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
def block_values(wood, pay, o, first, i0, count, step, tables):  # type: ignore[no-untyped-def]
    """Write the best values of the slabs of one block to `tables.values`.

    Its profile is drawn and its shares are known; `tables.block` holds both.
    """
    profile, rates, best = tables.block.profile, tables.block.rates, tables.block.best
    wanted, found = tables.block.wanted, tables.block.found
    t = pay.thick[o]
    z = wood.z[wood.usable_from : wood.usable_to]
    last = z.shape[0] - 1
    # No run earns a higher premium for its length than the longest one.
    longest = 1.0 + _premium(pay.length_steps, z[last] - z[0])
    tally_rates(wood, pay, o, first, i0, count, step, tables, wanted, tables.block.share, rates)
    best[:count] = 0.0
    most, upto, shown = profile.most, profile.upto[last], profile.shown[last]
    for s in range(pay.width_steps.shape[0] - 1, -1, -1):
        threshold, premium = pay.width_steps[s, 0], pay.width_steps[s, 1]
        some = False
        for b in range(count):
            gain = rates[b] * (1.0 + premium)
            wanted[b] = gain > 0.0 and most[b] >= threshold
            # No run holds more wood, or more figure, than all of the slab.
            highest = gain * (upto[b] + pay.figure_premium * shown[b]) * pay.sold[o] * longest
            if not pay.rounded and highest <= best[b]:
                wanted[b] = False
            some = some or wanted[b]
        if some:
            best_runs(z, profile, count, threshold, pay.sold[o], pay, wanted, found)
        for b in range(count):
            if wanted[b]:
                best[b] = max(best[b], rates[b] * (1.0 + premium) * found[0, b])
    values, face, per_volume = tables.values[o, i0 : i0 + count], tables.face, pay.per_volume[o]
    for b in range(count):
        if best[b] > 0.0:
            values[b] = best[b] - slab_cost_at(pay.slab_cost, per_volume, face, i0 + b, t, step)


@njit(cache=True, nogil=True, error_model="numpy")
def slab_values(wood, pay, first, lines, step, tables):  # type: ignore[no-untyped-def]
    """Write the best value of the slab under each face, for each thickness, to `tables.values`."""
    block = tables.block
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        tables.values[o, :lines] = -math.inf
        for i0 in range(t, lines, BLOCK):
            count = min(BLOCK, lines - i0)
            draw(wood, pay, t, step, i0, count, tables, block.profile)
            shares(wood, pay, o, first, i0, count, step, tables, block.serves, block.share)
            block_values(wood, pay, o, first, i0, count, step, tables)

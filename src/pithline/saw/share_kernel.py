"""Which share of its price a slab is paid, and what it costs, compiled by numba.

Pith, planes that are skipped, and a finished size that must come out of it decide.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

__all__ = [
    "BOX",
    "FREE",
    "THROUGH",
    "allowance",
    "rate_of",
    "serve",
    "shares",
    "slab_cost_at",
    "slab_cost_of",
    "tally_rates",
]

FREE, BOX, THROUGH = 0, 1, 2


@njit(cache=True, nogil=True, error_model="numpy")
def _finishes(finished, green, a, b, height, radial, tangential, flattening, variation):  # type: ignore[no-untyped-def]
    """Whether a slab from -a to b across, `height` off the pith, dries and flattens to size."""
    width = a + b
    h = abs(height)
    # Mean of sin2 of the ring angle over the face: 1 is all quarter, 0 all flat.
    share = 1.0
    if width > 0.0 and h > 1e-12:
        share = 1.0 - h * (math.atan(a / h) + math.atan(b / h)) / width
    shrinkage = radial * (1.0 - share) + tangential * share
    allowance = flattening[flattening.shape[0] - 1, 1]
    for r in range(flattening.shape[0]):
        if width <= flattening[r, 0] + 1e-9:
            allowance = flattening[r, 1]
            break
    return (green - variation) * (1.0 - shrinkage) - allowance >= finished - 1e-9


@njit(cache=True, nogil=True, error_model="numpy")
def serve(wood, pay, o, t, first, i0, count, step, tables, serves):  # type: ignore[no-untyped-def]
    """Write whether t lines below each line of a block are enough for the finished size of menu entry `o`."""
    # Judged on the wider face at mid-length, where the wood has its middling width.
    middle = (wood.usable_from + wood.usable_to) // 2
    width, left, right = tables.width[middle], tables.left[middle], tables.right[middle]
    for b in range(count):
        i = i0 + b
        wide = i if width[i] >= width[i - t] else i - t
        serves[b] = _finishes(
            pay.finished[o],
            t * step,
            -left[wide],
            right[wide],
            (first + i - 0.5 * t) * step,
            pay.radial,
            pay.tangential,
            pay.flattening,
            pay.variation,
        )


@njit(cache=True, nogil=True, error_model="numpy")
def shares(wood, pay, o, first, i0, count, step, tables, serves, share):  # type: ignore[no-untyped-def]
    """Write the share of its price that each slab of a block is paid.

    0 where a slab may not be, or does not finish to size.

    Parameters
    ----------
    serves : (count,) bool, room
    share : (count,), written
    """
    t = pay.thick[o]
    share[:count] = 1.0
    for q in range(pay.skips.shape[0]):
        low, high = pay.skips[q, 0] + 1e-9, pay.skips[q, 1] - 1e-9
        for b in range(count):
            if (first + i0 + b - t) * step < high and (first + i0 + b) * step > low:
                share[b] = 0.0
    kept = 0.0 if pay.pith_rule == THROUGH else 1.0 - pay.deduction
    for q in range(0 if pay.pith_rule == BOX else tables.pith_low.shape[0]):
        low, high = tables.pith_low[q] + 1e-9, tables.pith_high[q] - 1e-9
        for b in range(count):
            if (first + i0 + b - t) * step < high and (first + i0 + b) * step > low:
                share[b] = min(share[b], kept)
    if pay.finished[o] > 0.0:
        serve(wood, pay, o, t, first, i0, count, step, tables, serves)
        for b in range(count):
            if not serves[b]:
                share[b] = 0.0


@njit(cache=True, nogil=True, error_model="numpy")
def tally_rates(wood, pay, o, first, i0, count, step, tables, serves, share, rates):  # type: ignore[no-untyped-def]
    """Write what a unit of each slab's tally brings, by its share of the price.

    Nothing where a line less would finish to the same size: what is over is planed away, and
    nobody pays for it.
    """
    t = pay.thick[o]
    rates[:count] = pay.rates[o] * share[:count]
    thinner = o > 0 and pay.finished[o] > 0.0 and pay.finished[o - 1] == pay.finished[o]
    if thinner and pay.thick[o - 1] == t - 1:
        serve(wood, pay, o, t - 1, first, i0, count, step, tables, serves)
        for b in range(count):
            rates[b] = 0.0 if serves[b] else rates[b]


@njit(cache=True, nogil=True, error_model="numpy")
def allowance(wood, pay, o, first, i, step, tables):  # type: ignore[no-untyped-def]
    """Share of its price that the slab under line i is paid."""
    share = np.empty(1)
    shares(wood, pay, o, first, i, 1, step, tables, np.empty(1, dtype=np.bool_), share)
    return share[0]


@njit(cache=True, nogil=True, error_model="numpy")
def rate_of(wood, pay, o, first, i, step, tables):  # type: ignore[no-untyped-def]
    """Rate of the slab under line i, after the pith rule."""
    return pay.rates[o] * allowance(wood, pay, o, first, i, step, tables)


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def slab_cost_at(each, per_volume, face, i, t, step):  # type: ignore[no-untyped-def]
    """What handling, carrying and drying the slab of t lines under line i costs: all of it is carried."""
    return each + per_volume * 0.5 * (face[i] + face[i - t]) * t * step


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def slab_cost_of(pay, o, i, t, step, tables):  # type: ignore[no-untyped-def]
    """The same of menu entry o, from the tables."""
    return slab_cost_at(pay.slab_cost, pay.per_volume[o], tables.face, i, t, step)

"""What the slab under each face is worth, compiled by numba.

A slab is sold over the run of stations that pays most: where both faces reach a
width, between the end trims, with widths straight between stations. For every
width that earns a premium the longest runs that reach it are tried; a shorter one
could not pay more, so the best of them is the best of all runs.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

__all__ = [
    "BOX",
    "FREE",
    "MEAN",
    "NARROW",
    "SOLID",
    "THROUGH",
    "WIDE",
    "piece_value",
    "profile",
    "slab_values",
    "tallied",
]

NARROW, MEAN, WIDE, SOLID = 0, 1, 2, 3
FREE, BOX, THROUGH = 0, 1, 2
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
def _width(rule, up, lo, below_up, below_lo, green):  # type: ignore[no-untyped-def]
    """The width that the tally counts."""
    if rule == NARROW:
        return min(up, lo)
    if rule == MEAN:
        return 0.5 * (up + lo)
    if rule == WIDE:
        return max(up, lo)
    return (below_up - below_lo) / green


@njit(cache=True, nogil=True, error_model="numpy")
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
        if width <= pay.flattening[r, 0]:
            allowance = pay.flattening[r, 1]
            break
    return (green - pay.variation) * (1.0 - shrinkage) - allowance >= finished - 1e-9


@njit(cache=True, nogil=True, error_model="numpy")
def piece_value(z, narrow, counted, figure, threshold, sold, pay):  # type: ignore[no-untyped-def]
    """The run worth most where the narrow face reaches a threshold.

    Parameters
    ----------
    z, narrow, counted, figure : (stations,) place along the log, narrow face, width
        that is tallied, width that shows figure [m]
    threshold : [m]
    sold : tally units per square metre of counted face

    Returns
    -------
    value, start, end : at a rate of 1 and before the width premium; 0, 0, 0 if none
    """
    best, best_start, best_end = 0.0, 0.0, 0.0
    area, shown, begin = 0.0, 0.0, z[0]
    inside = narrow[0] >= threshold
    last = z.shape[0] - 2
    for j in range(last + 1):
        n0, n1 = narrow[j], narrow[j + 1]
        dz = z[j + 1] - z[j]
        f0, f1 = 0.0, 1.0
        if n0 >= threshold > n1:
            f1 = (n0 - threshold) / (n0 - n1)
        elif n1 >= threshold > n0:
            f0 = (threshold - n0) / (n1 - n0)
            begin = z[j] + f0 * dz
            inside = True
            area, shown = 0.0, 0.0
        if not inside:
            continue
        span = 0.5 * (f1 - f0) * dz
        area += span * (2.0 * counted[j] + (f0 + f1) * (counted[j + 1] - counted[j]))
        shown += span * (2.0 * figure[j] + (f0 + f1) * (figure[j + 1] - figure[j]))
        if n1 < threshold or j == last:
            inside = False
            end = z[j] + f1 * dz
            length = end - begin
            if length >= pay.least_length - 1e-9 and area > 0.0:
                value = tallied(area, length, sold, pay.rounded) * (1.0 + _premium(pay.length_steps, length))
                value *= 1.0 + pay.figure_premium * min(1.0, shown / area)
                if value > best:
                    best, best_start, best_end = value, begin, end
    return best, best_start, best_end


@njit(cache=True, nogil=True, error_model="numpy")
def _sums(wood, pay, lines, t, green, tables, area, shown, least, most):  # type: ignore[no-untyped-def]
    """Counted area over the whole usable length, and the narrow face's bounds, for each face."""
    left, right, below = tables.left, tables.right, tables.below
    rule = pay.rule
    area[:lines] = 0.0
    shown[:lines] = 0.0
    least[:lines] = math.inf
    most[:lines] = 0.0
    for j in range(wood.usable_from, wood.usable_to):
        w = wood.weights[j]
        for i in range(t, lines):
            up = right[j, i] - left[j, i]
            lo = right[j, i - t] - left[j, i - t]
            narrow = min(up, lo)
            area[i] += w * _width(rule, up, lo, below[j, i], below[j, i - t], green)
            least[i] = min(least[i], narrow)
            most[i] = max(most[i], narrow)
        if wood.spoilt[j]:
            # Where rot leaves pieces, both faces must keep the same one.
            for i in range(t, lines):
                common = min(right[j, i], right[j, i - t]) - max(left[j, i], left[j, i - t])
                least[i] = min(least[i], common)
        if pay.figure_premium > 0.0:
            for i in range(t, lines):
                shown[i] += 0.5 * w * (tables.figured[j, i] + tables.figured[j, i - t])


@njit(cache=True, nogil=True, error_model="numpy")
def profile(wood, pay, i, t, green, tables, narrow, counted, figure):  # type: ignore[no-untyped-def]
    """The slab between lines i - t and i, station by station."""
    left, right, below = tables.left, tables.right, tables.below
    for j in range(wood.usable_from, wood.usable_to):
        k = j - wood.usable_from
        up = right[j, i] - left[j, i]
        lo = right[j, i - t] - left[j, i - t]
        narrow[k] = min(up, lo)
        if wood.spoilt[j]:
            common = min(right[j, i], right[j, i - t]) - max(left[j, i], left[j, i - t])
            narrow[k] = min(narrow[k], common)
        counted[k] = _width(pay.rule, up, lo, below[j, i], below[j, i - t], green)
        figure[k] = 0.5 * (tables.figured[j, i] + tables.figured[j, i - t])


@njit(cache=True, nogil=True, error_model="numpy")
def slab_values(wood, pay, first, lines, step, tables):  # type: ignore[no-untyped-def]
    """Write the best value of the slab under each face, for each thickness, to `tables.values`."""
    left, right, values = tables.left, tables.right, tables.values
    z = wood.z[wood.usable_from : wood.usable_to]
    stations = z.shape[0]
    full = z[stations - 1] - z[0]
    full_premium = 1.0 + _premium(pay.length_steps, full)
    full_fits = full >= pay.least_length - 1e-9
    middle = (wood.usable_from + wood.usable_to) // 2
    narrow, counted, figure = np.empty(stations), np.empty(stations), np.empty(stations)
    area, shown, least, most = np.empty(lines), np.empty(lines), np.empty(lines), np.empty(lines)
    # No run pays more per unit than the longest one with figure from end to end.
    ceiling = full_premium * (1.0 + pay.figure_premium)
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        green = t * step
        sold = pay.sold[o]
        values[o, :lines] = -math.inf
        _sums(wood, pay, lines, t, green, tables, area, shown, least, most)
        for i in range(t, lines):
            if most[i] < pay.width_steps[0, 0]:
                continue
            upper, lower = (first + i) * step, (first + i - t) * step
            factor = pay.rates[o]
            forbidden = False
            for q in range(tables.pith_low.shape[0]):
                if lower < tables.pith_high[q] - 1e-9 and upper > tables.pith_low[q] + 1e-9:
                    forbidden = forbidden or pay.pith_rule == THROUGH
                    if pay.pith_rule == FREE:
                        factor = pay.rates[o] * (1.0 - pay.deduction)
            if forbidden:
                continue
            if pay.finished[o] > 0.0:
                # Judged at mid-length, where the wood has its middling width.
                k = i
                if right[middle, i - t] - left[middle, i - t] > right[middle, i] - left[middle, i]:
                    k = i - t
                height = 0.5 * (upper + lower)
                if not _finishes(pay, pay.finished[o], green, -left[middle, k], right[middle, k], height):
                    continue
            best = 0.0
            drawn = False
            for s in range(pay.width_steps.shape[0] - 1, -1, -1):
                threshold = pay.width_steps[s, 0]
                gain = factor * (1.0 + pay.width_steps[s, 1])
                if most[i] < threshold:
                    continue
                if not pay.rounded and gain * area[i] * sold * ceiling <= best:
                    continue
                value = 0.0
                if least[i] >= threshold:
                    if full_fits:  # the sums over the whole usable length are the answer
                        value = tallied(area[i], full, sold, pay.rounded) * full_premium
                        value *= 1.0 + pay.figure_premium * min(1.0, shown[i] / area[i])
                else:
                    if not drawn:
                        drawn = True
                        profile(wood, pay, i, t, green, tables, narrow, counted, figure)
                    value = piece_value(z, narrow, counted, figure, threshold, sold, pay)[0]
                best = max(best, gain * value)
            if best > 0.0:
                values[o, i] = best - pay.slab_cost

"""The best rip of every slab that a setting holds, compiled by numba.

A strip between two parallel rips is clear where both faces of the slab reach across it.
Strips are chosen from left to right by dynamic programming: the best of what lies left
of a rip is the best of what lies left of a step less, or a strip that ends there and the best
of what lies left of it and of one kerf.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

__all__ = ["clear_edges", "crosscut_worth", "rip", "rip_faces", "rip_slab", "runs_in"]

_NEARER = 1e-7  # [money/m]


@njit(cache=True, nogil=True, error_model="numpy")
def crosscut_worth(values, lengths, crosscut, worth):  # type: ignore[no-untyped-def]
    """Best worth of a strip by its clear length, cut into given lengths.

    Parameters
    ----------
    values, lengths : (lengths,) of one piece, [money]; whole millimetres
    crosscut : millimetres between two pieces
    worth : (millimetres,) written
    """
    for n in range(worth.shape[0]):
        worth[n] = worth[n - 1] if n > 0 else 0.0
        for k in range(lengths.shape[0]):
            if n >= lengths[k]:
                rest = n - lengths[k] - crosscut
                gained = values[k] + (worth[rest] if rest > 0 else 0.0)
                if gained > worth[n]:
                    worth[n] = gained


@njit(cache=True, nogil=True, error_model="numpy")
def clear_edges(left, right, j0, j1, upper, lower, slope, z, low, high):  # type: ignore[no-untyped-def]
    """Write the clear wood of a slab from its two faces, sheared so that rips stand upright.

    Parameters
    ----------
    left, right : (stations, lines) edges of the sound wood
    j0, j1 : first usable station, and one past the last
    upper, lower : lines of the two faces
    slope : of the rips against the pith line [m/m]
    low, high : (usable stations,) written; inf and -inf where a face is not there
    """
    middle = 0.5 * (z[j0] + z[j1 - 1])
    for j in range(j0, j1):
        k = j - j0
        there = right[j, upper] > left[j, upper] and right[j, lower] > left[j, lower]
        low[k], high[k] = math.inf, -math.inf
        if there:
            shear = slope * (z[j] - middle)
            low[k] = max(left[j, upper], left[j, lower]) - shear
            high[k] = min(right[j, upper], right[j, lower]) - shear


@njit(cache=True, nogil=True, error_model="numpy")
def runs_in(low, high, z, left, right, gap, found):  # type: ignore[no-untyped-def]
    """Runs of the stations' range in which a strip is clear; how many.

    Parameters
    ----------
    low, high, z : (stations,) of the slab
    left, right : of the strip [m]
    gap : wood that a cut across takes, between two runs at the least [m]
    found : (runs, 2), written: start and end [m]
    """
    last = z.shape[0] - 1
    many = 0
    k = 0
    while k <= last:
        if low[k] > left + 1e-9 or high[k] < right - 1e-9:
            k += 1
            continue
        start = z[k]
        if k > 0 and low[k - 1] < math.inf:
            # Between stations the edges are straight: the later of the two crossings decides.
            f = 0.0
            if low[k - 1] > left:
                f = max(f, (low[k - 1] - left) / max(low[k - 1] - low[k], 1e-12))
            if high[k - 1] < right:
                f = max(f, (right - high[k - 1]) / max(high[k] - high[k - 1], 1e-12))
            start = z[k - 1] + min(f, 1.0) * (z[k] - z[k - 1])
        while k < last and low[k + 1] <= left + 1e-9 and high[k + 1] >= right - 1e-9:
            k += 1
        end = z[k]
        if k < last and low[k + 1] < math.inf:
            f = 0.0
            if low[k + 1] > left:
                f = max(f, (low[k + 1] - left) / max(low[k + 1] - low[k], 1e-12))
            if high[k + 1] < right:
                f = max(f, (right - high[k + 1]) / max(high[k] - high[k + 1], 1e-12))
            end = z[k + 1] - min(f, 1.0) * (z[k + 1] - z[k])
        if many > 0:
            start = max(start, found[many - 1, 1] + gap)
        if many < found.shape[0] and end >= start:
            found[many, 0], found[many, 1] = start, end
            many += 1
        k += 1
    return many


@njit(cache=True, nogil=True, error_model="numpy")
def rip(low, high, z, slope, holds, depth, pith, stock, o, best, take):  # type: ignore[no-untyped-def]
    """The best strips of one slab.

    Parameters
    ----------
    low, high, z : (stations,) of the clear wood, sheared
    slope : of the rips [m/m]
    holds : whether the pith lies between the faces
    depth : how far it lies inside the nearer of them [m]
    pith : (2,) where the pith lies across, least and most [m]
    stock : `stock.Stock`
    o : number of the thickness
    best, take : (steps,), written: best worth left of each step, and the item whose strip ends
        there or -1; step n lies at (first + n) steps

    Returns
    -------
    first, count : number of the first step, and how many
    """
    lowest, highest, widest_low, narrowest_high = math.inf, -math.inf, -math.inf, math.inf
    for k in range(z.shape[0]):
        lowest, highest = min(lowest, low[k]), max(highest, high[k])
        widest_low, narrowest_high = max(widest_low, low[k]), min(narrowest_high, high[k])
    best[0], take[0] = 0.0, -1
    if not lowest < highest:
        return 0, 1
    step = stock.step
    first = math.floor(lowest / step)
    count = min(math.ceil(highest / step) - first + 1, best.shape[0])
    whole = z[-1] - z[0]
    spans = np.empty((z.shape[0], 2))
    most = stock.worth.shape[3] - 1
    for n in range(1, count):
        best[n], take[n] = best[n - 1], -1
        right = (first + n) * step
        if right > highest + 1e-9:
            continue
        for q in range(stock.lines.shape[0]):
            a = n - stock.lines[q]
            if a < 0 or not stock.serves[o, q]:
                continue
            left = (first + a) * step
            if left < lowest - 1e-9:
                continue
            flag = 0
            if stock.heart[q]:
                margin = stock.margin[q] - 1e-9
                if depth < margin or left > pith[0] - margin or right < pith[1] + margin:
                    continue
            elif holds and left < pith[1] + stock.strip - 1e-9 and right > pith[0] - stock.strip + 1e-9:
                flag = 1
            before = best[max(0, a - stock.kerf)]
            worth = stock.worth[o, flag, q]
            # Square ends of a board that runs askew cost so much of its length.
            askew = abs(slope) * stock.lines[q] * step
            # No strip is clear for longer than the slab.
            if before + worth[min(most, max(0, math.floor((whole - askew) * 1000.0 + 1e-6)))] <= best[n]:
                continue
            gained = 0.0
            if left >= widest_low - 1e-9 and right <= narrowest_high + 1e-9:
                gained = worth[min(most, max(0, math.floor((whole - askew) * 1000.0 + 1e-6)))]
            else:
                for r in range(runs_in(low, high, z, left, right, stock.gap * 0.001, spans)):
                    clear = spans[r, 1] - spans[r, 0] - askew
                    gained += worth[min(most, max(0, math.floor(clear * 1000.0 + 1e-6)))]
            if stock.heart[q]:
                # Of places that are worth the same, the one about the pith.
                gained -= _NEARER * abs(0.5 * (left + right))
            if before + gained > best[n]:
                best[n] = before + gained
                take[n] = q
    return first, count


@njit(cache=True, nogil=True, error_model="numpy")
def _edge_slope(edge, z):  # type: ignore[no-untyped-def]
    """Slope of the straight line nearest to an edge where it is there. [m/m]"""
    n, sz, se, szz, sze = 0, 0.0, 0.0, 0.0, 0.0
    for k in range(z.shape[0]):
        if abs(edge[k]) < math.inf:
            n += 1
            sz += z[k]
            se += edge[k]
            szz += z[k] * z[k]
            sze += z[k] * edge[k]
    spread = n * szz - sz * sz
    return (n * sze - sz * se) / spread if n > 1 and spread > 1e-12 else 0.0


@njit(cache=True, nogil=True, error_model="numpy")
def rip_slab(left, right, z, j0, j1, upper, lower, holds, depth, stock, o, ways, low, high, best, take):  # type: ignore[no-untyped-def]
    """The best rip of one slab over the allowed ways: worth and slope.

    Parameters
    ----------
    holds : whether the pith lies between the faces
    depth : how far it lies inside the nearer of them [m]
    ways : (3,) which of pith, left edge and right edge may lead the rips
    low, high, best, take : room
    """
    own = z[j0:j1]
    clear_edges(left, right, j0, j1, upper, lower, 0.0, z, low, high)
    slopes = (0.0, _edge_slope(low, own), _edge_slope(high, own))
    worth, found = 0.0, 0.0
    pith = np.zeros(2)
    for w in range(3):
        if not ways[w]:
            continue
        slope = slopes[w]
        if w > 0:
            clear_edges(left, right, j0, j1, upper, lower, slope, z, low, high)
        # Sheared with the rest, the straight pith line covers a range across.
        pith[1] = 0.5 * abs(slope) * (own[-1] - own[0])
        pith[0] = -pith[1]
        _, count = rip(low, high, own, slope, holds, depth, pith, stock, o, best, take)
        if best[count - 1] > worth:
            worth, found = best[count - 1], slope
    return worth, found


@njit(cache=True, nogil=True, error_model="numpy")
def rip_faces(wood, thick, left, right, pith_low, pith_high, first, lines, step, stock, ways, steps, found):  # type: ignore[no-untyped-def]
    """Worth of the best rip of the slab under every face, for each thickness.

    Parameters
    ----------
    left, right : (stations, lines) edges of the sound wood
    pith_low, pith_high : (piths,) range of heights of the pith lines [m]
    steps : room across, in steps of the rips
    found : (thicknesses, lines), written; 0 where nothing is worth ripping
    """
    j0, j1 = wood.usable_from, wood.usable_to
    low, high = np.empty(j1 - j0), np.empty(j1 - j0)
    best, take = np.empty(steps), np.empty(steps, dtype=np.int64)
    for o in range(thick.shape[0]):
        t = thick[o]
        for i in range(lines):
            found[o, i] = 0.0
            if i < t:
                continue
            under, above = (first + i - t) * step, (first + i) * step
            holds = under < pith_high[0] - 1e-9 and above > pith_low[0] + 1e-9
            depth = min(pith_low[0] - under, above - pith_high[0])
            found[o, i] = rip_slab(
                left, right, wood.z, j0, j1, i, i - t, holds, depth, stock, o, ways, low, high, best, take
            )[0]

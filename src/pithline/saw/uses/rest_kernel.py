"""What a use at a slab's end leaves to be sold by the tally, a block of slabs at a time, compiled by numba.

First all of the rest, which is quickly summed for many slabs at once; then, where it may
bring more, a part of it that reaches a width which the whole does not. Where a slab
reaches a width is looked up once, however many uses ask.
"""

from __future__ import annotations

import math

from numba import njit

from pithline.saw.uses.place_kernel import at, between, for_length, places, upto, window_run
from pithline.saw.value_kernel import tallied

__all__ = ["UNKNOWN", "premiums", "rests", "wider_parts"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "b0d4046f"

_SQUARE_FOOT = 0.3048**2  # [m2]
UNKNOWN = -1  # how often a slab reaches a width


@njit(cache=True, nogil=True, error_model="numpy")
def premiums(profile, pay, count, sure, highest):  # type: ignore[no-untyped-def]
    """Write the premium for width that every run of a slab earns, and the most that any can.

    -1 where no run is wide enough, or not every one.
    """
    least, most, steps = profile.least, profile.most, pay.width_steps
    sure[:count] = -1.0
    highest[:count] = -1.0
    for s in range(steps.shape[0]):
        width, premium = steps[s, 0], steps[s, 1]
        for b in range(count):
            sure[b] = premium if least[b] >= width else sure[b]
            highest[b] = premium if most[b] >= width else highest[b]


@njit(cache=True, nogil=True, error_model="numpy")
def _sold(z, profile, pay, count, low, high, area, most):  # type: ignore[no-untyped-def]
    """Write what a stretch of each slab brings, and at most a part of it, in square metres of face."""
    k, m = between(z, low, high)
    gap, end = low - z[k], high - z[m]
    f, g = gap / (z[k + 1] - z[k]), end / (z[m + 1] - z[m])
    a0, a1, b0, b1 = profile.counted[k], profile.counted[k + 1], profile.counted[m], profile.counted[m + 1]
    below, above = profile.upto[k], profile.upto[m]
    for b in range(count):
        so_far = below[b] + 0.5 * gap * (a0[b] + (a0[b] + f * (a1[b] - a0[b])))
        area[b] = above[b] + 0.5 * end * (b0[b] + (b0[b] + g * (b1[b] - b0[b]))) - so_far
        most[b] = area[b]
    if pay.rounded:
        for b in range(count):
            # No part is rounded to more than its own square feet and a half.
            most[b] = area[b] / _SQUARE_FOOT * (1.0 + 1e-9) + 0.5
            area[b] = tallied(area[b], high - low, 1.0, True)
    if pay.figure_premium > 0.0:
        s0, s1, t0, t1 = profile.shown[k], profile.shown[k + 1], profile.shown[m], profile.shown[m + 1]
        for b in range(count):
            shown = t0[b] + g * (t1[b] - t0[b]) - (s0[b] + f * (s1[b] - s0[b]))
            so_far = below[b] + 0.5 * gap * (a0[b] + (a0[b] + f * (a1[b] - a0[b])))
            face = above[b] + 0.5 * end * (b0[b] + (b0[b] + g * (b1[b] - b0[b]))) - so_far
            shows = 1.0 + pay.figure_premium * min(face, shown) / face if face > 0.0 else 1.0
            area[b] *= shows
            most[b] *= shows


@njit(cache=True, nogil=True, error_model="numpy")
def rests(z, profile, pay, o, count, side, wide, u, rate, block, gains):  # type: ignore[no-untyped-def]
    """Raise gains by one use at a slab's end with all that it leaves, sold by the tally.

    Parameters
    ----------
    side : 0 with the use at the butt, 1 with it at the top
    wide : width of the use: slabs that reach it all along are cut at the same place
    block : reads cut and own, which is -inf where the use has no place; writes hopes: what
        a part of the rest, wider than the whole, can bring at most; -inf where the whole is the best
    """
    # Taken out of their tuples once: every look into a tuple of arrays in a loop costs as much as the sum.
    sure, highest, each = block.sure[:count], block.highest[:count], block.each[:count]
    area, most = block.area[:count], block.most[:count]
    cut, own, hopes = block.cut[:count], block.own[u, :count], block.hopes[u, side, :count]
    least, counted, sums, figures = profile.least[:count], profile.counted, profile.upto, profile.shown
    sold, figured, lengths, shortest = pay.sold[o], pay.figure_premium, pay.length_steps, pay.least_length
    rounded = pay.rounded
    last = z.shape[0] - 1
    same = math.inf
    for b in range(count):
        hopes[b] = -math.inf
        if least[b] >= wide and own[b] > -math.inf:
            same = cut[b]
    low, high = (same, z[last]) if side == 0 else (z[0], same)
    if math.isfinite(same) and high - low >= shortest - 1e-9:
        _sold(z, profile, pay, count, low, high, area, most)
        for_it = sold * (1.0 + for_length(lengths, high - low))
        # Few arrays in each loop: of more, the compiler does not do several slabs at once.
        for b in range(count):
            each[b] = rate[b] * for_it if least[b] >= wide else 0.0
        for b in range(count):
            gain = own[b] + each[b] * area[b] * (1.0 + sure[b])
            gain = gain if sure[b] >= 0.0 else -math.inf
            gains[b] = gain if gain > gains[b] else gains[b]
        for b in range(count):
            hope = own[b] + each[b] * most[b] * (1.0 + highest[b])
            hopes[b] = hope if highest[b] > sure[b] and each[b] > 0.0 else -math.inf
    for b in range(count):
        # The others are cut where the use ends in each.
        if least[b] >= wide or own[b] == -math.inf or highest[b] < 0.0:
            continue
        low, high = (cut[b], z[last]) if side == 0 else (z[0], cut[b])
        if high - low < shortest - 1e-9:
            continue
        k, m = between(z, low, high)
        face = upto(sums, counted, z, m, high, b) - upto(sums, counted, z, k, low, b)
        if face <= 0.0:
            continue
        pays = rate[b] * sold * (1.0 + for_length(lengths, high - low))
        if figured > 0.0:
            shown = at(figures, z, m, high, b) - at(figures, z, k, low, b)
            pays *= 1.0 + figured * min(face, shown) / face
        if sure[b] >= 0.0:
            worth = pays * tallied(face, high - low, 1.0, rounded)
            gains[b] = max(gains[b], own[b] + worth * (1.0 + sure[b]))
        if highest[b] > sure[b]:
            face = face / _SQUARE_FOOT * (1.0 + 1e-9) + 0.5 if rounded else face
            hopes[b] = own[b] + pays * face * (1.0 + highest[b])


@njit(cache=True, nogil=True, error_model="numpy")
def wider_parts(z, profile, pay, o, count, side, u, rate, block, gains):  # type: ignore[no-untyped-def]
    """Raise gains by one use at a slab's end with the best part of the rest that is wider than its whole.

    Only where the part may bring more than is gained already. Reads of `block` what `rests` does,
    and hopes; runs says which slabs' widths have been looked up.
    """
    cut, own, hopes = block.cut, block.own[u], block.hopes[u, side]
    runs, run_from, run_to = block.runs, block.run_from, block.run_to
    narrow, counted, sums, figures = profile.narrow, profile.counted, profile.upto, profile.shown
    least, most = profile.least, profile.most
    sold, figured, lengths, shortest = pay.sold[o], pay.figure_premium, pay.length_steps, pay.least_length
    widths, rounded = pay.width_steps, pay.rounded
    last = z.shape[0] - 1
    for b in range(count):
        if hopes[b] <= gains[b]:
            continue
        low, high = (cut[b], z[last]) if side == 0 else (z[0], cut[b])
        worth = 0.0
        for s in range(widths.shape[0] - 1, -1, -1):
            width = widths[s, 0]
            if least[b] >= width:
                break
            if most[b] < width:
                continue
            if runs[s, b] == UNKNOWN:
                # A piece without length ends where the first run begins, and starts where the last one ends.
                run_from[s, b], run_to[s, b], runs[s, b] = places(z, narrow, least[b], b, width, 0.0)
            if runs[s, b] > 1:
                worth = window_run(z, profile, b, low, high, sold, pay)[0]
                break
            start, end = max(low, run_from[s, b]), min(high, run_to[s, b])
            if runs[s, b] == 0 or end - start < shortest - 1e-9:
                continue
            k, m = between(z, start, end)
            area = upto(sums, counted, z, m, end, b) - upto(sums, counted, z, k, start, b)
            if area <= 0.0:
                continue
            part = tallied(area, end - start, sold, rounded)
            part *= (1.0 + for_length(lengths, end - start)) * (1.0 + widths[s, 1])
            if figured > 0.0:
                shown = at(figures, z, m, end, b) - at(figures, z, k, start, b)
                part *= 1.0 + figured * min(area, shown) / area
            worth = max(worth, part)
        if worth > 0.0:
            gains[b] = max(gains[b], own[b] + rate[b] * worth)

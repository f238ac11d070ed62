"""What every slab of a setting is worth when lengths of it make things, compiled by numba.

`piece_kernel` once more, a block of lines at a time. Where slabs are wide enough all along
a use lies at the slab's end, and what it leaves is the same stretch for the whole block:
the processor sums several lines at once. A part of the rest that is wider than the whole
is looked for only where it could bring more than what is known already.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pithline.saw.profile_kernel import draw, profile_room
from pithline.saw.share_kernel import shares, slab_cost_of
from pithline.saw.uses.place_kernel import (
    at,
    between,
    for_length,
    grained,
    holds_pith,
    places,
    upto,
    window_run,
)
from pithline.saw.value_kernel import BLOCK, block_room, block_values, tallied

__all__ = ["claim_values"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "35a4f645"

_SQUARE_FOOT = 0.3048**2  # [m2]


@njit(cache=True, nogil=True, error_model="numpy")
def _spots(wood, pay, wants, u, o, first, i0, count, step, tables, profile, share, early, late):  # type: ignore[no-untyped-def]
    """Write where use u can lie in each slab of a block: earliest end, latest start; say if in any."""
    z = wood.z[wood.usable_from : wood.usable_to]
    last = z.shape[0] - 1
    t = pay.thick[o]
    width, length = wants.width[u], wants.length[u]
    any_rings = wants.ring_from[u] <= 0.0 and wants.ring_to[u] == math.inf
    narrow, least, most = profile.narrow, profile.least, profile.most
    fits_whole = z[last] - z[0] >= length - 1e-9
    first_end, last_start = z[0] + length, z[last] - length
    some = False
    for b in range(count):
        early[b], late[b] = math.inf, -math.inf
        if share[b] <= 0.0 or most[b] < width:
            continue
        if wants.clear[u] and holds_pith(tables, first, i0 + b, t, step):
            continue
        # Without a premium nothing is summed up as shown: figure then is no one's wish here.
        if wants.figure[u] > 0.0 and profile.shown[last, b] < wants.figure[u] * profile.upto[last, b]:
            continue
        if not any_rings and not grained(wood, wants, u, first, i0 + b, t, step, tables):
            continue
        if least[b] >= width:
            if fits_whole:
                early[b], late[b] = first_end, last_start
        else:
            early[b], late[b] = places(z, narrow, least[b], b, width, length)
        some = some or early[b] < math.inf
    return some


@njit(cache=True, nogil=True, error_model="numpy")
def _premiums(profile, pay, count, sure, highest):  # type: ignore[no-untyped-def]
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
def _stretches(z, profile, pay, count, low, high, area, figure):  # type: ignore[no-untyped-def]
    """Write how much of each slab's face is counted, and shows figure, between two places."""
    k, m = between(z, low, high)
    gap, end = low - z[k], high - z[m]
    f, g = gap / (z[k + 1] - z[k]), end / (z[m + 1] - z[m])
    a0, a1, b0, b1 = profile.counted[k], profile.counted[k + 1], profile.counted[m], profile.counted[m + 1]
    below, above = profile.upto[k], profile.upto[m]
    for b in range(count):
        so_far = below[b] + 0.5 * gap * (a0[b] + (a0[b] + f * (a1[b] - a0[b])))
        area[b] = above[b] + 0.5 * end * (b0[b] + (b0[b] + g * (b1[b] - b0[b]))) - so_far
        figure[b] = 0.0
    if pay.figure_premium > 0.0:
        s0, s1, t0, t1 = profile.shown[k], profile.shown[k + 1], profile.shown[m], profile.shown[m + 1]
        for b in range(count):
            figure[b] = t0[b] + g * (t1[b] - t0[b]) - (s0[b] + f * (s1[b] - s0[b]))


@njit(cache=True, nogil=True, error_model="numpy")
def _rests(z, profile, pay, o, count, side, wide, cut, own, rate, lanes, gains, hopes):  # type: ignore[no-untyped-def]
    """Raise gains by one use at a slab's end with all that it leaves, sold by the tally.

    Parameters
    ----------
    side : 0 with the use at the butt, 1 with it at the top
    wide : width of the use: slabs that reach it all along are cut at the same place
    cut : (count,) where the rest begins or ends
    own : (count,) the use's price less the slab's cost; -inf where it has no place
    hopes : (count,), written: what a part of the rest, wider than the whole, can bring at
        most; -inf where the whole is the best
    """
    sure, highest, area, figure = lanes
    last = z.shape[0] - 1
    least, sold, figured = profile.least, pay.sold[o], pay.figure_premium
    same = cut[0]
    for b in range(count):
        hopes[b] = -math.inf
        if least[b] >= wide and own[b] > -math.inf:
            same = cut[b]
    low, high = (same, z[last]) if side == 0 else (z[0], same)
    length, gained = high - low, for_length(pay, high - low)
    if math.isfinite(same) and length >= pay.least_length - 1e-9:
        _stretches(z, profile, pay, count, low, high, area, figure)
    for b in range(count):
        if own[b] == -math.inf or highest[b] < 0.0:
            continue
        here, for_it, surface, shown = length, gained, area[b], figure[b]
        if least[b] < wide:
            start, end = (cut[b], z[last]) if side == 0 else (z[0], cut[b])
            here, for_it = end - start, for_length(pay, end - start)
        if here < pay.least_length - 1e-9:
            continue
        if least[b] < wide:
            k, m = between(z, start, end)
            surface = upto(profile.upto, profile.counted, z, m, end, b)
            surface -= upto(profile.upto, profile.counted, z, k, start, b)
            shown = at(profile.shown, z, m, end, b) - at(profile.shown, z, k, start, b)
        if surface <= 0.0:
            continue
        factor = rate[b] * sold * (1.0 + for_it) * (1.0 + figured * min(surface, shown) / surface)
        if sure[b] >= 0.0:
            worth = factor * tallied(surface, here, 1.0, pay.rounded)
            gains[b] = max(gains[b], own[b] + worth * (1.0 + sure[b]))
        if highest[b] > sure[b]:
            # No part is rounded to more than its own square feet and a half.
            most = surface / _SQUARE_FOOT * (1.0 + 1e-9) + 0.5 if pay.rounded else surface
            hopes[b] = own[b] + factor * most * (1.0 + highest[b])


@njit(cache=True, nogil=True, error_model="numpy")
def _block_claims(wood, pay, wants, o, i0, count, profile, share, costs, early, late, some, spare, claimed):  # type: ignore[no-untyped-def]
    """Raise the claims of one block of slabs to the best that uses bring."""
    z = wood.z[wood.usable_from : wood.usable_to]
    last = z.shape[0] - 1
    gap = wants.crosscut
    sure, highest, area, figure, rate, cut, own, hopes = spare
    _premiums(profile, pay, count, sure, highest)
    for u in range(some.shape[0]):
        if not some[u]:
            continue
        # Slices, not computed indices: only so does the compiler do several lines at once.
        price, alone, ends = wants.price[o, u], own[u, :count], early[u, :count]
        gains = claimed.values[o, wants.single[u], i0 : i0 + count]
        for b in range(count):
            gain = share[b] * price - costs[b] if ends[b] < math.inf else -math.inf
            alone[b] = gain
            gains[b] = gain if gain > gains[b] else gains[b]
        for v in range(some.shape[0]):
            c = wants.double[u, v]
            if c < 0 or not some[v]:
                continue
            gains, starts = claimed.values[o, c, i0 : i0 + count], late[v, :count]
            both = price + wants.price[o, v]
            for b in range(count):
                gain = share[b] * both - costs[b]
                gain = gain if ends[b] + gap <= starts[b] + 1e-9 else -math.inf
                gains[b] = gain if gain > gains[b] else gains[b]
    if pay.rates[o] > 0.0:
        lanes = (sure, highest, area, figure)
        # All of the rest first, which is quickly known; then, where they may be better, its wider parts.
        for u in range(some.shape[0]):
            if some[u]:
                gains = claimed.values[o, wants.single[u], i0 : i0 + count]
                for side in range(2):
                    cut[:count] = early[u, :count] + gap if side == 0 else late[u, :count] - gap
                    _rests(
                        z,
                        profile,
                        pay,
                        o,
                        count,
                        side,
                        wants.width[u],
                        cut,
                        own[u],
                        rate,
                        lanes,
                        gains,
                        hopes[u, side],
                    )
        for u in range(some.shape[0]):
            if some[u]:
                gains = claimed.values[o, wants.single[u], i0 : i0 + count]
                for side in range(2):
                    for b in range(count):
                        if hopes[u, side, b] > gains[b]:
                            low = early[u, b] + gap if side == 0 else z[0]
                            high = z[last] if side == 0 else late[u, b] - gap
                            more = window_run(z, profile, b, low, high, pay.sold[o], pay)[0]
                            if more > 0.0:
                                gains[b] = max(gains[b], own[u, b] + rate[b] * more)
    # A claim that pays no more than none is only worth its bonus.
    none = claimed.values[o, 0, i0 : i0 + count]
    for c in range(1, wants.bonus.shape[0]):
        if wants.bonus[c] <= 0.0:
            gains = claimed.values[o, c, i0 : i0 + count]
            for b in range(count):
                gains[b] = gains[b] if gains[b] > none[b] else -math.inf


@njit(cache=True, nogil=True, error_model="numpy")
def claim_values(wood, pay, wants, first, lines, step, tables, claimed):  # type: ignore[no-untyped-def]
    """Write the best value of the slab under each face, for each thickness and claim, to `claimed.values`.

    `tables` are filled by `lay`; to their `values` is written what the tally alone pays, and
    to `claimed.shares` which share of its price each slab is paid.
    """
    profile, room = profile_room(wood.usable_to - wood.usable_from, BLOCK), block_room(BLOCK)
    serves = np.empty(BLOCK, dtype=np.bool_)
    uses = wants.width.shape[0]
    lanes = np.empty((7, BLOCK))
    rate, costs = lanes[4], lanes[6]
    spare = (
        lanes[0],
        lanes[1],
        lanes[2],
        lanes[3],
        lanes[4],
        lanes[5],
        np.empty((uses, BLOCK)),
        np.empty((uses, 2, BLOCK)),
    )
    early, late = np.empty((uses, BLOCK)), np.empty((uses, BLOCK))
    some = np.empty(uses, dtype=np.bool_)
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        tables.values[o, :lines] = -math.inf
        claimed.values[o, :, :lines] = -math.inf
        for i0 in range(t, lines, BLOCK):
            count = min(BLOCK, lines - i0)
            share = claimed.shares[o, i0 : i0 + count]
            draw(wood, pay, t, step, i0, count, tables, profile)
            shares(wood, pay, o, first, i0, count, step, tables, serves, share)
            block_values(wood, pay, o, first, i0, count, step, tables, profile, room, share)
            rate[:count] = room[3][:count]
            claimed.values[o, 0, i0 : i0 + count] = tables.values[o, i0 : i0 + count]
            fits = False
            for u in range(uses):
                some[u] = False
                if wants.fits[o, u] and not wants.pair[u]:
                    some[u] = _spots(
                        wood,
                        pay,
                        wants,
                        u,
                        o,
                        first,
                        i0,
                        count,
                        step,
                        tables,
                        profile,
                        share,
                        early[u],
                        late[u],
                    )
                fits = fits or some[u]
            if fits:
                for b in range(count):
                    costs[b] = slab_cost_of(pay, o, i0 + b, t, step, tables)
                _block_claims(
                    wood, pay, wants, o, i0, count, profile, share, costs, early, late, some, spare, claimed
                )

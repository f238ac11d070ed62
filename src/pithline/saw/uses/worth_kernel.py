"""What every slab of a setting is worth when lengths of it make things, compiled by numba.

`piece_kernel` once more, a block of lines at a time. Where slabs are wide enough all along
a use lies at the slab's end, and what it leaves is the same stretch for the whole block:
the processor sums several lines at once. A part of the rest that is wider than the whole
is looked for only where it could bring more than what is known already.
"""

from __future__ import annotations

import math

from numba import njit

from pithline.saw.block import BLOCK
from pithline.saw.profile_kernel import draw
from pithline.saw.share_kernel import shares, slab_cost_at
from pithline.saw.uses.place_kernel import grained, holds_pith, places
from pithline.saw.uses.rest_kernel import UNKNOWN, premiums, rests, wider_parts
from pithline.saw.value_kernel import block_values

__all__ = ["claim_values"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "c0375b65"


@njit(cache=True, nogil=True, error_model="numpy")
def _spots(wood, pay, wants, u, o, first, i0, count, step, tables, block):  # type: ignore[no-untyped-def]
    """Write where use u can lie in each slab of a block: earliest end, latest start; say if in any."""
    z = wood.z[wood.usable_from : wood.usable_to]
    last = z.shape[0] - 1
    t = pay.thick[o]
    width, length = wants.width[u], wants.length[u]
    any_rings = wants.ring_from[u] <= 0.0 and wants.ring_to[u] == math.inf
    early, late = block.early[u], block.late[u]
    profile, share = tables.block.profile, tables.block.share
    narrow, least, most = profile.narrow, profile.least, profile.most
    clear, figure = wants.clear[u], wants.figure[u]
    fits_whole = z[last] - z[0] >= length - 1e-9
    first_end, last_start = z[0] + length, z[last] - length
    some = False
    for b in range(count):
        early[b], late[b] = math.inf, -math.inf
        if share[b] <= 0.0 or most[b] < width:
            continue
        if clear and holds_pith(tables, first, i0 + b, t, step):
            continue
        # Without a premium nothing is summed up as shown: figure then is no one's wish here.
        if figure > 0.0 and profile.shown[last, b] < figure * profile.upto[last, b]:
            continue
        if not any_rings and not grained(wood, wants, u, first, i0 + b, t, step, tables):
            continue
        if least[b] >= width:
            if fits_whole:
                early[b], late[b] = first_end, last_start
        else:
            early[b], late[b], _ = places(z, narrow, least[b], b, width, length)
        some = some or early[b] < math.inf
    return some


@njit(cache=True, nogil=True, error_model="numpy")
def _cut_off(early, late, gap, side, count, cut):  # type: ignore[no-untyped-def]
    """Write where the rest of each slab begins, with the use at its butt, or ends, with it at its top."""
    for b in range(count):
        cut[b] = early[b] + gap if side == 0 else late[b] - gap


@njit(cache=True, nogil=True, error_model="numpy")
def _block_claims(wood, pay, wants, o, i0, count, tables, claimed):  # type: ignore[no-untyped-def]
    """Raise the claims of one block of slabs to the best that uses bring."""
    z = wood.z[wood.usable_from : wood.usable_to]
    gap = wants.crosscut
    profile, share, rate = tables.block.profile, tables.block.share, tables.block.rates
    block = claimed.block
    early, late, some, own = block.early, block.late, block.some, block.own
    sure, highest, cut, costs = block.sure, block.highest, block.cut, block.costs
    premiums(profile, pay, count, sure, highest)
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
        # All of the rest first, which is quickly known; then, where they may be better, its wider parts.
        block.runs[:, :count] = UNKNOWN
        for u in range(some.shape[0]):
            if some[u]:
                gains = claimed.values[o, wants.single[u], i0 : i0 + count]
                for side in range(2):
                    _cut_off(early[u], late[u], gap, side, count, cut)
                    rests(z, profile, pay, o, count, side, wants.width[u], u, rate, block, gains)
        for u in range(some.shape[0]):
            if some[u]:
                gains = claimed.values[o, wants.single[u], i0 : i0 + count]
                for side in range(2):
                    _cut_off(early[u], late[u], gap, side, count, cut)
                    wider_parts(z, profile, pay, o, count, side, u, rate, block, gains)
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
    block, some = tables.block, claimed.block.some
    costs, face, per_volume = claimed.block.costs, tables.face, pay.per_volume
    uses = wants.width.shape[0]
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        tables.values[o, :lines] = -math.inf
        claimed.values[o, :, :lines] = -math.inf
        for i0 in range(t, lines, BLOCK):
            count = min(BLOCK, lines - i0)
            draw(wood, pay, t, step, i0, count, tables, block.profile)
            shares(wood, pay, o, first, i0, count, step, tables, block.serves, block.share)
            claimed.shares[o, i0 : i0 + count] = block.share[:count]
            block_values(wood, pay, o, first, i0, count, step, tables)
            claimed.values[o, 0, i0 : i0 + count] = tables.values[o, i0 : i0 + count]
            fits = False
            for u in range(uses):
                some[u] = False
                if wants.fits[o, u] and not wants.pair[u]:
                    some[u] = _spots(wood, pay, wants, u, o, first, i0, count, step, tables, claimed.block)
                fits = fits or some[u]
            if fits:
                for b in range(count):
                    costs[b] = slab_cost_at(pay.slab_cost, per_volume[o], face, i0 + b, t, step)
                _block_claims(wood, pay, wants, o, i0, count, tables, claimed)

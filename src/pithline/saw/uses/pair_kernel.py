"""Two neighbouring slabs sold together as a pair, compiled by numba.

Both keep the same length of the log, where all four faces are wide enough.
"""

from __future__ import annotations

import math

from numba import njit

from pithline.saw.block import BLOCK
from pithline.saw.profile_kernel import draw, profile_room
from pithline.saw.share_kernel import allowance, slab_cost_of
from pithline.saw.uses.place_kernel import grained, holds_pith, places

__all__ = ["pair_place", "pair_values"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "fe9cdbad"


@njit(cache=True, nogil=True, error_model="numpy")
def _wished(wood, pay, wants, o, u, first, f, g, step, tables):  # type: ignore[no-untyped-def]
    """Whether pith and grain let the slabs under faces f and g be a pair."""
    t = pay.thick[o]
    if wants.clear[u] and (holds_pith(tables, first, f, t, step) or holds_pith(tables, first, g, t, step)):
        return False
    if wants.ring_from[u] <= 0.0 and wants.ring_to[u] == math.inf:
        return True
    return grained(wood, wants, u, first, f, t, step, tables) and grained(
        wood, wants, u, first, g, t, step, tables
    )


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _figured(upper, lower, last, b, wanted):  # type: ignore[no-untyped-def]
    """Whether both slabs show as much figure as is wanted."""
    enough = upper.shown[last, b] >= wanted * upper.upto[last, b]
    return enough and lower.shown[last, b] >= wanted * lower.upto[last, b]


@njit(cache=True, nogil=True, error_model="numpy")
def _narrower(upper, lower, count):  # type: ignore[no-untyped-def]
    """Make the upper slabs' narrow faces the narrower of all four."""
    upper.least[:count] = math.inf
    upper.most[:count] = 0.0
    for k in range(upper.narrow.shape[0]):
        narrow, other = upper.narrow[k, :count], lower.narrow[k, :count]
        for b in range(count):
            n = narrow[b] if narrow[b] < other[b] else other[b]
            narrow[b] = n
            upper.least[b] = n if n < upper.least[b] else upper.least[b]
            upper.most[b] = n if n > upper.most[b] else upper.most[b]


@njit(cache=True, nogil=True, error_model="numpy")
def _narrowest(wood, t, gap, i0, count, tables, profile):  # type: ignore[no-untyped-def]
    """Fill `profile.narrow`, least and most with the narrowest of the four faces of each pair of a block.

    Only where nothing spoils the wood, so that widths alone count.
    """
    least, most = profile.least[:count], profile.most[:count]
    least[:] = math.inf
    most[:] = 0.0
    end = i0 + count
    for j in range(wood.usable_from, wood.usable_to):
        narrow = profile.narrow[j - wood.usable_from, :count]
        first, second = tables.width[j, i0:end], tables.width[j, i0 - t : end - t]
        third = tables.width[j, i0 - t - gap : end - t - gap]
        fourth = tables.width[j, i0 - 2 * t - gap : end - 2 * t - gap]
        for b in range(count):
            n = first[b] if first[b] < second[b] else second[b]
            m = third[b] if third[b] < fourth[b] else fourth[b]
            n = n if n < m else m
            narrow[b] = n
            least[b] = n if n < least[b] else least[b]
            most[b] = n if n > most[b] else most[b]


@njit(cache=True, nogil=True, error_model="numpy")
def _block_pairs(wood, reach, pay, wants, o, p, first, i0, count, tables, upper, lower, claimed):  # type: ignore[no-untyped-def]
    """Write the value of the pairs of one block for one of the uses."""
    z = wood.z[wood.usable_from : wood.usable_to]
    last = z.shape[0] - 1
    kerf, step, t = reach.kerf, reach.step, pay.thick[o]
    u = wants.pairs[p]
    width, length, price = wants.width[u], wants.length[u], wants.price[o, u]
    plain = not wants.clear[u] and wants.ring_from[u] <= 0.0 and wants.ring_to[u] == math.inf
    fits_whole = z[last] - z[0] >= length - 1e-9
    least, most, narrow = upper.least, upper.most, upper.narrow
    above = claimed.shares[o, i0 : i0 + count]
    under = claimed.shares[o, i0 - t - kerf : i0 - t - kerf + count]
    found = claimed.paired[o, p, i0 : i0 + count]
    for b in range(count):
        f, i = i0 + b, i0 + b - t
        share = min(above[b], under[b])
        if not tables.passes[i] or most[b] < width or share <= 0.0:
            continue
        if least[b] >= width:
            if not fits_whole:
                continue
        elif places(z, narrow, least[b], b, width, length)[0] == math.inf:
            continue
        if wants.figure[u] > 0.0 and not _figured(upper, lower, last, b, wants.figure[u]):
            continue
        if not plain and not _wished(wood, pay, wants, o, u, first, f, i - kerf, step, tables):
            continue
        found[b] = (
            share * price
            - slab_cost_of(pay, o, f, t, step, tables)
            - slab_cost_of(pay, o, i - kerf, t, step, tables)
            - tables.costs[i]
        )


@njit(cache=True, nogil=True, error_model="numpy")
def pair_values(wood, pay, wants, reach, first, lines, tables, claimed):  # type: ignore[no-untyped-def]
    """Write the value of two neighbouring slabs as a pair, the upper face at each line, to `claimed.paired`.

    The price less both slabs' costs and the cut between them; `claimed.shares` is read.
    """
    pairs = wants.pairs.shape[0]
    if pairs == 0:
        return
    upper, lower = tables.block.profile, claimed.block.other
    # Where nothing spoils the wood and nobody asks for figure, widths are all that counts.
    plain = not wood.spoilt.any()
    for p in range(pairs):
        plain = plain and wants.figure[wants.pairs[p]] <= 0.0
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        claimed.paired[o, :, :lines] = -math.inf
        some = False
        for p in range(pairs):
            some = some or wants.fits[o, wants.pairs[p]]
        if not some:
            continue
        for i0 in range(2 * t + reach.kerf, lines, BLOCK):
            count = min(BLOCK, lines - i0)
            if plain:
                _narrowest(wood, t, reach.kerf, i0, count, tables, upper)
            else:
                draw(wood, pay, t, reach.step, i0, count, tables, upper)
                draw(wood, pay, t, reach.step, i0 - t - reach.kerf, count, tables, lower)
                _narrower(upper, lower, count)
            for p in range(pairs):
                if wants.fits[o, wants.pairs[p]]:
                    _block_pairs(
                        wood, reach, pay, wants, o, p, first, i0, count, tables, upper, lower, claimed
                    )


@njit(cache=True, nogil=True, error_model="numpy")
def pair_place(wood, pay, wants, o, u, first, f, kerf, step, tables):  # type: ignore[no-untyped-def]
    """The place of a pair of slabs under face f: start, end [m] and share of the price; 0, 0, 0 if none."""
    z = wood.z[wood.usable_from : wood.usable_to]
    upper, lower = profile_room(z.shape[0], 1), profile_room(z.shape[0], 1)
    t = pay.thick[o]
    g = f - t - kerf
    if g - t < 0:
        return 0.0, 0.0, 0.0
    draw(wood, pay, t, step, f, 1, tables, upper)
    draw(wood, pay, t, step, g, 1, tables, lower)
    _narrower(upper, lower, 1)
    share = min(
        allowance(wood, pay, o, first, f, step, tables), allowance(wood, pay, o, first, g, step, tables)
    )
    end = places(z, upper.narrow, upper.least[0], 0, wants.width[u], wants.length[u])[0]
    figured = wants.figure[u] <= 0.0 or _figured(upper, lower, z.shape[0] - 1, 0, wants.figure[u])
    if share <= 0.0 or end == math.inf or not figured:
        return 0.0, 0.0, 0.0
    if not _wished(wood, pay, wants, o, u, first, f, g, step, tables):
        return 0.0, 0.0, 0.0
    return end - wants.length[u], end, share

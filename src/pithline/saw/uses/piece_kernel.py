"""How one slab makes the most of what it is for, compiled by numba.

A slab is sold by the tally, or one or two lengths of it make a use and what one of
them leaves is sold by the tally. A use that comes first along the log leaves the most
behind it at its earliest place, and one that comes last at its latest: so only those
two places are tried, and they are the best of all. `worth_kernel` says the same of all
slabs of a setting at once.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pithline.saw.profile_kernel import draw, profile_room
from pithline.saw.share_kernel import allowance, slab_cost_of, tally_rates
from pithline.saw.uses.place_kernel import grained, holds_pith, places, window_run

__all__ = ["NOTHING", "TALLY", "one_slab"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "fe9cdbad"

TALLY, NOTHING = -1, -2  # in place of a use's number


@njit(cache=True, nogil=True, error_model="numpy")
def _fill(wood, pay, wants, o, first, f, b, share, step, tables, profile, z, spots, gains, how):  # type: ignore[no-untyped-def]
    """Best value of one slab for every claim, and how; before it only its value by the tally.

    Parameters
    ----------
    spots : (2, uses) room, written
    gains : (claims,), written
    how : (claims, 2), written: the use at the butt's side and at the top's
    """
    last = z.shape[0] - 1
    t = pay.thick[o]
    gains[:] = -math.inf
    how[:, :] = NOTHING
    gains[0] = tables.values[o, f]
    if gains[0] > -math.inf:
        how[0, 0] = TALLY
    if share <= 0.0:
        return
    early, late = spots[0], spots[1]
    uses = wants.width.shape[0]
    some = False
    for u in range(uses):
        early[u], late[u] = math.inf, -math.inf
        if not wants.fits[o, u] or wants.pair[u] or profile.most[b] < wants.width[u]:
            continue
        if wants.clear[u] and holds_pith(tables, first, f, t, step):
            continue
        # Without a premium nothing is summed up as shown: figure then is no one's wish here.
        if wants.figure[u] > 0.0 and profile.shown[last, b] < wants.figure[u] * profile.upto[last, b]:
            continue
        if not grained(wood, wants, u, first, f, t, step, tables):
            continue
        early[u], late[u], _ = places(z, profile.narrow, profile.least[b], b, wants.width[u], wants.length[u])
        some = some or early[u] < math.inf
    if not some:
        return
    cost = slab_cost_of(pay, o, f, t, step, tables)
    gap = wants.crosscut
    rates = np.empty(1)
    serves = np.empty(1, dtype=np.bool_)
    tally_rates(wood, pay, o, first, f, 1, step, tables, serves, np.full(1, share), rates)
    rate = rates[0]
    steps, lengths = pay.width_steps, pay.length_steps
    # No run earns more than its counted face with the highest premiums; rounding adds one foot at most.
    dear = (
        rate * pay.sold[o] * (1.0 + steps[steps.shape[0] - 1, 1]) * (1.0 + lengths[lengths.shape[0] - 1, 1])
    )
    dear *= 1.0 + pay.figure_premium
    for u in range(uses):
        if early[u] == math.inf:
            continue
        c = wants.single[u]
        value = share * wants.price[o, u] - cost
        if value > gains[c]:
            gains[c], how[c, 0], how[c, 1] = value, u, NOTHING
        # The use at the butt's side and the rest by the tally, then the other way round.
        for side in range(2):
            low, high = (early[u] + gap, z[last]) if side == 0 else (z[0], late[u] - gap)
            if rate <= 0.0 or high - low < pay.least_length - 1e-9:
                continue
            from_, to = 0, last
            if side == 0:
                from_ = max(0, np.searchsorted(z, low, side="right") - 1)
            else:
                to = min(last, np.searchsorted(z, high, side="left"))
            room = profile.upto[to, b] - profile.upto[from_, b]
            if pay.rounded:
                room = room / 0.3048**2 + 0.5 + 1e-6  # no run is rounded to more
            if value + dear * room <= gains[c]:
                continue
            rest = window_run(z, profile, b, low, high, pay.sold[o], pay)[0]
            if rest > 0.0 and value + rate * rest > gains[c]:
                gains[c] = value + rate * rest
                how[c, 0], how[c, 1] = (u, TALLY) if side == 0 else (TALLY, u)
        for v in range(uses):
            c = wants.double[u, v]
            if c >= 0 and late[v] > -math.inf and early[u] + gap <= late[v] + 1e-9:
                both = share * (wants.price[o, u] + wants.price[o, v]) - cost
                if both > gains[c]:
                    gains[c], how[c, 0], how[c, 1] = both, u, v
    # A claim that pays no more than none is only worth its bonus.
    for c in range(1, gains.shape[0]):
        if wants.bonus[c] <= 0.0 and gains[c] <= gains[0]:
            gains[c] = -math.inf


@njit(cache=True, nogil=True, error_model="numpy")
def one_slab(wood, pay, wants, o, first, f, step, tables, claim, found):  # type: ignore[no-untyped-def]
    """How the slab under face f makes the most of a claim.

    Parameters
    ----------
    found : (2, 4), written: for the piece at the butt's side and at the top's the use's
        number, start, end [m] and value before costs
    """
    z = wood.z[wood.usable_from : wood.usable_to]
    last = z.shape[0] - 1
    profile = profile_room(z.shape[0], 1)
    claims = wants.bonus.shape[0]
    gains, how = np.empty(claims), np.empty((claims, 2), dtype=np.int64)
    spots = np.empty((2, wants.width.shape[0]))
    draw(wood, pay, pay.thick[o], step, f, 1, tables, profile)
    share = allowance(wood, pay, o, first, f, step, tables)
    _fill(wood, pay, wants, o, first, f, 0, share, step, tables, profile, z, spots, gains, how)
    low, high = z[0], z[last]
    for side in range(2):
        u = how[claim, side]
        found[side, 0], found[side, 1], found[side, 2], found[side, 3] = float(u), 0.0, 0.0, 0.0
        if u < 0:
            continue
        found[side, 3] = share * wants.price[o, u]
        if side == 0:
            found[side, 1], found[side, 2] = spots[0, u] - wants.length[u], spots[0, u]
            low = spots[0, u] + wants.crosscut
        else:
            found[side, 1], found[side, 2] = spots[1, u], spots[1, u] + wants.length[u]
            high = spots[1, u] - wants.crosscut
    for side in range(2):
        if how[claim, side] == TALLY:
            worth, start, end = window_run(z, profile, 0, low, high, pay.sold[o], pay)
            found[side, 1], found[side, 2] = start, end
            found[side, 3] = share * pay.rates[o] * worth
    return gains[claim]

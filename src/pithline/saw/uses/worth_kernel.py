"""What a slab is worth when lengths of it make things, compiled by numba.

A slab is sold by the tally, or one or two lengths of it make a use and what one of
them leaves is sold by the tally. A use that comes first along the log leaves the most
behind it at its earliest place, and one that comes last at its latest: so only those
two places are tried, and they are the best of all.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pithline.saw.tables import Profile
from pithline.saw.value_kernel import allowance, block_room, block_values, draw, slab_cost_of, tallied

__all__ = ["NOTHING", "TALLY", "claim_values", "one_slab", "pair_place", "pair_values", "window_run"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "49cdee13"

TALLY, NOTHING = -1, -2  # in place of a use's number
_BLOCK = 256


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _at(values, z, k, at, b):  # type: ignore[no-untyped-def]
    """A width between stations k and k + 1."""
    f = (at - z[k]) / (z[k + 1] - z[k])
    return values[k, b] + f * (values[k + 1, b] - values[k, b])


@njit(cache=True, nogil=True, error_model="numpy")
def _places(z, narrow, least, b, width, length):  # type: ignore[no-untyped-def]
    """Earliest end and latest start of a piece so wide and long; inf, -inf where there is none."""
    last = z.shape[0] - 1
    if least >= width:
        if z[last] - z[0] < length - 1e-9:
            return math.inf, -math.inf
        return z[0] + length, z[last] - length
    earliest, latest = math.inf, -math.inf
    k = 0
    while k <= last:
        if narrow[k, b] < width:
            k += 1
            continue
        start = z[k]
        if k > 0:
            start -= (narrow[k, b] - width) / (narrow[k, b] - narrow[k - 1, b]) * (z[k] - z[k - 1])
        while k < last and narrow[k + 1, b] >= width:
            k += 1
        end = z[k]
        if k < last:
            end += (narrow[k, b] - width) / (narrow[k, b] - narrow[k + 1, b]) * (z[k + 1] - z[k])
        if end - start >= length - 1e-9:
            if earliest == math.inf:
                earliest = start + length
            latest = end - length
        k += 1
    return earliest, latest


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _upto(values, per, z, k, at, b):  # type: ignore[no-untyped-def]
    """A sum along the log up to a place between stations k and k + 1; `per` is what is summed up."""
    gap = at - z[k]
    return values[k, b] + 0.5 * gap * (per[k, b] + _at(per, z, k, at, b))


@njit(cache=True, nogil=True, error_model="numpy")
def _paid(area, figure, length, sold, premium, pay):  # type: ignore[no-untyped-def]
    """Worth of a run in tally units, with its premiums."""
    if length < pay.least_length - 1e-9 or area <= 0.0:
        return 0.0
    gained = 0.0
    for r in range(pay.length_steps.shape[0]):
        if length >= pay.length_steps[r, 0] - 1e-9:
            gained = pay.length_steps[r, 1]
    value = tallied(area, length, sold, pay.rounded) * (1.0 + gained) * (1.0 + premium)
    return value * (1.0 + pay.figure_premium * min(area, figure) / area)


@njit(cache=True, nogil=True, error_model="numpy")
def window_run(z, profile, b, low, high, sold, pay):  # type: ignore[no-untyped-def]
    """The run of column b between two places that pays most by the tally.

    Returns
    -------
    worth, start, end : worth in tally units with all premiums
    """
    narrow, counted, shown = profile.narrow, profile.counted, profile.shown
    steps = pay.width_steps
    best, best_start, best_end = 0.0, 0.0, 0.0
    if high - low < pay.least_length - 1e-9:
        return best, best_start, best_end
    k_low = max(0, min(z.shape[0] - 2, np.searchsorted(z, low, side="right") - 1))
    k_high = min(z.shape[0] - 2, max(k_low, np.searchsorted(z, high, side="left") - 1))
    for s in range(steps.shape[0] - 1, -1, -1):
        width, premium = steps[s, 0], steps[s, 1]
        if profile.most[b] < width:
            continue
        if profile.least[b] >= width:
            # All of it reaches the width: no shorter run, and no lower premium, pays more.
            area = _upto(profile.upto, counted, z, k_high, high, b)
            area -= _upto(profile.upto, counted, z, k_low, low, b)
            figure = _at(shown, z, k_high, high, b) - _at(shown, z, k_low, low, b)
            value = _paid(area, figure, high - low, sold, premium, pay)
            if value > best:
                best, best_start, best_end = value, low, high
            break
        begin, area, figure = 0.0, 0.0, 0.0
        inside = False
        for k in range(k_low, k_high + 1):
            a, e = max(low, z[k]), min(high, z[k + 1])
            if e <= a:
                continue
            na, ne = _at(narrow, z, k, a, b), _at(narrow, z, k, e, b)
            if max(na, ne) < width:
                inside = False
                continue
            p, q = a, e
            if na < width:
                p = a + (width - na) / (ne - na) * (e - a)
            if ne < width:
                q = a + (na - width) / (na - ne) * (e - a)
            if not inside:
                begin, area, figure, inside = p, 0.0, 0.0, True
            area += 0.5 * (q - p) * (_at(counted, z, k, p, b) + _at(counted, z, k, q, b))
            figure += (shown[k + 1, b] - shown[k, b]) * (q - p) / (z[k + 1] - z[k])
            if ne < width or k == k_high:
                inside = False
                value = _paid(area, figure, q - begin, sold, premium, pay)
                if value > best:
                    best, best_start, best_end = value, begin, q
    return best, best_start, best_end


@njit(cache=True, nogil=True, error_model="numpy", inline="always")
def _holds_pith(tables, first, f, t, step):  # type: ignore[no-untyped-def]
    lower, upper = (first + f - t) * step, (first + f) * step
    for q in range(tables.pith_low.shape[0]):
        if lower < tables.pith_high[q] - 1e-9 and upper > tables.pith_low[q] + 1e-9:
            return True
    return False


@njit(cache=True, nogil=True, error_model="numpy")
def _grained(wood, wants, u, first, f, t, step, tables):  # type: ignore[no-untyped-def]
    """Whether at least half of the wider face at mid-length has the wanted ring angle."""
    if wants.ring_from[u] <= 0.0 and wants.ring_to[u] == math.inf:
        return True
    middle = (wood.usable_from + wood.usable_to) // 2
    i = f if tables.width[middle, f] >= tables.width[middle, f - t] else f - t
    left, right = tables.left[middle, i], tables.right[middle, i]
    h = abs((first + f - 0.5 * t) * step)
    near, far = h * wants.ring_from[u], h * wants.ring_to[u]
    inside = max(0.0, min(right, far) - max(left, near)) + max(0.0, min(-left, far) - max(-right, near))
    return right > left and inside >= 0.5 * (right - left) - 1e-12


@njit(cache=True, nogil=True, error_model="numpy")
def _fill(wood, pay, wants, o, first, f, b, share, step, tables, profile, z, places, gains, how):  # type: ignore[no-untyped-def]
    """Best value of one slab for every claim, and how; before it only its value by the tally.

    Parameters
    ----------
    places : (2, uses) room
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
    early, late = places[0], places[1]
    uses = wants.width.shape[0]
    some = False
    for u in range(uses):
        early[u], late[u] = math.inf, -math.inf
        if not wants.fits[o, u] or wants.pair[u] or profile.most[b] < wants.width[u]:
            continue
        if wants.clear[u] and _holds_pith(tables, first, f, t, step):
            continue
        # Without a premium nothing is summed up as shown: figure then is no one's wish here.
        if wants.figure[u] > 0.0 and profile.shown[last, b] < wants.figure[u] * profile.upto[last, b]:
            continue
        if not _grained(wood, wants, u, first, f, t, step, tables):
            continue
        early[u], late[u] = _places(z, profile.narrow, profile.least[b], b, wants.width[u], wants.length[u])
        some = some or early[u] < math.inf
    if not some:
        return
    cost = slab_cost_of(pay, o, f, t, step, tables)
    gap = wants.crosscut
    rate = share * pay.rates[o]
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
                room += 0.5 + 0.0929 * (high - low)
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
def _profile(stations, columns):  # type: ignore[no-untyped-def]
    block = (stations, columns)
    return Profile(
        np.zeros(block),
        np.zeros(block),
        np.zeros(block),
        np.zeros(block),
        np.zeros(columns),
        np.zeros(columns),
    )


@njit(cache=True, nogil=True, error_model="numpy")
def claim_values(wood, pay, wants, first, lines, step, tables, claimed):  # type: ignore[no-untyped-def]
    """Write the best value of the slab under each face, for each thickness and claim, to `claimed.values`.

    `tables` are filled by `lay`; to their `values` is written what the tally alone pays.
    """
    z = wood.z[wood.usable_from : wood.usable_to]
    profile, spare = _profile(z.shape[0], _BLOCK), block_room(_BLOCK)
    claims = claimed.values.shape[1]
    gains, how = np.empty(claims), np.empty((claims, 2), dtype=np.int64)
    places = np.empty((2, wants.width.shape[0]))
    least = math.inf  # narrowest use of one slab
    for u in range(wants.width.shape[0]):
        if not wants.pair[u]:
            least = min(least, wants.width[u])
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        tables.values[o, :lines] = -math.inf
        claimed.values[o, :, :lines] = -math.inf
        for i0 in range(t, lines, _BLOCK):
            count = min(_BLOCK, lines - i0)
            draw(wood, pay, t, step, i0, count, tables, profile)
            block_values(wood, pay, o, first, i0, count, step, tables, profile, spare)
            for b in range(count):
                f = i0 + b
                claimed.values[o, 0, f] = tables.values[o, f]
                if profile.most[b] < least:
                    continue
                share = allowance(wood, pay, o, first, f, step, tables)
                _fill(wood, pay, wants, o, first, f, b, share, step, tables, profile, z, places, gains, how)
                for c in range(claims):
                    claimed.values[o, c, f] = gains[c]


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
    profile = _profile(z.shape[0], 1)
    claims = wants.bonus.shape[0]
    gains, how = np.empty(claims), np.empty((claims, 2), dtype=np.int64)
    places = np.empty((2, wants.width.shape[0]))
    draw(wood, pay, pay.thick[o], step, f, 1, tables, profile)
    share = allowance(wood, pay, o, first, f, step, tables)
    _fill(wood, pay, wants, o, first, f, 0, share, step, tables, profile, z, places, gains, how)
    low, high = z[0], z[last]
    for side in range(2):
        u = how[claim, side]
        found[side, 0], found[side, 1], found[side, 2], found[side, 3] = float(u), 0.0, 0.0, 0.0
        if u < 0:
            continue
        found[side, 3] = share * wants.price[o, u]
        if side == 0:
            found[side, 1], found[side, 2] = places[0, u] - wants.length[u], places[0, u]
            low = places[0, u] + wants.crosscut
        else:
            found[side, 1], found[side, 2] = places[1, u], places[1, u] + wants.length[u]
            high = places[1, u] - wants.crosscut
    for side in range(2):
        if how[claim, side] == TALLY:
            worth, start, end = window_run(z, profile, 0, low, high, pay.sold[o], pay)
            found[side, 1], found[side, 2] = start, end
            found[side, 3] = share * pay.rates[o] * worth
    return gains[claim]


@njit(cache=True, nogil=True, error_model="numpy")
def pair_place(wood, pay, wants, o, u, first, f, kerf, step, tables):  # type: ignore[no-untyped-def]
    """The place of a pair of slabs under face f: start, end [m] and share of the price; 0, 0, 0 if none."""
    z = wood.z[wood.usable_from : wood.usable_to]
    upper, lower = _profile(z.shape[0], 1), _profile(z.shape[0], 1)
    t = pay.thick[o]
    g = f - t - kerf
    if g - t < 0:
        return 0.0, 0.0, 0.0
    draw(wood, pay, t, step, f, 1, tables, upper)
    draw(wood, pay, t, step, g, 1, tables, lower)
    share = _paired(wood, pay, wants, o, u, first, f, g, step, tables, upper, lower, 0, z)
    if share <= 0.0:
        return 0.0, 0.0, 0.0
    end = _places(z, upper.narrow, upper.least[0], 0, wants.width[u], wants.length[u])[0]
    return end - wants.length[u], end, share


@njit(cache=True, nogil=True, error_model="numpy")
def _pair_allowed(wood, pay, wants, o, u, first, f, g, step, tables):  # type: ignore[no-untyped-def]
    """Share of a pair's price that the slabs under faces f and g would be paid, by pith and grain alone."""
    t = pay.thick[o]
    if wants.clear[u] and (_holds_pith(tables, first, f, t, step) or _holds_pith(tables, first, g, t, step)):
        return 0.0
    if not _grained(wood, wants, u, first, f, t, step, tables):
        return 0.0
    if not _grained(wood, wants, u, first, g, t, step, tables):
        return 0.0
    return min(
        allowance(wood, pay, o, first, f, step, tables), allowance(wood, pay, o, first, g, step, tables)
    )


@njit(cache=True, nogil=True, error_model="numpy")
def _paired(wood, pay, wants, o, u, first, f, g, step, tables, upper, lower, b, z):  # type: ignore[no-untyped-def]
    """Share of a pair's price that the slabs under faces f and g are paid, 0 where they make none.

    The upper one's narrow face becomes the narrower of all four.
    """
    last = z.shape[0] - 1
    if min(upper.most[b], lower.most[b]) < wants.width[u]:
        return 0.0
    if wants.figure[u] > 0.0:
        for profile in (upper, lower):
            if profile.shown[last, b] < wants.figure[u] * profile.upto[last, b]:
                return 0.0
    for k in range(last + 1):
        upper.narrow[k, b] = min(upper.narrow[k, b], lower.narrow[k, b])
    upper.least[b] = min(upper.least[b], lower.least[b])
    if _places(z, upper.narrow, upper.least[b], b, wants.width[u], wants.length[u])[0] == math.inf:
        return 0.0
    return _pair_allowed(wood, pay, wants, o, u, first, f, g, step, tables)


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
def pair_values(wood, pay, wants, reach, first, lines, tables, claimed):  # type: ignore[no-untyped-def]
    """Write the value of two neighbouring slabs as a pair, the upper face at each line, to `claimed.paired`.

    The price less both slabs' costs and the cut between them; both keep the same length of the log.
    """
    pairs = wants.pairs.shape[0]
    if pairs == 0:
        return
    z = wood.z[wood.usable_from : wood.usable_to]
    kerf, step = reach.kerf, reach.step
    upper, lower = _profile(z.shape[0], _BLOCK), _profile(z.shape[0], _BLOCK)
    plain = not wood.spoilt.any()
    least = math.inf
    for p in range(pairs):
        plain = plain and wants.figure[wants.pairs[p]] <= 0.0
        least = min(least, wants.width[wants.pairs[p]])
    for o in range(pay.thick.shape[0]):
        t = pay.thick[o]
        claimed.paired[o, :, :lines] = -math.inf
        some = False
        for p in range(pairs):
            some = some or wants.fits[o, wants.pairs[p]]
        if not some:
            continue
        for i0 in range(2 * t + kerf, lines, _BLOCK):
            count = min(_BLOCK, lines - i0)
            if plain:
                _narrowest(wood, t, kerf, i0, count, tables, upper)
            else:
                draw(wood, pay, t, step, i0, count, tables, upper)
                draw(wood, pay, t, step, i0 - t - kerf, count, tables, lower)
            for b in range(count):
                f = i0 + b
                i = f - t
                if not tables.passes[i] or upper.most[b] < least:
                    continue
                for p in range(pairs):
                    u = wants.pairs[p]
                    if not wants.fits[o, u] or upper.most[b] < wants.width[u]:
                        continue
                    if plain:
                        length = _places(z, upper.narrow, upper.least[b], b, wants.width[u], wants.length[u])
                        share = 0.0
                        if length[0] < math.inf:
                            share = _pair_allowed(wood, pay, wants, o, u, first, f, i - kerf, step, tables)
                    else:
                        share = _paired(
                            wood, pay, wants, o, u, first, f, i - kerf, step, tables, upper, lower, b, z
                        )
                    if share > 0.0:
                        claimed.paired[o, p, f] = (
                            share * wants.price[o, u]
                            - slab_cost_of(pay, o, f, t, step, tables)
                            - slab_cost_of(pay, o, i - kerf, t, step, tables)
                            - tables.costs[i]
                        )

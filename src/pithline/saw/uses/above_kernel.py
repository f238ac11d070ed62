"""What a cut at every height costs where slabs are for something, compiled by numba."""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pithline.saw.share_kernel import BOX

__all__ = ["above_all"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "63576220"


@njit(cache=True, nogil=True, error_model="numpy")
def above_all(reach, pay, wants, first, lines, tables, claimed):  # type: ignore[no-untyped-def]
    """Best score of a plan with a cut at each line, after `chain` has run: -inf where none can be.

    The chain from the top down, in states of what has been sold, meets the one from below.
    """
    kerf, step = reach.kerf, reach.step
    states, claims = wants.next_state.shape
    choices = pay.thick.shape[0]
    piths = tables.pith_low.shape[0] if pay.pith_rule == BOX else 0
    allowed = tables.allowed
    paid = np.full((states, lines), -math.inf)  # all sawn down to a cut here, with what is open then
    whole = np.full(lines, -math.inf)
    for i in range(lines - 1, kerf - 1, -1):
        if not allowed[i]:
            continue
        if tables.starts[i]:
            paid[states - 1, i] = max(paid[states - 1, i], 0.0)
        for s in range(states):
            # Waste above this cut, from any face within reach.
            top = i + reach.most_waste
            for q in range(piths):
                if i < tables.pith_high[q] / step - first:
                    top = min(top, math.floor(tables.pith_low[q] / step - first))
            for f in range(i + reach.least_waste, min(top, lines - 1 - kerf) + 1):
                if allowed[f + kerf]:
                    paid[s, i] = max(paid[s, i], paid[s, f + kerf])
        for s in range(states):
            for o in range(choices):
                t = pay.thick[o]
                f = i + t
                if f + kerf < lines and allowed[f + kerf] and paid[s, f + kerf] > -math.inf:
                    for c in range(claims):
                        to = wants.next_state[s, c]
                        if to >= 0 and claimed.values[o, c, f] > -math.inf:
                            gain = paid[s, f + kerf] + claimed.values[o, c, f] + wants.bonus[c]
                            paid[to, i] = max(paid[to, i], gain)
                f = i + 2 * t + kerf
                if f + kerf < lines and allowed[f + kerf] and allowed[i + t + kerf]:
                    if paid[s, f + kerf] == -math.inf:
                        continue
                    for p in range(wants.pairs.shape[0]):
                        c = wants.single[wants.pairs[p]]
                        to = wants.next_state[s, c]
                        if to >= 0 and claimed.paired[o, p, f] > -math.inf:
                            gain = paid[s, f + kerf] + claimed.paired[o, p, f] + wants.bonus[c]
                            paid[to, i] = max(paid[to, i], gain)
        for s in range(states):
            if paid[s, i] > -math.inf:
                whole[i] = max(whole[i], paid[s, i] + claimed.after[i, s])
                paid[s, i] -= tables.costs[i]
    return whole

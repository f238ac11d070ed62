"""What planned cuts and slabs are worth in another log, where slabs are for something, compiled by numba."""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from pithline.saw.planner_kernel import lay
from pithline.saw.profile_kernel import profile_room
from pithline.saw.share_kernel import rate_of, slab_cost_of
from pithline.saw.uses.pair_kernel import pair_place
from pithline.saw.uses.piece_kernel import one_slab
from pithline.saw.value_kernel import sold_run

__all__ = ["revalue"]

# Compiled code is kept on disk under its own file's text alone: this marks what it calls.
_BUILT_ON = "8bdd8d4f"


@njit(cache=True, nogil=True, error_model="numpy")
def revalue(wood, reach, pay, wants, setting, first, lines, cuts, slabs, tables):  # type: ignore[no-untyped-def]
    """Net value and tally of given cuts and slabs in a log where they were planned for another.

    A slab that no longer makes what it was planned for is sold by the tally.

    Parameters
    ----------
    cuts : (cuts,) line of each, counted from `first`
    slabs : (slabs, 4) line of the upper face, thickness number, claim, and pair or -1
    """
    lay(wood, reach, pay, setting, first, lines, tables)
    net, tally = 0.0, 0.0
    for c in cuts:
        net -= tables.costs[c]
    profile = profile_room(wood.usable_to - wood.usable_from, 1)
    found = np.zeros((2, 4))
    promised = 0.0  # of a pair whose upper half has been seen
    upper, kept = True, False
    for s in range(slabs.shape[0]):
        row, o, claim, pair = slabs[s, 0], slabs[s, 1], slabs[s, 2], slabs[s, 3]
        net -= slab_cost_of(pay, o, row, pay.thick[o], reach.step, tables)
        rate = rate_of(wood, pay, o, first, row, reach.step, tables)
        sold = sold_run(wood, pay, o, row, reach.step, tables, profile)
        tally += sold[5] if rate > 0.0 else 0.0
        worth = rate * sold[0] if rate > 0.0 else 0.0
        tables.values[o, row] = -math.inf
        if pair < 0:
            one_slab(wood, pay, wants, o, first, row, reach.step, tables, claim, found)
            made = found[0, 3] + found[1, 3]
            # What is ordered is delivered while it can be made, though the tally may pay more.
            worth = made if wants.bonus[claim] > 0.0 and made > 0.0 else max(worth, made)
        elif upper:
            u = wants.pairs[pair]
            share = pair_place(wood, pay, wants, o, u, first, row, reach.kerf, reach.step, tables)[2]
            promised, upper = share * wants.price[o, u] - worth, False
            kept = share > 0.0 and wants.bonus[wants.single[u]] > 0.0
        else:
            # Either both halves bring the pair's price, or each is sold by itself.
            more = promised - worth
            worth, upper = worth + (more if kept else max(0.0, more)), True
        net += worth
    return net, tally

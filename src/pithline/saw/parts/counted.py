"""Pieces that are counted over all parts of a log: who cuts how many of each.

Every part can say what it is worth for any number of pieces that it may cut. The best way to
share them out follows part by part, and is exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.saw.aims import Aims
from pithline.saw.model import Model
from pithline.saw.rates import Rates
from pithline.saw.solution import Solution
from pithline.saw.uses.wants import MOST_STATES, most_pieces

__all__ = ["Counted", "Worth", "allowed", "better", "counts_of", "share_out", "worth_by_counts"]

Floats = NDArray[np.float64]
Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Worth:
    """What a part is worth for every number of pieces it may cut.

    Attributes
    ----------
    filled : ndarray, shape (counts,)
        Ordered pieces that are cut, as many as can be. One axis for each counted use.
    net : ndarray, shape (counts,)
        The best net value then.
    """

    filled: Floats
    net: Floats


@dataclass(frozen=True, slots=True)
class Counted:
    """A use that is counted over all parts.

    Attributes
    ----------
    place : int
        Among the orders and, after them, the uses of the rates.
    most : int
        That may be sold, or are ordered.
    """

    place: int
    most: int


def counts_of(aims: Aims, rates: Rates, most_slabs: int) -> tuple[Counted, ...]:
    """The uses that must be counted over all parts.

    Parameters
    ----------
    most_slabs : int
        Of all parts together.

    Raises
    ------
    BadValue
        Where the numbers multiply to more than the tables hold.
    """
    found = []
    for place, use in enumerate((*aims.orders, *rates.uses)):
        if use.at_most is not None:
            most = most_pieces(use, most_slabs)
            if use.ordered or use.at_most < most:
                found.append(Counted(place, min(use.at_most, most)))
    states = math.prod(c.most + 1 for c in found)
    if states > MOST_STATES:
        raise BadValue(
            "halving",
            f"orders and capped uses of {states:,} combinations",
            f"at most {MOST_STATES:,}",
            "Ask for fewer pieces, or leave caps away that the log cannot reach.",
        )
    return tuple(found)


def allowed(aims: Aims, rates: Rates, counted: Sequence[Counted], counts: Counts) -> tuple[Aims, Rates]:
    """Aims and rates of a part that may cut so many of each counted use; none of it leaves it out."""
    may = {c.place: n for c, n in zip(counted, counts, strict=True)}
    uses = [replace(u, at_most=may[k]) if k in may else u for k, u in enumerate((*aims.orders, *rates.uses))]
    kept = [
        tuple(u for u in some if u.at_most != 0)
        for some in (uses[: len(aims.orders)], uses[len(aims.orders) :])
    ]
    return replace(aims, orders=kept[0]), replace(rates, uses=kept[1])


def worth_by_counts(solution: Solution, model: Model, counted: Sequence[Counted]) -> Worth:
    """Read from a part's tables what it is worth for every number of pieces.

    Parameters
    ----------
    solution : Solution
        Of a model with all uses, in which every counted one may be cut as often as that part could.
    model : Model
    counted : sequence of Counted
        Axes of the answer.
    """
    shape = tuple(c.most + 1 for c in counted)
    filled, net = np.zeros(shape), np.zeros(shape)
    wants, claimed = model.wants, solution.claimed
    if wants is None or claimed is None:
        net[...] = max(0.0, solution.net)
        return Worth(filled, net)
    starts = solution.tables.starts
    scores = np.maximum(claimed.after[starts].max(axis=0, initial=-math.inf), 0.0)
    heavy = wants.bonus[wants.bonus > 0]
    one = float(heavy.min()) if heavy.size else 1.0
    pieces = np.round(scores / one) if heavy.size else np.zeros_like(scores)
    # Digits of a state, and what each counts: the first use turns fastest.
    axis_of = {c.place: axis for axis, c in enumerate(counted)}
    digits = [(axis_of.get(int(k)), int(d)) for k, d in zip(wants.counted, wants.digits, strict=True)]
    for at in np.ndindex(shape):
        state, stride = 0, 1
        for axis, cap in digits:
            # A use that all parts together cannot sell too often is open in full.
            state += (cap if axis is None else min(at[axis], cap)) * stride
            stride *= cap + 1
        filled[at], net[at] = pieces[state], scores[state] - one * pieces[state]
    return Worth(filled, net)


def better(a: Worth, b: Worth) -> Worth:
    """The better of two ways to saw a part, for every number of pieces."""
    first = (a.filled > b.filled) | ((a.filled == b.filled) & (a.net >= b.net))
    return Worth(np.where(first, a.filled, b.filled), np.where(first, a.net, b.net))


def share_out(parts: Sequence[Worth]) -> tuple[float, float, tuple[Counts, ...]]:
    """The best way to share all pieces out over the parts.

    Returns
    -------
    filled, net : float
        Ordered pieces that are cut; net value of all parts.
    counts : tuple of counts
        How many of each counted use every part may cut.
    """
    shape = parts[0].net.shape
    total, took = parts[0], []
    for part in parts[1:]:
        filled, net = np.full(shape, -1.0), np.full(shape, -math.inf)
        taken = np.zeros((*shape, len(shape)), dtype=np.int64)
        for at in np.ndindex(shape):
            # `at` goes to this part, what is left of every number to those before it.
            upper = tuple(slice(k, None) for k in at)
            rest = tuple(slice(None, n - k) for n, k in zip(shape, at, strict=True))
            both, worth = total.filled[rest] + part.filled[at], total.net[rest] + part.net[at]
            wins = (both > filled[upper]) | ((both == filled[upper]) & (worth > net[upper]))
            filled[upper] = np.where(wins, both, filled[upper])
            net[upper] = np.where(wins, worth, net[upper])
            taken[upper] = np.where(wins[..., None], np.array(at, dtype=np.int64), taken[upper])
        total = Worth(filled, net)
        took.append(taken)
    left = tuple(n - 1 for n in shape)
    counts: list[Counts] = []
    for taken in reversed(took):
        own = tuple(int(k) for k in taken[left])
        counts.append(own)
        left = tuple(n - k for n, k in zip(left, own, strict=True))
    counts.append(left)
    at_all = tuple(n - 1 for n in shape)
    return float(total.filled[at_all]), float(total.net[at_all]), tuple(reversed(counts))

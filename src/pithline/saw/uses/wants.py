"""Uses and orders in the planner's terms: who fits where, and what has to be counted.

A *claim* is what one slab, or one pair, takes from the uses that are counted: nothing,
one piece, or two. The planner's *state* says how many of each are still open; it is a
number whose digits are those counts.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pithline.saw.block import UsesBlock
from pithline.saw.menu import Choice
from pithline.saw.tables import Pay
from pithline.saw.uses.use import Grain, Use

__all__ = ["MOST_STATES", "Claimed", "Wants", "most_pieces", "open_counts", "wants_of"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]

MOST_STATES = 4096  # beyond this the tables grow larger than a general solver's rows


class Wants(NamedTuple):
    """What slabs may be for. Lengths in metres."""

    width: Floats  # (uses,)
    length: Floats  # (uses,)
    price: Floats  # (thicknesses, uses) [money]
    fits: Flags  # (thicknesses, uses)
    pair: Flags  # (uses,)
    figure: Floats  # (uses,)
    clear: Flags  # (uses,)
    ring_from: Floats  # (uses,) ring angle of the wanted grain, as its tangent
    ring_to: Floats  # (uses,)
    crosscut: float  # wood that cutting a slab in two takes
    single: Whole  # (uses,) claim of one piece
    double: Whole  # (uses, uses) claim of two pieces, -1 where that is more than can be sold
    pairs: Whole  # (pairs,) which uses are pairs
    counted: Whole  # (counted,) which uses are counted
    caps: Whole  # (counted,) how many of each can be sold
    digits: Whole  # (counted,) the same as the states count it: 0 where more are ordered than there can be
    taken: Whole  # (claims, counted) what each claim takes of them
    bonus: Floats  # (claims,) what an ordered piece counts above its price, to come first
    next_state: Whole  # (states, claims) what is open after a claim, -1 where it is too much
    free: Whole  # (1, claims) all zero: the same with nothing counted
    by_solver: bool  # too many states for tables: next_state is free then, and a solver keeps the counts


class Claimed(NamedTuple):
    """Room for one setting's uses, beside its `Tables`."""

    values: Floats  # (thicknesses, claims, lines) slab under a face, net of its own cost
    paired: (
        Floats  # (thicknesses, pairs, lines) two slabs under a face, net of their costs and the cut between
    )
    shares: Floats  # (thicknesses, lines) of its price that the slab under a face is paid
    best: Floats  # (lines, states) value of the wood below a face
    after: Floats  # (lines, states) the same of a cut and all below it
    take: Whole  # (lines, states) what to saw below a face
    block: UsesBlock  # room

    @classmethod
    def of(cls, wants: Wants, pay: Pay, lines: int, stations: int) -> Claimed:
        """Empty tables."""
        thicknesses = pay.thick.size
        states, claims = wants.next_state.shape
        return cls(
            values=np.zeros((thicknesses, claims, lines)),
            paired=np.zeros((thicknesses, wants.pairs.size, lines)),
            shares=np.zeros((thicknesses, lines)),
            best=np.zeros((lines, states)),
            after=np.zeros((lines, states)),
            take=np.zeros((lines, states), dtype=np.int64),
            block=UsesBlock.of(stations, wants.width.size, len(pay.width_steps)),
        )

    def cut_to(self, lines: int) -> Claimed:
        """A copy of the first lines."""
        by_state = ("best", "after", "take")
        cut: dict[str, Any] = {
            name: np.copy(part[:lines] if name in by_state else part[..., :lines])
            for name, part in self._asdict().items()
            if name != "block"
        }
        return self._replace(**cut)


def wants_of(
    uses: tuple[Use, ...],
    choices: tuple[Choice, ...],
    pay: Pay,
    *,
    most_slabs: int,
    most_value: float,
    crosscut: float,
    flat_below: float,
    quarter_above: float,
) -> Wants | None:
    """Put uses and orders into the planner's terms; None where there are none.

    Parameters
    ----------
    uses : tuple of Use
    choices : tuple of Choice
        The thickness menu.
    pay : Pay
    most_slabs : int
        More than the log can hold: a cap above twice that need not be counted.
    most_value : float
        More than all the log's slabs can bring.
    crosscut : float
        [m]
    flat_below, quarter_above : float
        Limits of the grain names. [rad]
    """
    if not uses:
        return None
    counts = [_count(u, most_slabs) for u in uses]
    counted = [k for k, n in enumerate(counts) if n is not None]
    digit = {k: d for d, k in enumerate(counted)}
    caps = [n for n in counts if n is not None]
    claims: list[tuple[int, ...]] = [(0,) * len(caps)]
    single = np.zeros(len(uses), dtype=np.int64)
    double = np.full((len(uses), len(uses)), -1, dtype=np.int64)

    def claim(*which: int) -> int:
        taken = [0] * len(caps)
        for k in which:
            if k in digit:
                taken[digit[k]] += 1
        if any(t > c for t, c in zip(taken, caps, strict=True)):
            return -1
        if tuple(taken) not in claims:
            claims.append(tuple(taken))
        return claims.index(tuple(taken))

    for k, use in enumerate(uses):
        single[k] = claim(k)
        for m, other in enumerate(uses):
            if not use.pair and not other.pair:
                double[k, m] = claim(k, m)
    # An ordered piece counts more than any other wood could: so as many as can be are cut.
    heavy = 2.0 * (most_value + sum((u.price or 0.0) * max(most_slabs, 1) for u in uses)) + 1.0
    ordered = [k for k in counted if uses[k].ordered]
    bonus = np.array([heavy * sum(c[digit[k]] for k in ordered) for c in claims])
    rows = {Grain.ANY: (0.0, math.inf), Grain.FLAT: (0.0, flat_below), Grain.QUARTER: (quarter_above, 9.0)}
    rows[Grain.RIFT] = (flat_below, quarter_above)
    rings = [tuple(math.tan(a) if a < 1.57 else math.inf for a in rows[u.grain]) for u in uses]
    free = np.zeros((1, len(claims)), dtype=np.int64)
    digits = [c if _binds(uses[k], most_slabs) else 0 for k, c in zip(counted, caps, strict=True)]
    by_solver = math.prod(d + 1 for d in digits) > MOST_STATES
    return Wants(
        width=np.array([u.width for u in uses]),
        length=np.array([u.length for u in uses]),
        price=np.array([[_price(u, c, pay.rates[o]) for u in uses] for o, c in enumerate(choices)]),
        fits=np.array([[not u.thicknesses or c.aim.label in u.thicknesses for u in uses] for c in choices]),
        pair=np.array([u.pair for u in uses]),
        figure=np.array([u.figure for u in uses]),
        clear=np.array([u.clear_of_pith for u in uses]),
        ring_from=np.array([r[0] for r in rings]),
        ring_to=np.array([r[1] for r in rings]),
        crosscut=crosscut,
        single=single,
        double=double,
        pairs=np.array([k for k, u in enumerate(uses) if u.pair], dtype=np.int64),
        counted=np.array(counted, dtype=np.int64),
        caps=np.array(caps, dtype=np.int64),
        digits=np.array(digits, dtype=np.int64),
        taken=np.array(claims, dtype=np.int64).reshape(len(claims), len(caps)),
        bonus=bonus,
        next_state=free if by_solver else _next_states(digits, claims),
        free=free,
        by_solver=by_solver,
    )


def open_counts(uses: tuple[Use, ...], most_slabs: int, state: int) -> dict[str, int]:
    """How many of each counted use are open in a state, by name."""
    found = {}
    for use in uses:
        count = _count(use, most_slabs)
        if count is not None and _binds(use, most_slabs):
            found[use.name] = state % (count + 1)
            state //= count + 1
    return found


def _count(use: Use, most_slabs: int) -> int | None:
    """Pieces to be counted; None where the log cannot give more than may be sold."""
    most = most_pieces(use, most_slabs)
    if use.at_most is None or (use.at_most > most and not use.ordered):
        return None
    return min(use.at_most, most)


def _binds(use: Use, most_slabs: int) -> bool:
    """Whether the log could give more than may be sold."""
    return use.at_most is not None and use.at_most <= most_pieces(use, most_slabs)


def most_pieces(use: Use, most_slabs: int) -> int:
    """No more of a thing can come from so many slabs: two of each, or every second pair of them."""
    return most_slabs // 2 if use.pair else 2 * most_slabs


def _price(use: Use, choice: Choice, rate: float) -> float:
    if use.price is not None:
        return use.price
    each = choice.per_area * use.width * use.length * rate
    return 2 * each if use.pair else each


def _next_states(digits: list[int], claims: list[tuple[int, ...]]) -> Whole:
    states = math.prod(d + 1 for d in digits)
    strides = [math.prod(d + 1 for d in digits[:k]) for k in range(len(digits))]
    bound = [d > 0 for d in digits]
    found = np.full((states, len(claims)), -1, dtype=np.int64)
    for s in range(states):
        left = [s // stride % (d + 1) for stride, d in zip(strides, digits, strict=True)]
        for c, taken in enumerate(claims):
            takes = [t * b for t, b in zip(taken, bound, strict=True)]
            if all(t <= n for t, n in zip(takes, left, strict=True)):
                found[s, c] = s - sum(t * stride for t, stride in zip(takes, strides, strict=True))
    return found

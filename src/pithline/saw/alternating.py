"""Cuts taken from both sides in turn, so that growth stress is let go evenly."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.saw.plan import Cut, Plan

__all__ = ["Order", "Pass", "alternating"]


@dataclass(frozen=True, slots=True)
class Pass:
    """One cut of an order. `side` is 1 as the log lies, 2 turned over; `upper` [m] as in the plan."""

    number: int
    side: int
    upper: float
    turn_first: bool


@dataclass(frozen=True, slots=True)
class Order:
    """Passes in sawing order, the turns between them, and all minutes with turns."""

    passes: tuple[Pass, ...]
    turns: int
    minutes: float


def alternating(plan: Plan, minutes_per_turn: float) -> tuple[Order, Order]:
    """The plan's cuts taken from top and bottom in turn, beside the plan's own order.

    Parameters
    ----------
    plan : Plan
        Sawn from both sides: the ground must not end the sawing.
    minutes_per_turn : float
        To roll the log over and chock it again. [min]

    Returns
    -------
    alternate, own : Order
        Alternate: the highest cut, then the lowest, then the next of each side, so that the
        wood that stays keeps its middle. n cuts take n - 1 turns.

    Raises
    ------
    BadValue
        Where the log may not be turned, or the minutes are negative.
    """
    if not plan.aims.both_sides:
        raise BadValue("aims.both_sides", "no", "yes for cuts from both sides", "Add --both-sides.")
    if not 0 <= minutes_per_turn < 1e4:
        raise BadValue("turn minutes", minutes_per_turn, "0 or more")
    cuts = sorted(plan.cuts, key=lambda c: -c.upper)
    mixed: list[tuple[Cut, int]] = []
    while cuts:
        mixed.append((cuts.pop(0), 1) if len(mixed) % 2 == 0 else (cuts.pop(), 2))
    return _order(mixed, minutes_per_turn), _order([(c, c.side) for c in plan.cuts], minutes_per_turn)


def _order(cuts: list[tuple[Cut, int]], minutes_per_turn: float) -> Order:
    passes, lies = [], 1
    for n, (cut, side) in enumerate(cuts):
        passes.append(Pass(n + 1, side, cut.upper, side != lies))
        lies = side
    turns = sum(p.turn_first for p in passes)
    return Order(tuple(passes), turns, sum(c.minutes for c, _ in cuts) + turns * minutes_per_turn)

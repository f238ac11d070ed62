"""A plan with cuts that a person moved: what they wished, and what comes of it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pithline.errors import BadValue, NoPlan
from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.answer import answer
from pithline.saw.given import Given, lines_near, value_of_cuts
from pithline.saw.mill import Mill
from pithline.saw.model import grounds, prepare
from pithline.saw.plan import Plan, Way
from pithline.saw.planning import choose_setting
from pithline.saw.rates import Rates
from pithline.saw.solution import Solution, solve
from pithline.saw.through import best_through
from pithline.saw.timber import Timber
from pithline.units import System

__all__ = ["MovedPlan", "Wish", "moved_plan"]

_MOST = 200  # cuts of one log


@dataclass(frozen=True, slots=True)
class Wish:
    """Where a person wants cuts, by the heights of the kerfs' upper sides at mid-length.

    Attributes
    ----------
    way : {"follow", "stay"}
        The other cuts follow as is best, or these are all the cuts.
    heights : tuple of float
        Above the pith line along the cut normal; for "follow" in the order they were moved. [m]
    """

    way: Literal["follow", "stay"]
    heights: tuple[float, ...]

    @classmethod
    def written(cls, text: str, field: str = "moved") -> Wish | None:
        """Read ``follow 0.214 -0.069``; empty is no wish.

        Raises
        ------
        BadValue
        """
        if not text.strip():
            return None
        way, *heights = text.split()
        plain = all(re.fullmatch(r"[+-]?\d{1,2}(\.\d{1,9})?", h) for h in heights)
        if way not in ("follow", "stay") or not heights or not plain or len(heights) > _MOST:
            raise BadValue(field, text, 'such as "follow 0.214 -0.069": a way, and heights in metres')
        return cls("follow" if way == "follow" else "stay", tuple(float(h) for h in heights))

    def __str__(self) -> str:
        return " ".join([self.way, *(f"{h:.6g}" for h in self.heights)])


@dataclass(frozen=True, slots=True, eq=False)
class MovedPlan:
    """A plan by a person's wish, beside the best.

    Attributes
    ----------
    plan : Plan
        Its `net` is -inf where the cuts cannot be made.
    best : float
        Net value of the best plan at the same roll and pitch.
    faults : tuple of str
        Why the cuts cannot be made; else empty.
    """

    plan: Plan
    best: float
    faults: tuple[str, ...] = ()


def moved_plan(
    shape: LogShape,
    lie: Lie,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    wish: Wish,
    *,
    others: tuple[Way, ...] = (),
    draws: Iterable[LogShape] = (),
    system: System = "metric",
) -> MovedPlan:
    """Work out what wished cuts come to, at the roll and pitch of the best plan.

    Parameters
    ----------
    shape, lie, mill, aims, rates, timber, others, draws, system
        As for `saw.planning.plan` and `saw.answer.answer`.
    wish : Wish

    Raises
    ------
    BadValue
        As `saw.planning.plan`.
    """
    model = prepare(shape, mill, aims, rates, timber)
    roll, pitch = choose_setting(model, shape, lie, mill, aims)
    best = solve(model, roll, pitch, grounds(shape, lie, mill, aims, np.array([roll]))[0])
    lines = lines_near(best, model, np.array(wish.heights))
    faults: tuple[str, ...] = ()
    found: Solution | Given
    if wish.way == "follow":
        try:
            found = best_through(best, model, lines, aims.pith, system)
        except NoPlan as problem:
            # Drawn all the same, so that the eye sees what was refused.
            gone = {
                int(best.cuts[np.abs(np.array(best.cuts) - line).argmin()]) for line in lines if best.cuts
            }
            cuts = tuple(sorted((set(best.cuts) - gone) | set(lines), reverse=True))
            found, faults = value_of_cuts(best, model, cuts, aims.pith, system), (str(problem),)
    else:
        found = value_of_cuts(best, model, lines, aims.pith, system)
    if isinstance(found, Given):
        faults = faults or tuple(dict.fromkeys(told for _, told in found.faults))
        found = found.solution
    plan = answer(
        found,
        roll,
        model,
        shape,
        lie,
        mill,
        aims,
        rates,
        timber,
        others=others,
        draws=draws,
        weigh=False,
        system=system,
    )
    return MovedPlan(plan, best.net, faults)

"""What to saw first when the day may end before the last cut."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.saw.plan import Plan
from pithline.sheets.placing import slabs_of

__all__ = ["Stop", "best_stop", "stops"]


@dataclass(frozen=True, slots=True)
class Stop:
    """What is in hand once a cut is through.

    Attributes
    ----------
    cut : int
    slabs : tuple of int
        Freed by then.
    net : float
        Value of those slabs less the costs of all cuts and slabs so far. [money or tally units]
    minutes : float
        Of all cuts so far. [min]
    """

    cut: int
    slabs: tuple[int, ...]
    net: float
    minutes: float

    @property
    def per_minute(self) -> float:
        """[money or tally units per min]"""
        return self.net / self.minutes if self.minutes > 0 else 0.0


def stops(plan: Plan) -> tuple[Stop, ...]:
    """The state after each cut, in the order of sawing."""
    slabs: tuple[int, ...] = ()
    net = minutes = 0.0
    told = []
    for cut in plan.cuts:
        minutes += cut.minutes
        net -= cut.area * plan.rates.per_cut_area
        for slab in slabs_of(plan, cut):
            slabs += (slab.number,)
            net += slab.value - slab.own_cost
        told.append(Stop(cut.number, slabs, net, minutes))
    return tuple(told)


def best_stop(plan: Plan) -> Stop | None:
    """The cut up to which a minute earns most; None without a slab.

    Cuts run from the top down, so slabs cannot be picked: only where to stop can.
    """
    return max((s for s in stops(plan) if s.slabs), key=lambda s: s.per_minute, default=None)

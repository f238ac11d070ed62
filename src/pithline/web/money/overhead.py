"""The overhead of this month, and who bears it: what lies in stock, log by log."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pithline.errors import BadValue
from pithline.money.cost.overhead import Bearer, share_overhead
from pithline.web.money.log_sum import volume_of
from pithline.yard.actions.slabs import GONE
from pithline.yard.cost_facts import major, overhead_in
from pithline.yard.models import Effort, Slab

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.web.money.known_prices import Known

__all__ = ["GLUED", "Overhead", "overhead_now"]

GLUED = "glued up"
"""What bears the overhead of slabs that come of no single log."""


@dataclass(frozen=True, slots=True)
class Overhead:
    """One month's.

    Attributes
    ----------
    bills : tuple of (what, amount)
        That fall to this month, by the book. [money]
    said : float
        What the usual costs say of a month. [money]
    counted : float
        The bills where there are any, else what was said: never both. [money]
    key : str
        By what it is shared.
    shares : tuple of (log's name, slabs, amount)
    problem : str
        Why it cannot be shared by that key.
    """

    bills: tuple[tuple[str, float], ...]
    said: float
    counted: float
    key: str
    shares: tuple[tuple[str, int, float], ...]
    problem: str = ""

    def of(self, log: str, slabs: int = 1) -> float | None:
        """What falls to so many slabs of a log, its slabs bearing alike; None where it is not shared."""
        return next((amount * slabs / count for name, count, amount in self.shares if name == log), None)


def overhead_now(costs: Costs, known: Known, today: datetime.date) -> Overhead:
    """Share the overhead of this month over the slabs in stock.

    Notes
    -----
    Hours are those of this month on each log; value is what is asked, else what such a piece brings.
    """
    bills = tuple(overhead_in(today.year, today.month).items())
    counted = sum(amount for _, amount in bills) or costs.overhead
    groups: dict[str, list[Slab]] = {}
    for slab in Slab.objects.exclude(state__in=GONE).select_related("log").prefetch_related("sizes"):
        groups.setdefault(str(slab.log) if slab.log else GLUED, []).append(slab)
    bearers = []
    by_value = costs.overhead_key.value == "value"
    for name, slabs in groups.items():
        log = slabs[0].log
        month = Effort.objects.filter(log=log, done_on__year=today.year, done_on__month=today.month)
        hours = sum(one.hours * one.people for one in month) if log else 0.0
        value = sum(_value(slab, known) for slab in slabs) if by_value else 0.0
        volume = sum(volume_of(slab) or 0.0 for slab in slabs)
        bearers.append(Bearer(name, hours, volume, value, float(len(slabs))))
    shares: tuple[float, ...] = ()
    problem = ""
    if counted and bearers:
        try:
            shares = share_overhead(counted, costs.overhead_key, bearers)
        except BadValue as wrong:
            problem = str(wrong)
    return Overhead(
        bills,
        costs.overhead,
        counted,
        costs.overhead_key.value,
        tuple((b.name, int(b.slabs), share) for b, share in zip(bearers, shares, strict=bool(shares))),
        problem,
    )


def _value(slab: Slab, known: Known) -> float:
    return major(slab.asking_minor) if slab.asking_minor else known.finished(slab)

"""What the book knows of costs, as the money floor takes it. Amounts in whole units of currency."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Q, Sum

from pithline.yard.models import Effort, KilnLoad, Log, Plan, Profile, Size, Slab, Spending, Stack
from pithline.yard.money import currency, digits

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.money.cost.log_cost import Work
    from pithline.saw.written.assumed import Written

__all__ = [
    "LoadFacts",
    "Spent",
    "downgraded",
    "load_facts",
    "major",
    "overhead_in",
    "plan_and_tally",
    "spent_on",
    "usual_costs",
]

# What the hour of the saw holds already; paid bills of this kind must not be counted twice.
IN_THE_RATE = (Spending.Kind.FUEL, Spending.Kind.MACHINE)


@dataclass(frozen=True, slots=True)
class Spent:
    """What went into a log, a stack, a load or a slab.

    Attributes
    ----------
    work : tuple of Work
    money : mapping of what to amount
        Without fuel, chains and repair, which are in the saw's hour. [money]
    in_the_rate : float
        Those, for comparison only. [money]
    remarks : tuple of str
    """

    work: tuple[Work, ...]
    money: Mapping[str, float]
    in_the_rate: float
    remarks: tuple[str, ...] = ()

    @property
    def hours(self) -> float:
        """All hands added. [h]"""
        return sum(one.hours * one.people for one in self.work)


@dataclass(frozen=True, slots=True)
class LoadFacts:
    """A kiln load as its cost is shared.

    Attributes
    ----------
    number : int
    days : float or None
        In the kiln; None while it runs or where it never started. [days]
    energy : float or None
        By the meter. [kWh]
    slabs : tuple of (label, share)
        Share of room and days as reckoned; None where it was not. [fraction]
    volumes : tuple of float or None
        Of each slab now. [m3]
    spent : Spent
    """

    number: int
    days: float | None
    energy: float | None
    slabs: tuple[tuple[str, float | None], ...]
    volumes: tuple[float | None, ...]
    spent: Spent


def major(minor: int, code: str | None = None) -> float:
    """Whole currency units of an amount that the book keeps in its smallest coins."""
    return float(minor / 10 ** digits(currency() if code is None else code))


def usual_costs() -> Written[Costs] | None:
    """The costs that hold where nothing else is said, read; None where none were kept."""
    from pithline.money.cost.written import read_costs

    found = Profile.objects.filter(kind=Profile.Kind.COSTS, usual=True).first()
    return read_costs(found.table) if found else None


def spent_on(record: Log | Stack | KilnLoad | Slab) -> Spent:
    """Work and money that were written down for one record.

    Of a log whose cutting nobody wrote down, the minutes of its cuts stand in.
    """
    from pithline.money.cost.log_cost import Work

    remarks: list[str] = []
    work = [
        Work.of(
            one.kind,
            one.hours,
            one.people,
            one.saw_hours,
            one.fuel_l,
            one.distance_km or 0.0,
        )
        for one in Effort.objects.filter(**_about(record))
    ]
    if isinstance(record, Log) and not any(one.what == str(Effort.Kind.CUT) for one in work):
        minutes = record.cuts.aggregate(sum=Sum("minutes"))["sum"]
        if minutes:
            work.append(Work.of(str(Effort.Kind.CUT), minutes / 60, saw_hours=minutes / 60))
            remarks.append("cutting: from the minutes of the cuts, one person")
    code = currency()
    money: dict[str, float] = {}
    rate = 0.0
    for one in Spending.objects.filter(**_about(record)):
        amount = major(one.amount_minor, code)
        if one.kind in IN_THE_RATE:
            rate += amount
        else:
            money[one.what] = money.get(one.what, 0.0) + amount
    if rate and work:
        remarks.append("bills for fuel, chains and repair are left out: the saw's hour holds them")
    return Spent(tuple(work), money, rate, tuple(remarks))


def _about(record: Log | Stack | KilnLoad | Slab) -> dict[str, object]:
    names = {Log: "log", Stack: "stack", KilnLoad: "load", Slab: "slab"}
    return {names[type(record)]: record}


def load_facts(load: KilnLoad) -> LoadFacts:
    """What a load took, and which slabs bear it."""
    inside = list(load.loaded.select_related("slab__log").prefetch_related("slab__sizes"))
    days = None
    if load.started_at and load.ended_at:
        days = (load.ended_at - load.started_at).total_seconds() / 86400
    return LoadFacts(
        number=load.number,
        days=days,
        energy=load.energy_kwh,
        slabs=tuple((one.slab.label, one.space_share) for one in inside),
        volumes=tuple(_volume(one.slab) for one in inside),
        spent=spent_on(load),
    )


def _volume(slab: Slab) -> float | None:
    return next((size.volume_m3 for size in slab.sizes.all() if size.current), None)


def overhead_in(year: int, month: int) -> dict[str, float]:
    """Money spent in general that falls to a month, by what it bought. [money]

    A bill that covers several months is spread over them evenly, from the month it was paid in.
    """
    wanted = 12 * year + month
    latest = datetime.date(year + month // 12, month % 12 + 1, 1)
    general = Spending.objects.filter(log=None, stack=None, load=None, slab=None, spent_on__lt=latest)
    code = currency()
    found: dict[str, float] = {}
    for one in general:
        span = one.months or 1
        began = 12 * one.spent_on.year + one.spent_on.month
        if began <= wanted < began + span:
            found[one.what] = found.get(one.what, 0.0) + major(one.amount_minor, code) / span
    return found


def plan_and_tally() -> list[tuple[float, float]]:
    """Planned and tallied volume of every sawn log that had a chosen plan, in the unit of its plan.

    A log counts once all its slabs have a green tally in that unit; pieces that were cut of
    slabs later do not count again.
    """
    pairs = []
    plans = Plan.objects.filter(chosen=True, log__state=Log.State.SAWN).select_related("log")
    for plan in plans.order_by("log__number"):
        slabs = list(plan.log.slabs.filter(suffix="").prefetch_related("sizes"))
        tallied = [_green_tally(slab, plan.tally_unit) for slab in slabs]
        known = [tally for tally in tallied if tally is not None]
        if plan.tally > 0 and known and len(known) == len(tallied):
            pairs.append((plan.tally, sum(known)))
    return pairs


def _green_tally(slab: Slab, unit: str) -> float | None:
    green = [size for size in slab.sizes.all() if size.state == Size.State.GREEN and size.tally is not None]
    first = min(green, key=lambda size: size.created_at, default=None)
    return first.tally if first is not None and first.tally_unit == unit else None


def downgraded() -> tuple[int, int]:
    """How many slabs that were dried show flaws or were scrapped, and how many were dried in all."""
    dried = Slab.objects.filter(
        Q(state__in=(Slab.State.DRY, Slab.State.FLATTENED))
        | Q(state=Slab.State.SCRAP, sizes__state=Size.State.DRY)
        | Q(state=Slab.State.SCRAP, stays__isnull=False)
        | Q(sale__isnull=False, sale__dried__in=("air dried", "kiln dried"))
    ).distinct()
    bad = dried.filter(Q(state=Slab.State.SCRAP) | ~Q(flaws=""))
    return bad.count(), dried.count()

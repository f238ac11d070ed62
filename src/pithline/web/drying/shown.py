"""A stack's forecast in words, dates and a drawing, as its page shows it."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from pithline.errors import BadValue
from pithline.units import System, show_length
from pithline.web.drying.watch import Alike, Outlook, outlook
from pithline.yard.models import Slab, Stack

if TYPE_CHECKING:
    from pithline.dry.learning.update import Known
    from pithline.dry.watching import Warned
    from pithline.sheets.charts import Chart

__all__ = ["Fit", "Milestoned", "Shown", "Summed", "ranged", "shown", "summed", "warned"]

_INSECTS = (
    "insects or their eggs may live in air-dried wood: not sterilised. A kiln can: 56 °C in the core, 30 min"
)


@dataclass(frozen=True, slots=True)
class Milestoned:
    """One milestone's days, before and after the readings."""

    name: str
    moisture: str
    may: str
    source: str
    before: str
    after: str
    reached: bool


@dataclass(frozen=True, slots=True)
class Fit:
    """One reading beside what was expected there."""

    day: datetime.date
    source: str
    where: str
    read: str
    expected: str
    odd: bool


@dataclass(frozen=True, slots=True)
class Summed:
    """One line for slabs that share a forecast; `problem` where there is none."""

    labels: tuple[str, ...]
    thickness: str
    now: str
    days: tuple[tuple[str, str], ...]
    problem: str = ""


@dataclass(frozen=True, slots=True)
class Shown:
    """Everything about one forecast that a page says."""

    labels: tuple[str, ...]
    species: str
    thickness: str
    begins: datetime.date
    problem: str = ""
    now: str = ""
    core: str = ""
    shell: str = ""
    loss: str = ""
    safe: str = ""
    safe_told: tuple[str, ...] = ()
    strain: str = ""
    folk: str = ""
    rate: tuple[str, str] = ("", "")
    start: tuple[str, str] = ("", "")
    milestones: tuple[Milestoned, ...] = ()
    fits: tuple[Fit, ...] = ()
    warnings: tuple[Warned, ...] = ()
    remarks: tuple[str, ...] = ()
    chart: Chart | None = None


def shown(stack: Stack, group: Alike, today: datetime.date, system: System) -> Shown:
    """Reckon and word the forecast of some slabs; a refusal is shown in its place."""
    from pithline.sheets.drying_chart import seen

    facts = group.facts
    head = (group.labels, facts.species, show_length(facts.thickness, system), facts.begins)
    try:
        made = outlook(facts, today)
    except BadValue as wrong:
        return Shown(*head, problem=str(wrong), remarks=facts.remarks)
    learnt, begins = made.learnt, facts.begins
    title = f"{', '.join(group.labels[:4])}{' …' if len(group.labels) > 4 else ''}: moisture"
    return Shown(
        *head,
        now=ranged(made.now, _percent),
        core=_percent(made.core),
        shell=_percent(made.shell),
        loss=f"{100 * max(made.loss, 0):.2f} %",
        safe=f"{100 * made.safe.low:.2f} to {100 * made.safe.high:.2f} %",
        safe_told=made.safe.basis,
        strain=_strain(made, begins),
        folk=(begins + datetime.timedelta(days=made.folk_days)).isoformat(),
        rate=(ranged(learnt.rate[0], _factor), ranged(learnt.rate[1], _factor)),
        start=(ranged(learnt.start[0], _percent), ranged(learnt.start[1], _percent)),
        milestones=_milestones(made, begins),
        fits=tuple(
            Fit(
                begins + datetime.timedelta(days=fit.reading.day),
                fit.reading.source,
                seen(fit.reading),
                {"wetter": "wetter than ", "drier": "drier than "}.get(fit.reading.beyond, "")
                + _percent(fit.reading.value),
                ranged(fit.expected, _percent),
                fit.odd,
            )
            for fit in learnt.fits
        ),
        warnings=tuple(warned(stack, made, group)),
        remarks=made.remarks,
        chart=_drawn(made, begins, title),
    )


@lru_cache(maxsize=32)  # by identity: the same numbers are the same outlook
def _drawn(made: Outlook, begins: datetime.date, title: str) -> Chart:
    from pithline.sheets.drying_chart import drying_chart

    return drying_chart(made.learnt, made.milestones, begins, made.today, title)


def summed(group: Alike, today: datetime.date, system: System) -> Summed:
    """The same in one line."""
    facts = group.facts
    thick = show_length(facts.thickness, system)
    try:
        made = outlook(facts, today)
    except BadValue as wrong:
        return Summed(group.labels, thick, "", (), str(wrong))
    days = tuple((each.name, each.after) for each in _milestones(made, facts.begins))
    return Summed(group.labels, thick, ranged(made.now, _percent), days)


def warned(stack: Stack, made: Outlook, group: Alike) -> list[Warned]:
    """What may go wrong with these slabs now."""
    from pithline.dry.watching import Warned, fungus_window, pace_warning, slow_warning

    found = [
        pace_warning(made.loss, made.safe.low, made.safe.mid, made.now.mid),
        slow_warning(made.learnt.rate[1].high, made.now.mid, stack.covered_on is not None)
        if made.learnt.fits
        else None,
        fungus_window(made.shell, made.air_now),
    ]
    if made.now.mid <= 0.30 and not _sterilised(group):
        source = (
            "ISPM 15, heat treatment [from memory]; insects in air-dried wood, common practice, no source"
        )
        found.append(Warned("insects", f"{_INSECTS}. For trade follow licensed practice.", source))
    return [one for one in found if one is not None]


def _sterilised(group: Alike) -> bool:
    from pithline.yard.finding import slab_of

    slabs: list[Slab] = [slab_of(label) for label in group.labels]
    return all(slab.loads.filter(sterilised=True).exists() for slab in slabs)


def _milestones(made: Outlook, begins: datetime.date) -> tuple[Milestoned, ...]:
    ends = begins + datetime.timedelta(days=float(made.learnt.times[-1]))

    def day(value: float) -> str:
        if not math.isfinite(value):
            return f"not by {ends:%b %Y}"
        return (begins + datetime.timedelta(days=round(value))).isoformat()

    return tuple(
        Milestoned(
            each.name,
            _percent(each.moisture),
            each.may,
            each.source,
            ranged(before, day),
            ranged(after, day),
            after.mid <= made.today,
        )
        for each, before, after in zip(made.milestones, *made.learnt.days, strict=True)
    )


def _strain(made: Outlook, begins: datetime.date) -> str:
    worst = made.strain
    if worst.loss <= 0:
        return "it was below 30 % from the start"
    days = [
        (begins + datetime.timedelta(days=round(day))).isoformat()
        for day in (worst.loss_day, worst.index_day)
    ]
    return (
        f"fastest loss {100 * worst.loss:.2f} % a day on {days[0]}; "
        f"faces held back from shrinking by {100 * worst.index:.1f} % of the width at most, about {days[1]}"
    )


def ranged(known: Known, told: Callable[[float], str]) -> str:
    """The middle, and where eight in ten lie; one word where all are the same."""
    low, mid, high = told(known.low), told(known.mid), told(known.high)
    return mid if low == mid == high else f"{mid} ({low} to {high})"


def _percent(value: float) -> str:
    return f"{100 * value:.0f} %"


def _factor(value: float) -> str:
    return f"{value:.2f}"

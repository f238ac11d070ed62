"""A slab's line of days: what air it had from when to when, and what is assumed for the rest."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from django.db.models import Prefetch, QuerySet

from pithline.yard.models import Loaded, Phase, Place, Size, Slab, Stack
from pithline.yard.moments import day_of

__all__ = ["Stretch", "begin_of", "line_of", "with_line"]

NO_PHASE = "no phase was entered for this time"
NO_STAY = "where it lay is not written down for this time"


@dataclass(frozen=True, slots=True)
class Stretch:
    """One air from a day on.

    Attributes
    ----------
    kind : str
        Of `Phase.Kind`.
    begins, ends : date
        The last one has no end: until further.
    place : Place or None
        Whose months hold.
    stack : Stack or None
        That it lies in meanwhile.
    temperature, humidity : float or None
        Held, indoors or in a kiln. [°C], [fraction]
    wet_bulb : float or None
        In place of a humidity. [°C]
    load : int
        Number of the kiln load, 0 for none.
    planned : bool
        Not done yet.
    assumed : str
        Why this was taken; "" where it was entered.
    """

    kind: str
    begins: datetime.date
    ends: datetime.date | None = None
    place: Place | None = None
    stack: Stack | None = None
    temperature: float | None = None
    humidity: float | None = None
    wet_bulb: float | None = None
    load: int = 0
    planned: bool = False
    assumed: str = ""

    @property
    def days(self) -> int | None:
        """How long it lasts; None until further."""
        return None if self.ends is None else (self.ends - self.begins).days

    def alike(self, other: Stretch) -> bool:
        """Whether the other goes on with the same air."""
        return replace(self, begins=other.begins, ends=other.ends) == other


def with_line(slabs: QuerySet[Slab]) -> QuerySet[Slab]:
    """Slabs with all that their lines need, in a fixed count of queries."""
    loads = Loaded.objects.select_related("load").prefetch_related("load__made_steps")
    return slabs.select_related("log", "place", "stack", "stack__place").prefetch_related(
        Prefetch("sizes", Size.objects.order_by("created_at")),
        "stays__stack__place",
        Prefetch("stays__stack__phases", Phase.objects.select_related("place", "load")),
        Prefetch("stack__phases", Phase.objects.select_related("place", "load")),
        Prefetch("loads", loads),
    )


def begin_of(slab: Slab) -> tuple[datetime.date, str]:
    """The day it began to dry, and what was assumed for it.

    The day of sawing, else of its first stay, else the day it was entered.
    """
    if slab.sawn_on:
        return slab.sawn_on, ""
    stays = [stay.begins_on for stay in slab.stays.all()]
    if stays:
        return min(stays), "sawn on the day it was first stacked"
    return day_of(slab.created_at), "sawn on the day it was entered"


def line_of(slab: Slab) -> tuple[Stretch, ...]:
    """Every stretch of air since it was sawn; the last one until further.

    Where entries overlap, a kiln load counts before the phases of its stack, and those
    before what is assumed. A slab in no stack is taken to lie at its place.
    """
    begin, _ = begin_of(slab)
    layers = [[_somewhere(slab, begin)], list(_in_stacks(slab, begin)), list(_in_kilns(slab))]
    days = {begin}
    for stretch in (one for layer in layers for one in layer):
        days |= {day for day in (stretch.begins, stretch.ends) if day and day > begin}
    found: list[Stretch] = []
    cuts = sorted(days)
    for day, following in zip(cuts, [*cuts[1:], None], strict=True):
        on_top = next(one for layer in reversed(layers) for one in reversed(layer) if _holds(one, day))
        now = replace(on_top, begins=day, ends=following)
        if found and found[-1].alike(now):
            found[-1] = replace(found[-1], ends=following)
        else:
            found.append(now)
    return tuple(found)


def _holds(stretch: Stretch, day: datetime.date) -> bool:
    return stretch.begins <= day and (stretch.ends is None or day < stretch.ends)


def _kind_at(place: Place | None) -> str:
    return "shed" if place is not None and place.kind == Place.Kind.SHED else "outdoor"


def _somewhere(slab: Slab, begin: datetime.date) -> Stretch:
    return Stretch(_kind_at(slab.place), begin, place=slab.place, assumed=NO_STAY)


def _in_stacks(slab: Slab, begin: datetime.date) -> Iterator[Stretch]:
    stays = [(stay.stack, stay.begins_on, stay.ends_on) for stay in slab.stays.all()]
    if not stays and slab.stack is not None:
        # Entered before stays were kept: it is in the stack now.
        stays = [(slab.stack, max(begin, slab.stack.built_on or begin), None)]
    for stack, since, until in stays:
        yield Stretch(_kind_at(stack.place), since, until, place=stack.place, stack=stack, assumed=NO_PHASE)
        yield from _clipped(_phases(stack), since, until)


def _phases(stack: Stack) -> Iterator[Stretch]:
    for phase in stack.phases.all():
        damp = phase.humidity_percent
        yield Stretch(
            kind=phase.kind,
            begins=phase.begins_on,
            ends=phase.ends_on,
            place=phase.place or stack.place,
            stack=stack,
            temperature=phase.temperature_c,
            humidity=None if damp is None else damp / 100,
            load=phase.load.number if phase.load else 0,
            planned=phase.planned,
        )


def _in_kilns(slab: Slab) -> Iterator[Stretch]:
    for one in slab.loads.all():
        load = one.load
        if load.started_at is None:
            continue
        start = day_of(load.started_at)
        end = day_of(load.ended_at) if load.ended_at else None
        whole = Stretch("kiln", start, end, load=load.number, assumed="what the kiln was set to is not known")
        yield whole
        steps = [step for step in load.made_steps.all() if step.dry_bulb_c is not None]
        for step, following in zip(steps, [*steps[1:], None][: len(steps)], strict=True):
            damp = step.humidity_percent
            made = Stretch(
                kind="kiln",
                begins=day_of(step.at),
                ends=day_of(following.at) if following else end,
                temperature=step.dry_bulb_c,
                humidity=None if damp is None else damp / 100,
                wet_bulb=step.wet_bulb_c,
                load=load.number,
            )
            if made.ends is None or made.ends > made.begins:
                yield made


def _clipped(
    stretches: Iterable[Stretch], since: datetime.date, until: datetime.date | None
) -> Iterator[Stretch]:
    for one in stretches:
        begins = max(one.begins, since)
        ends = min((day for day in (one.ends, until) if day), default=None)
        if ends is None or ends > begins:
            yield replace(one, begins=begins, ends=ends)

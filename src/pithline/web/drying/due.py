"""What is due at stacks and kiln loads, by the book alone: no forecast is reckoned for a list of jobs."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Max, Q
from django.urls import reverse

from pithline.dry.watching import TURN_EVERY, weigh_every
from pithline.yard.actions.slabs import GONE
from pithline.yard.models import Entry, KilnLoad, Sample, Slab, Stack
from pithline.yard.moments import day_of

__all__ = ["Task", "load_tasks", "stack_tasks", "tasks"]

_SEAL_WITHIN = 3  # days after sawing; ends check first (common practice, no source)
_BOARDS_EVERY = 1  # days between weighings of sample boards in a kiln (common practice, no source)
_READ_EVERY = 60  # days without a reading or a weight


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do, on one day.

    Attributes
    ----------
    key : str
        The same for the same task, whatever its day: a calendar moves it, and does not double it.
    title, why : str
    day : date
    address : str
    """

    key: str
    title: str
    why: str
    day: datetime.date
    address: str


def tasks(today: datetime.date) -> list[Task]:
    """Everything due at any stack or load, the earliest first."""
    found = [
        one
        for stack in Stack.objects.filter(slabs__isnull=False).distinct().select_related("place")
        for one in stack_tasks(stack, today)
    ]
    found += [one for load in KilnLoad.objects.filter(ended_at=None) for one in load_tasks(load, today)]
    return sorted(found, key=lambda one: (one.day, one.title))


def stack_tasks(stack: Stack, today: datetime.date) -> list[Task]:
    """What is due at one stack."""
    slabs = list(Slab.objects.filter(stack=stack).exclude(state__in=(*GONE, Slab.State.FLATTENED)))
    if not slabs:
        return []
    address = reverse("drying:stack", args=[stack.pk])
    found = [*_weigh(stack, today, address), *_turn(stack, slabs, today, address)]
    sawn = [slab.sawn_on for slab in slabs if slab.sawn_on and not slab.ends_sealed_on]
    fresh = [day for day in sawn if (today - day).days <= 60]
    if fresh:
        day = min(fresh) + datetime.timedelta(days=_SEAL_WITHIN)
        bare = ", ".join(slab.label for slab in slabs if slab.sawn_on in fresh and not slab.ends_sealed_on)
        found.append(Task(f"seal-{stack.pk}", f"Seal the ends of {bare}", "ends check first", day, address))
    outdoors = stack.place is None or stack.place.kind != "shed"
    if outdoors and stack.covered_on is None and not stack.phases.filter(kind="indoor").exists():
        begun = stack.built_on or day_of(stack.created_at)
        title = f"Put a roof on stack {stack}"
        found.append(Task(f"cover-{stack.pk}", title, "no roof is entered", begun, address))
    return found


def _weigh(stack: Stack, today: datetime.date, address: str) -> Iterable[Task]:
    samples = Sample.objects.filter(Q(stack=stack) | Q(slab__stack=stack), done=False, load=None).distinct()
    samples = samples.prefetch_related("weighings")
    for sample in samples:
        known = [(one.weighed_on, one.weight_kg) for one in sample.weighings.all()]
        last, weight = max(known, default=(sample.cut_on or today, sample.green_kg))
        moisture, told = 0.5, "its moisture is not known, taken as 50 %"
        dry = sample.oven_dry_kg
        if dry is None and sample.start_percent is not None and sample.green_kg:
            dry = sample.green_kg / (1 + sample.start_percent / 100)
        if dry and weight:
            moisture = max(weight / dry - 1, 0.0)
            told = f"{100 * moisture:.0f} % at its last weight"
        day = last + datetime.timedelta(days=weigh_every(min(moisture, 3.9)))
        yield Task(f"weigh-{sample.pk}", f"Weigh {sample} in stack {stack}", told, day, address)
    if not samples:
        newest = [
            Slab.objects.filter(stack=stack).aggregate(day=Max(name))["day"]
            for name in ("weighings__weighed_on", "readings__read_on")
        ]
        begun = stack.built_on or day_of(stack.created_at)
        last = max([day for day in newest if day], default=begun)
        day = last + datetime.timedelta(days=_READ_EVERY)
        yield Task(f"read-{stack.pk}", f"Measure moisture in stack {stack}", f"last {last}", day, address)


def _turn(stack: Stack, slabs: list[Slab], today: datetime.date, address: str) -> Iterable[Task]:
    laid = Entry.objects.filter(kind="lay_stack", subject=stack.pk, undone_by=None).first()
    said = laid.said.get("laid_on") if laid else None
    begun = stack.built_on or day_of(stack.created_at)
    try:
        last = datetime.date.fromisoformat(said) if said else (day_of(laid.received_at) if laid else begun)
    except (TypeError, ValueError):
        last = begun
    day = last + datetime.timedelta(days=TURN_EVERY)
    why = f"laid {last}; every {TURN_EVERY:.0f} days is common practice"
    yield Task(f"turn-{stack.pk}", f"Look through and turn stack {stack}", why, day, address)


def load_tasks(load: KilnLoad, today: datetime.date) -> list[Task]:
    """What is due at one kiln load that has not ended."""
    address = reverse("drying:load", args=[load.number])
    if load.started_at is None:
        return []
    steps = [step for step in load.made_steps.all() if step.samples_percent is not None]
    last = day_of(steps[-1].at) if steps else day_of(load.started_at)
    day = last + datetime.timedelta(days=_BOARDS_EVERY)
    why = "daily while it runs; the wettest half tells the next step"
    return [Task(f"boards-{load.pk}", f"Weigh the sample boards of {load}", why, day, address)]

"""A log's life in order: what is done, what is next, and where it is done."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from pithline.yard.models import Log

__all__ = ["Step", "next_step", "steps"]

_ORDER = (
    ("offered", "Offered"),
    ("taken", "Answered"),
    ("measured", "Measured"),
    ("planned", "Planned"),
    ("sawn", "Sawn"),
)


@dataclass(frozen=True, slots=True)
class Step:
    """One station of the life."""

    name: str
    done: bool
    now: bool


def steps(log: Log) -> tuple[Step, ...]:
    """Every station, up to where the log has come; what was sawn by eye was neither taped nor planned."""
    if log.state == Log.State.DECLINED:
        return (Step("Offered", True, False), Step("Declined", True, False))
    at = [state for state, _ in _ORDER].index(log.state)
    left_out = set()
    if log.state == Log.State.SAWN:
        left_out |= set() if log.record else {"measured"}
        left_out |= set() if log.plans.exists() else {"planned"}
    return tuple(
        Step(name, n <= at and state not in left_out, n == at + 1) for n, (state, name) in enumerate(_ORDER)
    )


@dataclass(frozen=True, slots=True)
class Next:
    """What to do with a log now."""

    title: str
    why: str
    address: str
    button: str


def next_step(log: Log) -> Next | None:
    """The next thing to do; None where the log was declined or needs an answer first."""
    match log.state:
        case Log.State.TAKEN:
            return Next(
                "Measure it",
                "Four readings at each end and the length are enough for a first plan.",
                reverse("measure:log", args=[log.number]),
                "Measure",
            )
        case Log.State.MEASURED:
            return Next(
                "Plan the cuts",
                "The best slabs for your mill, drawn live.",
                f"{reverse('plan:index')}{log.number}/",
                "Plan",
            )
        case Log.State.PLANNED:
            return Next(
                "Saw it and tally the slabs",
                "Print the sheet, saw, and enter each slab as it comes off.",
                f"{reverse('tally:index')}?log={log.number}",
                "Tally",
            )
        case Log.State.SAWN:
            return Next(
                "See its slabs",
                "Where each lies, and its whole history.",
                f"{reverse('rack:index')}?log={log.number}",
                "Rack",
            )
    return None

"""The forecast behind a stack's page, kept in memory by the numbers that it was made from."""

from __future__ import annotations

import datetime
import hashlib
import threading
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from pithline.yard.drying_air import air_phases
from pithline.yard.drying_facts import DryingFacts, facts_of_stack, own_milestones
from pithline.yard.models import Stack

if TYPE_CHECKING:
    from pithline.dry.learning.update import Known, Learnt
    from pithline.dry.milestones import Milestone
    from pithline.dry.risk import Strain
    from pithline.wood.estimate import Estimate

__all__ = ["Alike", "Outlook", "alike", "begun", "outlook"]

Floats = NDArray[np.float64]

AHEAD = 3 * 365  # days that a page looks ahead
DRAWS = 150  # in each round
_EVERY = 14.0  # days between two points of the curve
_KEPT = 64


@dataclass(frozen=True, slots=True)
class Alike:
    """Slabs of a stack that share one forecast: wood, thickness, air and readings are the same."""

    facts: DryingFacts
    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """How a slab has dried and will.

    Attributes
    ----------
    learnt : Learnt
        Before and after the readings.
    milestones : tuple of Milestone
    today : float
        Days since it began.
    now : Known
        Mean moisture today. [fraction]
    loss : float
        Of the mean in a day, now. [fraction/day]
    core, shell : float
        Now, with every unknown at its middle. [fraction]
    air_now : float
        Temperature. [°C]
    strain : Strain
        Worst day and gradient of the whole way.
    safe : Estimate
        [fraction/day]
    folk_days : float
        "One year per inch".
    remarks : tuple of str
    """

    learnt: Learnt
    milestones: tuple[Milestone, ...]
    today: float
    now: Known
    loss: float
    core: float
    shell: float
    air_now: float
    strain: Strain
    safe: Estimate
    folk_days: float
    remarks: tuple[str, ...]


def alike(stack: Stack) -> tuple[list[Alike], list[str]]:
    """Slabs of a stack by shared forecast, the thickest first; and what cannot be forecast."""
    facts, wrong = facts_of_stack(stack)
    of: dict[Any, list[DryingFacts]] = {}
    for one in facts:
        line = tuple((s.kind, s.begins, s.ends, s.place and s.place.pk, s.temperature, s.humidity, s.wet_bulb)
                     for s in one.line)  # fmt: skip
        of.setdefault((one.species, round(one.thickness, 4), one.begins, one.readings, line), []).append(one)
    groups = [Alike(each[0], tuple(one.label for one in each)) for each in of.values()]
    # With readings first among equals: they know more.
    groups.sort(key=lambda g: (-round(g.facts.thickness, 3), -len(g.facts.readings)))
    return groups, wrong


def begun(groups: Sequence[Alike], label: str = "") -> Alike | None:
    """The group that holds a slab; the first where nobody asked."""
    return next((group for group in groups if not label or label in group.labels), None)


_kept: OrderedDict[str, Outlook] = OrderedDict()
_lock = threading.Lock()


def outlook(facts: DryingFacts, today: datetime.date) -> Outlook:
    """What is known and expected of a slab.

    Raises
    ------
    BadValue
        Months of its place that are not known, a kiln without settings, readings the model refuses.
    """
    from pithline.dry.phases import air_through

    until = max(today, facts.begins) + datetime.timedelta(days=AHEAD)
    phases, told = air_phases(facts.line, until)
    plain = air_through(phases, facts.begins)
    along = own_milestones()
    said = [facts.species, facts.thickness, facts.begins, today, facts.readings, along, told, facts.remarks]
    doubts = [(p.months.bias_temperature, p.months.bias_emc, p.months.basis) for p in phases if p.months]
    digest = hashlib.sha256(repr((said, doubts, plain.names)).encode())
    for column in (plain.ends, plain.temperature, plain.emc, plain.until, plain.pace, plain.film):
        digest.update(np.ascontiguousarray(column).tobytes())
    key = digest.hexdigest()
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
    made = _reckoned(facts, phases, plain, along, today, told)
    with _lock:
        _kept[key] = made
        while len(_kept) > _KEPT:
            _kept.popitem(last=False)
    return made


def _reckoned(
    facts: DryingFacts,
    phases: Any,
    plain: Any,
    along: tuple[Milestone, ...],
    today: datetime.date,
    told: tuple[str, ...],
) -> Outlook:
    from pithline.dry.coefficient import wood_of
    from pithline.dry.diffusion import course
    from pithline.dry.learning.stack import prior_of
    from pithline.dry.learning.update import Known, Slab, learn
    from pithline.dry.phases import drawn_air
    from pithline.dry.profile import mean_to
    from pithline.dry.risk import SHELL, strain_of
    from pithline.dry.safe_loss import safe_loss
    from pithline.units import INCH
    from pithline.wood.shrinkage import totals
    from pithline.wood.species import species

    wood = species(facts.species)
    matter = wood_of(wood)
    prior, rests = prior_of(wood, facts.thickness)
    day = float((today - facts.begins).days)
    end = float(plain.days)
    times = np.unique(np.clip([*np.arange(0.0, end, _EVERY), max(day, 0.0), end], 0.0, end))

    def airs(rng: np.random.Generator, draws: int) -> Any:
        return drawn_air(phases, facts.begins, draws, rng)

    used = tuple(reading for reading in facts.readings if reading.day <= end)
    # The same draws each time: a page that is loaded anew must not show other days.
    learnt = learn(
        Slab(facts.thickness, matter, airs), prior, used, list(times),
        [each.moisture for each in along], np.random.default_rng(1), draws=DRAWS,
    )  # fmt: skip
    daily = np.append(np.arange(0.0, end), end)
    middle = course(facts.thickness, plain, daily, learnt.start[1].mid, learnt.rate[1].mid, wood=matter)
    at = min(max(int(day), 0), len(daily) - 2)
    shell = mean_to(middle.profile[at], middle.depths, max(SHELL, float(middle.depths.min())))
    here = int(np.searchsorted(times, max(day, 0.0)))
    passed = int(np.searchsorted(_since_begun(plain), max(day, 0.0), side="right"))
    part = min(passed, len(plain.ends) - 1)
    return Outlook(
        learnt, along, day, Known(*(float(v) for v in learnt.means[1][here])),
        float(middle.mean[at] - middle.mean[at + 1]), float(middle.profile[at, 0]), float(shell),
        float(plain.temperature[part]), strain_of(middle, totals(wood).tangential.mid, matter.full),
        safe_loss(wood, facts.thickness), facts.thickness / INCH * 365.25,
        tuple(dict.fromkeys((*learnt.remarks, *facts.remarks, *told, *rests, *plain.remarks))),
    )  # fmt: skip


def _since_begun(air: Any) -> Floats:
    """Ends of an air's stretches, counted from the very begin and not from each phase's own."""
    last = np.flatnonzero(np.diff(air.phases, append=-1))
    before = np.concatenate([[0.0], np.cumsum(air.ends[last])])
    return np.asarray(air.ends + before[air.phases])

"""From a stack's readings to what they teach: prior, weather and model of its wood put together."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from pithline.dry.air import Air
from pithline.dry.coefficient import spread_of, wood_of
from pithline.dry.months import Months, through
from pithline.dry.update import Airs, Learnt, Prior, Slab, learn
from pithline.dry.written_readings import StackReadings
from pithline.errors import BadValue
from pithline.wood.density import green_moisture
from pithline.wood.facts import Species

__all__ = ["LONGEST", "learn_stack", "prior_of", "weather"]

LONGEST = 5 * 365  # days that a forecast looks ahead
# Trees of one wood differ in green moisture by a tenth at least, whatever the printed means say
# (common practice, no source).
_LEAST_START = 0.10


def prior_of(
    species: Species, thickness: float, start: float | None = None, doubt: float | None = None
) -> tuple[Prior, tuple[str, ...]]:
    """What is believed of a slab before anything is read, and what that rests on.

    Parameters
    ----------
    species : Species
    thickness : float
        Green. [m]
    start : float, optional
        Moisture when stacked; that of the living tree if left out. [fraction]
    doubt : float, optional
        Standard deviation of its logarithm.
    """
    rate, remarks = spread_of(species, thickness)
    if start is None:
        green = green_moisture(species)
        start = green.mid
        # From one in ten to nine in ten are 2.563 standard deviations.
        spread = max(math.log(green.high / green.low) / 2.563, _LEAST_START)
        remarks = (*remarks, *(f"start: {each}" for each in green.basis))
    else:
        spread = _LEAST_START
    return Prior(rate, start, doubt or spread), remarks


def weather(months: Months, start: datetime.date, days: float = LONGEST) -> Airs:
    """Air through a place's months, for each draw with weather of its own.

    Parameters
    ----------
    months : Months
    start : date
    days : float
    """
    plain = through(months, start, days)

    def drawn(rng: np.random.Generator, draws: int) -> Sequence[Air]:
        made = []
        for _ in range(draws):
            warm, wet = months.drawn(len(plain.ends), rng)
            moisture = np.clip(plain.emc + wet, 0.01, 0.29)
            made.append(replace(plain, temperature=plain.temperature + warm, emc=moisture))
        return made

    return drawn


def learn_stack(
    stack: StackReadings,
    targets: Sequence[float],
    times: Sequence[float],
    rng: np.random.Generator,
    draws: int = 300,
) -> Learnt:
    """What a stack's readings teach of its rate, its start and the days to come.

    Parameters
    ----------
    stack : StackReadings
    targets : sequence of float
        Mean moistures whose days are wanted. [fraction]
    times : sequence of float
        For which the mean is wanted. [days since stacked]
    rng : Generator
    draws : int
        In each round; see `learn`.

    Raises
    ------
    BadValue
        A target outside 4 to 60 %, or what `learn` refuses.
    """
    for target in targets:
        if not 0.04 <= target <= 0.60:
            raise BadValue("target", target, "from 4 to 60 %", 'Write "20 %".')
    prior, remarks = prior_of(stack.species, stack.thickness, stack.start, stack.start_doubt)
    slab = Slab(stack.thickness, wood_of(stack.species), weather(stack.months, stack.stacked))
    learnt = learn(slab, prior, stack.readings, times, targets, rng, draws=draws)
    return replace(learnt, remarks=(*learnt.remarks, *remarks, *stack.months.basis))

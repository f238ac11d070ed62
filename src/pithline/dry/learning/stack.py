"""From a stack's readings to what they teach: prior, weather and model of its wood put together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from pithline.dry.coefficient import spread_of, wood_of
from pithline.dry.learning.readings import Reading
from pithline.dry.learning.update import Airs, Learnt, Prior, Slab, learn
from pithline.dry.learning.written import StackReadings
from pithline.dry.phases import air_through, drawn_air
from pithline.errors import BadValue
from pithline.wood.density import green_moisture
from pithline.wood.facts import Species

__all__ = ["learn_slab", "learn_stack", "prior_of", "stack_air"]

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


def learn_slab(
    species: Species,
    thickness: float,
    air: Airs,
    readings: Sequence[Reading],
    targets: Sequence[float],
    times: Sequence[float],
    rng: np.random.Generator,
    *,
    start: float | None = None,
    start_doubt: float | None = None,
    draws: int = 300,
) -> Learnt:
    """What readings teach of one slab's rate, its start and the days to come.

    Parameters
    ----------
    species : Species
    thickness : float
        Green. [m]
    air : callable (rng, draws) -> one Air for each draw
        As ``lambda rng, draws: drawn_air(phases, begin, draws, rng)``.
    readings : sequence of Reading
        Days since the first of `air`; may be empty.
    targets : sequence of float
        Mean moistures whose days are wanted. [fraction]
    times : sequence of float
        For which the mean is wanted. [days]
    rng : Generator
    start, start_doubt : float, optional
        Moisture on that day and the standard deviation of its logarithm; as `prior_of`.
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
    prior, remarks = prior_of(species, thickness, start, start_doubt)
    learnt = learn(Slab(thickness, wood_of(species), air), prior, readings, times, targets, rng, draws=draws)
    return replace(learnt, remarks=(*learnt.remarks, *remarks))


def learn_stack(
    stack: StackReadings,
    targets: Sequence[float],
    times: Sequence[float],
    rng: np.random.Generator,
    draws: int = 300,
) -> Learnt:
    """The same of a stack as written; `times` in days since it was stacked."""
    learnt = learn_slab(
        stack.species, stack.thickness, stack_air(stack), stack.readings, targets, times, rng,
        start=stack.start, start_doubt=stack.start_doubt, draws=draws,
    )  # fmt: skip
    return replace(learnt, remarks=(*learnt.remarks, *air_through(stack.phases, stack.stacked).remarks))


def stack_air(stack: StackReadings) -> Airs:
    """Air through a stack's phases, for each draw with weather of its own."""
    return lambda rng, draws: drawn_air(stack.phases, stack.stacked, draws, rng)

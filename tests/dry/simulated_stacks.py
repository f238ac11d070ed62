"""Invented stacks with a known truth, which differs from what the forecast assumes.

| | the forecast takes | the truth has |
| --- | --- | --- |
| weather | months that stray by themselves | months that stray further, and on into the next month |
| face | exchange of 3e-7 m/s | anything from 3e-8 to 1e-6 m/s |
| coefficient | rises with moisture by exp(1.15 M) | by anything from exp(0.4 M) to exp(1.9 M) |
| meter | offset 1.4 %, noise 1.1 % | another offset, noise with heavy tails, slips |
| depth | tips within 1.5 mm of where they should be | within 2 mm; from a tenth to half way in |
| profile | flatter or steeper by a fifth at most places | as film and coefficient make it |
| block | as wet as the slab, within a twentieth | off by a tenth now and then, and a little faster |
| thickness | as told | 1 mm more or less |
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace

import numpy as np

from pithline.dry.air import Air
from pithline.dry.diffusion import course
from pithline.dry.diffusivity import RED_OAK
from pithline.dry.learning.meters import Meter, Scale, corrected
from pithline.dry.learning.readings import Reading, from_meter, from_weights
from pithline.dry.learning.update import DRIFT, Learnt, Prior, Slab, learn
from pithline.dry.learning.weighing import Weights
from pithline.dry.months import Months, place, places, through
from pithline.dry.profile import at_depth, thickness_of
from pithline.wood.species import species

OAK = species("northern red oak")
METER = Meter(scale=Scale.OWN, warm_itself=True)
PRIOR = Prior(rate_spread=0.30, start=0.80, start_spread=0.12)
TARGETS = (0.30, 0.20)
DAYS = 365 * 3


@dataclass(frozen=True)
class Stack:
    """One invented stack."""

    slab: Slab
    readings: tuple[Reading, ...]
    last: float
    truth: tuple[float, ...]  # day of each target


def airs(months: Months, start: datetime.date):
    plain = through(months, start, DAYS)

    def drawn(rng: np.random.Generator, draws: int) -> list[Air]:
        found = []
        for _ in range(draws):
            warm, wet = months.drawn(len(plain.ends), rng)
            moisture = np.clip(plain.emc + wet, 0.01, 0.29)
            found.append(replace(plain, temperature=plain.temperature + warm, emc=moisture))
        return found

    return drawn


def stack(rng: np.random.Generator) -> Stack:
    months = place(str(rng.choice(places())))
    start = datetime.date(2025, int(rng.integers(1, 13)), 1)
    thickness = float(rng.choice([0.028, 0.053, 0.066, 0.080]))
    wood = replace(
        RED_OAK,
        film=float(np.exp(rng.uniform(np.log(3e-8), np.log(1e-6)))),
        rise=float(rng.uniform(0.4, 1.9)),
    )
    # The coefficient's form is another, its size at 20 % the same: size is what the factor is for.
    wood = replace(wood, rate=float(np.exp((RED_OAK.rise - wood.rise) * 0.20)))
    began = PRIOR.start * float(np.exp(PRIOR.start_spread * rng.standard_normal()))
    rate = float(np.exp(PRIOR.rate_spread * rng.standard_normal()))
    count = len(through(months, start, DAYS).ends)
    weather = through(months, start, DAYS, deviations=strayed(count, rng))
    true_thickness = thickness + rng.normal(0, 0.001)
    grid = np.arange(0.0, DAYS, 5.0)
    true = course(true_thickness, weather, grid, began, rate, wood=wood, targets=TARGETS, error=1e-3)
    # Read at two to six dates, the last at half to nine tenths of the way to the driest target.
    until = min(true.reached[-1], DAYS * 0.6) * rng.uniform(0.4, 0.8)
    dates = np.unique(np.searchsorted(grid, until * np.linspace(0.25, 1, int(rng.integers(2, 7))))).clip(1)
    readings = [*block(true, dates, began, grid, rng)] if rng.random() < 0.6 else []
    if rng.random() < 0.8 or not readings:
        readings += meter_readings(true, dates, thickness, grid, rng)
    return Stack(
        Slab(thickness, RED_OAK, airs(months, start)), tuple(readings), grid[dates[-1]], tuple(true.reached)
    )


def strayed(count: int, rng: np.random.Generator):
    """Months that lean on the month before, and further from the mean than the forecast thinks."""
    found = []
    for bias, stray in ((1.0, 2.0), (0.008, 0.014)):
        steps = rng.normal(0, stray, count)
        for i in range(1, count):
            steps[i] = 0.5 * steps[i - 1] + np.sqrt(1 - 0.25) * steps[i]
        found.append(rng.normal(0, bias) + steps)
    return found[0], found[1]


def meter_readings(true, dates, thickness, grid, rng):
    depth, offset = thickness * float(rng.choice([0.1, 0.2, 0.2, 0.3, 0.5])), rng.normal(0, 0.012)
    whole = thickness_of(true.depths)
    for at in dates:
        tips = float(np.clip(depth + rng.normal(0, 0.002), 0.001, whole))
        there = float(at_depth(true.profile[at], true.face[at], true.depths, tips))
        shown = there + offset + 0.010 * rng.standard_t(3)
        if rng.random() < 0.02:
            shown = rng.uniform(0.06, 0.6)
        found = corrected(float(np.clip(shown, 0.0, 0.8)), METER, 20.0, OAK)
        yield from_meter(float(grid[at]), found, METER, depth)


def block(true, dates, began, grid, rng):
    """A witness block: its own oven-dry weight, drying a little otherwise than the slab."""
    dry = rng.uniform(3, 6)
    off, faster = rng.normal(0, 0.05), rng.normal(0.01, 0.03)
    green = dry * (1 + began * (1 + off))
    weights = [
        dry * (1 + max(true.mean[at] * (1 + off) - faster * (began - true.mean[at]), 0.05))
        * (1 + 0.003 * rng.standard_normal())
        for at in dates
    ]  # fmt: skip
    known = dry * (1 + 0.002 * rng.standard_normal()) if rng.random() < 0.4 else None
    return from_weights(Weights("block", green, tuple(grid[dates]), tuple(weights), known))


@dataclass(frozen=True)
class Study:
    """How the forecasts of many stacks did. Rows: stacks; columns: targets."""

    held_before: np.ndarray
    held: np.ndarray
    narrower: np.ndarray
    effective: np.ndarray


def study(stacks: int, seed: int, draws: int = 200, drift: float = DRIFT) -> Study:
    held_before, held, narrower, effective = [], [], [], []
    for number in range(stacks):
        # A generator of its own for each: the stacks stay the same whatever the forecast draws.
        one = stack(np.random.default_rng([seed, number]))
        rng = np.random.default_rng([seed, number, 1])
        learnt = learn(one.slab, PRIOR, one.readings, [0.0], TARGETS, rng, draws=draws, drift=drift)
        ahead = [true > one.last for true in one.truth]
        held_before.append(_inside(learnt, 0, one.truth, ahead))
        held.append(_inside(learnt, 1, one.truth, ahead))
        narrower.append(_narrower(learnt, ahead))
        effective.append(learnt.effective)
    return Study(np.array(held_before), np.array(held), np.array(narrower), np.array(effective))


def _inside(learnt: Learnt, when: int, truth, ahead):
    """1 inside, 0 outside, NaN where the target was already reached when last read."""
    return [
        float(known.low <= true <= known.high) if is_ahead else np.nan
        for known, true, is_ahead in zip(learnt.days[when], truth, ahead, strict=True)
    ]


def _narrower(learnt: Learnt, ahead):
    """Width of the range after the readings over that before; a range ends where the air ends."""
    widths = [[min(known.high, DAYS) - min(known.low, DAYS) for known in days] for days in learnt.days]
    return [
        # A range that lies wholly beyond the air's end has no width to compare.
        after / before if is_ahead and min(after, before) > 0 else np.nan
        for before, after, is_ahead in zip(*widths, ahead, strict=True)
    ]

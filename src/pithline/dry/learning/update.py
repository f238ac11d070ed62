"""What readings teach: drying rate and start moisture before and after, and the forecast with them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.dry.air import Air
from pithline.dry.diffusion import courses
from pithline.dry.diffusivity import Diffusivity
from pithline.dry.learning.importance import FREEDOM, fitted_to, normals, possible, quantiles, weighed
from pithline.dry.learning.readings import Reading, log_likelihood, predicted
from pithline.errors import BadValue

__all__ = ["DRIFT", "Fitted", "Known", "Learnt", "Prior", "Slab", "learn"]

Floats = NDArray[np.float64]
Airs = Callable[[np.random.Generator, int], Sequence[Air]]

SHOWN = (0.1, 0.5, 0.9)
# Standard deviation of the logarithm of the time from the last reading to a target, beside what
# rate, start and drawn weather explain: a stack does not go on as it began (other film, other
# coefficient below fibre saturation, a tarpaulin). With it and the model's own doubt at each reading
# the 80 % range held 82 % of 705 days of 400 invented stacks; with that doubt alone 81 %, with
# neither 75 % (benchmarks/range_coverage.py).
DRIFT = 0.08
_LEAST, _MOST = 3, 8  # rounds; more than the least only while few draws carry the weight
_ENOUGH = 100.0  # that draws are worth


@dataclass(frozen=True, slots=True)
class Prior:
    """What is believed before anything was read. Both are log-normal.

    Attributes
    ----------
    rate_spread : float
        Standard deviation of the logarithm of the drying-rate factor, whose middle is 1.
    start : float
        Middle of the start moisture. [fraction]
    start_spread : float
        Standard deviation of its logarithm.
    """

    rate_spread: float
    start: float
    start_spread: float


@dataclass(frozen=True, slots=True)
class Slab:
    """What the model dries. `air` draws its weather: (rng, draws) -> one `Air` for each draw."""

    thickness: float  # green [m]
    wood: Diffusivity
    air: Airs


@dataclass(frozen=True, slots=True)
class Known:
    """One in ten below `low`, half below `mid`, nine in ten below `high`."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True, slots=True)
class Fitted:
    """One reading beside what the model now expects there, its own doubts included."""

    reading: Reading
    expected: Known
    odd: bool  # outside 1 in 100 either way


@dataclass(frozen=True, slots=True, eq=False)
class Learnt:
    """Before and after.

    Attributes
    ----------
    rate, start : (Known, Known)
        Drying-rate factor [-] and start moisture [fraction], before and after the readings.
    targets : tuple of float
        [fraction]
    days : (tuple of Known, tuple of Known)
        On which the mean is down to each target, before and after; infinite where the air's end
        comes first. [days]
    times : ndarray, shape (times,)
        [days]
    means : (ndarray, ndarray), shape (times, 3)
        10, 50 and 90 % points of the mean moisture, before and after. [fraction]
    fits : tuple of Fitted
    draws, effective : int, float
        Courses reckoned; how many equally weighted draws they are worth after the readings.
    remarks : tuple of str
    """

    rate: tuple[Known, Known]
    start: tuple[Known, Known]
    targets: tuple[float, ...]
    days: tuple[tuple[Known, ...], tuple[Known, ...]]
    times: Floats
    means: tuple[Floats, Floats]
    fits: tuple[Fitted, ...]
    draws: int
    effective: float
    remarks: tuple[str, ...]


def learn(
    slab: Slab,
    prior: Prior,
    readings: Sequence[Reading],
    times: Sequence[float],
    targets: Sequence[float],
    rng: np.random.Generator,
    *,
    draws: int = 300,
    drift: float = DRIFT,
) -> Learnt:
    """Weigh draws of rate, start and weather by the readings.

    Parameters
    ----------
    slab : Slab
    prior : Prior
    readings : sequence of Reading
        None: the forecast before anything was read.
    times : sequence of float
        For which the mean is wanted. [days]
    targets : sequence of float
        Mean moistures whose days are wanted. [fraction]
    rng : Generator
    draws : int
        In each of three rounds, or up to eight where the readings surprise.
    drift : float
        See `DRIFT`.

    Returns
    -------
    learnt : Learnt

    Raises
    ------
    BadValue
        A prior that is none, a reading after the air's end, or what the model refuses.

    Notes
    -----
    Adaptive importance sampling: the first round is drawn from the prior, each later one from a
    Student's t through the draws weighted so far; every draw of all rounds is then weighted by
    prior times likelihood over the mean of all the densities it could have been drawn from. The
    weather is drawn anew for each and never adapted.

    References
    ----------
    .. [1] J.-M. Cornuet, J.-M. Marin, A. Mira and C. P. Robert 2012, Adaptive multiple importance
       sampling, *Scandinavian Journal of Statistics* 39:798-812 (from memory).
    """
    _sensible(prior)
    middle = np.array([0.0, math.log(prior.start)])
    spread = np.array([prior.rate_spread, prior.start_spread])
    wanted, last = np.asarray(times, dtype=np.float64), max((r.day for r in readings), default=0.0)
    both = np.unique([*wanted, *(reading.day for reading in readings)])
    shown = np.searchsorted(both, wanted)
    at: list[Floats] = []
    # Density of each round: None is the prior itself.
    rounds: list[tuple[Floats, Floats] | None] = []
    logs: list[Floats] = []
    found: list[tuple[Floats, Floats]] = []
    expected: list[Floats] = []
    weights = np.full(draws, 1 / draws)
    for turn in range(_MOST if len(readings) else 1):
        if turn == 0:
            points = possible(middle + spread * normals(rng, draws), middle, spread)
            rounds.append(None)
        else:
            centre, shape = fitted_to(np.concatenate(at), weights, spread)
            heavy = np.sqrt(FREEDOM / rng.chisquare(FREEDOM, (draws, 1)))
            points = centre + (normals(rng, draws) @ shape.T) * heavy
            points = possible(points, middle, spread)
            rounds.append((centre, shape))
        starts = np.exp(points[:, 1])
        airs = slab.air(rng, draws)
        if last > airs[0].days + 1e-9:
            raise BadValue("day of a reading", last, f"within the air's {airs[0].days:g} days",
                           "Give phases that last beyond it.")  # fmt: skip
        run = courses(
            slab.thickness, airs, both, starts, np.exp(points[:, 0]),
            wood=slab.wood, targets=targets, profiles=True,
        )  # fmt: skip
        at.append(points)
        expected.append(predicted(run, starts, readings))
        # The profiles have done their work and take most of the room.
        found.append((run.mean[:, shown], run.reached))
        logs.append(log_likelihood(expected[-1], readings))
        weights = weighed(np.concatenate(at), np.concatenate(logs), rounds, middle, spread)
        effective = float(1 / (weights**2).sum())
        if turn + 1 >= _LEAST and effective >= min(_ENOUGH, draws / 2):
            break
    every = np.concatenate(at)
    mean, reached = (np.concatenate([each[i] for each in found]) for i in (0, 1))
    after = _drifted(reached, last, drift, rng)
    # The first round is the prior itself, evenly weighted.
    even = np.full(draws, 1 / draws)
    before = _drifted(reached[:draws], 0.0, drift, rng)
    fits = _fitted(np.concatenate(expected), weights, readings, rng)
    return Learnt(
        _both(np.exp(every[:, 0]), even, weights),
        _both(np.exp(every[:, 1]), even, weights),
        tuple(targets),
        (
            tuple(_known(before[:, i], even) for i in range(len(targets))),
            tuple(_known(after[:, i], weights) for i in range(len(targets))),
        ),
        wanted,
        (_fan(mean[:draws], even), _fan(mean, weights)),
        fits,
        len(every),
        effective,
        _remarks(fits, effective),
    )


def _sensible(prior: Prior) -> None:
    if not 0 < prior.rate_spread < 3:
        raise BadValue("spread of the rate", prior.rate_spread, "between 0 and 3")
    if not 0.02 <= prior.start <= 3:
        raise BadValue("start moisture", prior.start, "from 2 to 300 %", 'Write "80 %".')
    if not 0 < prior.start_spread < 1:
        raise BadValue("spread of the start moisture", prior.start_spread, "between 0 and 1")


def _drifted(reached: Floats, last: float, drift: float, rng: np.random.Generator) -> Floats:
    """Days of the targets with what the model cannot know of the time to come."""
    stretch = np.exp(drift * rng.standard_normal((len(reached), 1)))
    return np.where(reached > last, last + (reached - last) * stretch, reached)


def _known(values: Floats, weights: Floats) -> Known:
    return Known(*(float(each) for each in quantiles(values, weights, SHOWN)))


def _both(values: Floats, even: Floats, weights: Floats) -> tuple[Known, Known]:
    return _known(values[: len(even)], even), _known(values, weights)


def _fan(mean: Floats, weights: Floats) -> Floats:
    # A draw whose air has ended stays where it was.
    last = np.maximum.accumulate(np.where(np.isnan(mean), 0, np.arange(mean.shape[1])), axis=1)
    mean = np.take_along_axis(mean, last, axis=1)
    return np.stack([quantiles(column, weights, SHOWN) for column in mean.T])


def _fitted(
    expected: Floats, weights: Floats, readings: Sequence[Reading], rng: np.random.Generator
) -> tuple[Fitted, ...]:
    fits = []
    for i, reading in enumerate(readings):
        own = math.hypot(reading.noise, reading.bias)
        values = expected[:, i] + own * rng.standard_normal(len(expected))
        values = np.where(np.isnan(values), np.inf, values)  # such draws have no weight
        low, high = quantiles(values, weights, (0.01, 0.99))
        too_high = reading.value > high and reading.beyond != "drier"
        too_low = reading.value < low and reading.beyond != "wetter"
        fits.append(Fitted(reading, _known(values, weights), bool(too_high or too_low)))
    return tuple(fits)


def _remarks(fits: Sequence[Fitted], effective: float) -> tuple[str, ...]:
    remarks = [
        f"day {fit.reading.day:g}: {fit.reading.value * 100:.0f} % is not what the model expects "
        f"({fit.expected.low * 100:.0f} to {fit.expected.high * 100:.0f} %): read it again"
        for fit in fits
        if fit.odd
    ]
    if fits and effective < 30:
        remarks.append(
            f"readings and model hardly agree ({effective:.0f} draws carry the weight): the range is rough"
        )
    return tuple(remarks)

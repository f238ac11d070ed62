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
from pithline.dry.learning.importance import FREEDOM, fitted_to, normals, possible, weighed
from pithline.dry.learning.learnt import Fitted, Known, Learnt, fan, fitted, known, remarks_of
from pithline.dry.learning.likelihood import Predicted, log_likelihood, predicted
from pithline.dry.learning.readings import Reading
from pithline.errors import BadValue

__all__ = ["DRIFT", "Fitted", "Known", "Learnt", "Prior", "Slab", "learn"]

Floats = NDArray[np.float64]
Airs = Callable[[np.random.Generator, int], Sequence[Air]]

# Standard deviation of the logarithm of the time from the last reading to a target, beside what
# rate, start and drawn weather explain: a stack does not go on as it began (other film, other
# coefficient below fibre saturation, a tarpaulin). With it and the model's own doubt at each reading
# the 80 % range held 82 % of 705 days of 400 invented stacks, and 81 % of 685 of a seed never used
# before; with that doubt alone 80 %, with neither 76 % (benchmarks/range_coverage.py).
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
    expected: list[Predicted] = []
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
    values = np.concatenate([each.values for each in expected])
    doubt = np.concatenate([each.doubt(readings) for each in expected])
    fits = fitted(values, doubt, weights, readings, rng)
    return Learnt(
        _both(np.exp(every[:, 0]), even, weights),
        _both(np.exp(every[:, 1]), even, weights),
        tuple(targets),
        (
            tuple(known(before[:, i], even) for i in range(len(targets))),
            tuple(known(after[:, i], weights) for i in range(len(targets))),
        ),
        wanted,
        (fan(mean[:draws], even), fan(mean, weights)),
        fits,
        len(every),
        effective,
        remarks_of(fits, effective),
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


def _both(values: Floats, even: Floats, weights: Floats) -> tuple[Known, Known]:
    return known(values[: len(even)], even), known(values, weights)

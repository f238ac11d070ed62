"""A reading, what the model says should have been read, and how likely the one makes the other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from pithline.dry.diffusion import Courses, at_depth, mean_to
from pithline.dry.learning.meters import DIELECTRIC_DEPTH, Corrected, Meter, Pins
from pithline.dry.learning.weighing import Weights, weigh
from pithline.errors import BadValue

__all__ = ["Beyond", "Reading", "Sees", "from_meter", "from_weights", "log_likelihood", "predicted"]

Floats = NDArray[np.float64]

# How far the model's own profile may be off at one place, and its mean, beside what rate and start
# explain: the coefficient's form, the film, the grain. A guess, tried in
# benchmarks/range_coverage.py. [fraction]
MODEL_AT_DEPTH, MODEL_MEAN = 0.015, 0.008
# One reading in thirty is a slip: the wrong slab, a split, a hair of metal (a guess).
SLIP = 1 / 30
# Doubts that readings share are summed over in steps of a quarter of a standard deviation.
_STEPS = np.linspace(-3, 3, 25)
_GONE = -1e3  # log-likelihood of what cannot have been


class Sees(StrEnum):
    """What part of the thickness a reading is about."""

    DEPTH = "depth"  # tips of insulated pins
    WETTEST = "wettest"  # bare pins: the wettest layer down to the tips
    OUTER = "outer"  # a meter without pins
    MEAN = "mean"  # a weight with a known oven-dry weight
    SHARE = "share"  # a weight against the green one


class Beyond(StrEnum):
    """Whether a value is a value, or only a bound."""

    NO = ""
    WETTER = "wetter"
    DRIER = "drier"


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing that was read in a stack.

    Attributes
    ----------
    day : float
        Since the course began.
    sees : Sees
    value : float
        Moisture [fraction]; of `Sees.SHARE` the weight over the green one.
    noise : float
        Standard deviation of this reading alone, in the same measure.
    bias : float
        Of what it shares with the readings of the same `source`.
    source : str
        The meter in this wood, the block, the slab.
    depth : float
        Of the tips, or of what is seen. [m]
    beyond : Beyond
    """

    day: float
    sees: Sees
    value: float
    noise: float
    bias: float = 0.0
    source: str = ""
    depth: float = 0.0
    beyond: Beyond = Beyond.NO


def from_meter(day: float, found: Corrected, meter: Meter, depth: float, source: str = "meter") -> Reading:
    """A corrected meter reading as it is set against the model.

    Parameters
    ----------
    day : float
    found : Corrected
    meter : Meter
    depth : float
        Of the tips below the face; not asked of a meter without pins. [m]
    source : str

    Raises
    ------
    BadValue
        Pins without a depth: a reading that could be anywhere between face and core.
    """
    if meter.pins is Pins.PINLESS:
        sees, depth = Sees.OUTER, DIELECTRIC_DEPTH
    elif depth > 0:
        sees = Sees.DEPTH if meter.pins is Pins.INSULATED else Sees.WETTEST
    else:
        raise BadValue("depth", depth, "how deep the tips were", 'Write "15 mm"; a fifth of the thickness.')
    beyond = Beyond.WETTER if found.wet else Beyond.DRIER if found.dry else Beyond.NO
    noise, bias = (math.hypot(each, MODEL_AT_DEPTH) for each in (found.noise, found.bias))
    return Reading(day, sees, found.moisture, noise, bias, source, depth, beyond)


def from_weights(piece: Weights) -> tuple[Reading, ...]:
    """Each weighing of a piece as it is set against the model; refusals as in `weigh`.

    Where the oven-dry weight is known, the green weight is a reading too: it tells the start.
    """
    found = weigh(piece)
    if piece.dry is not None:
        found = weigh(replace(piece, days=(0.0, *piece.days), weights=(piece.green, *piece.weights)))
    readings = []
    for each in found:
        known = each.moisture is not None
        # Of the green weight, moisture is less than a whole: about half in wet wood.
        model = MODEL_MEAN if known else MODEL_MEAN / 1.5
        readings.append(
            Reading(
                each.day,
                Sees.MEAN if known else Sees.SHARE,
                each.moisture if each.moisture is not None else each.share,
                math.hypot(each.noise, model),
                math.hypot(each.bias, model),
                piece.name,
            )
        )
    return tuple(readings)


def predicted(courses: Courses, starts: Floats, readings: Sequence[Reading]) -> Floats:
    """What each draw says should have been read.

    Parameters
    ----------
    courses : Courses
        With profiles, and with every reading's day among its times.
    starts : ndarray, shape (draws,)
        Moisture that each draw began with. [fraction]
    readings : sequence of Reading

    Returns
    -------
    predicted : ndarray, shape (draws, readings)
        In the measure of each reading: a pin is set against the moisture at its depth, never
        against the mean.

    Raises
    ------
    BadValue
        A depth beyond the slab, or a day that the courses do not hold.
    """
    found = np.empty((len(starts), len(readings)))
    for i, reading in enumerate(readings):
        at = int(np.argmin(np.abs(courses.times - reading.day)))
        if abs(courses.times[at] - reading.day) > 1e-6:
            raise BadValue("day", reading.day, "a day of the course")
        mean, face = courses.mean[:, at], courses.face[:, at]
        if reading.sees is Sees.MEAN:
            found[:, i] = mean
        elif reading.sees is Sees.SHARE:
            found[:, i] = (1 + mean) / (1 + starts)
        elif reading.sees is Sees.OUTER:
            found[:, i] = mean_to(courses.profile[:, at], courses.depths, reading.depth)
        else:
            profile, depths = courses.profile[:, at], courses.depths
            there = at_depth(profile, face, depths, reading.depth)
            if reading.sees is Sees.WETTEST:
                passed = profile[:, depths <= reading.depth]
                there = np.maximum(np.maximum(there, face), passed.max(axis=1, initial=0.0))
            found[:, i] = there
    return found


def log_likelihood(expected: Floats, readings: Sequence[Reading]) -> Floats:
    """How likely each draw makes all readings together.

    Parameters
    ----------
    expected : ndarray, shape (draws, readings)
        As from `predicted`.
    readings : sequence of Reading

    Returns
    -------
    log_likelihood : ndarray, shape (draws,)
        Up to a constant.

    Notes
    -----
    Normal about what was expected, one in thirty a slip from anywhere. Readings of one source
    share an unknown offset, which is summed over: ten readings of a meter that reads high are
    no ten proofs. "Wet" counts as the chance of a reading above its bound, not as a value.
    """
    total = np.zeros(len(expected))
    for source in dict.fromkeys(reading.source for reading in readings):
        own = [i for i, reading in enumerate(readings) if reading.source == source]
        together = np.zeros((len(expected), len(_STEPS)))
        for i in own:
            reading = readings[i]
            together += _log_one(expected[:, i, None] + reading.bias * _STEPS, reading)
        weighed = together - _STEPS**2 / 2
        top = weighed.max(axis=1)
        total += top + np.log(np.exp(weighed - top[:, None]).mean(axis=1))
    # A draw that was taken down before the reading was made (a phase that ends at a moisture).
    return np.asarray(np.where(np.isnan(total), _GONE, total))


def _log_one(expected: Floats, reading: Reading) -> Floats:
    from scipy.special import ndtr

    off = (reading.value - expected) / reading.noise
    if reading.beyond is Beyond.NO:
        fits = np.exp(-(off**2) / 2) / (reading.noise * math.sqrt(2 * math.pi))
        anywhere = 1.0  # evenly over 0 to 100 %
    else:
        fits = ndtr(-off if reading.beyond is Beyond.WETTER else off)
        anywhere = 0.5
    return np.asarray(np.log((1 - SLIP) * fits + SLIP * anywhere))

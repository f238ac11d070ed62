"""What the model says should have been read, and how likely that makes what was read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.dry.diffusion import Courses
from pithline.dry.learning.readings import Beyond, Reading, Sees
from pithline.dry.profile import at_depth, mean_to, thickness_of
from pithline.errors import BadValue

__all__ = ["SHAPE", "Predicted", "log_likelihood", "predicted"]

Floats = NDArray[np.float64]

# One standard deviation of how much flatter or steeper a slab's profile may be than the model's, as a
# share of the distance from its mean: other laws for coefficient and face, with the same mean, part by so
# much (benchmarks/depth_doubt.py). At a fifth of the thickness, where the profile crosses its mean, it is
# nothing; near the face and in the core it is one or two percent of moisture.
SHAPE = 0.17
# One reading in thirty is a slip: the wrong slab, a split, a hair of metal (a guess).
SLIP = 1 / 30
# Doubts that readings share are summed over: a source's offset, the profile's shape.
_STEPS, _SHAPES = np.linspace(-3, 3, 25), np.linspace(-3, 3, 13)
_GONE = -1e3  # log-likelihood of what cannot have been


@dataclass(frozen=True, slots=True, eq=False)
class Predicted:
    """What each draw says should have been read.

    Attributes
    ----------
    values : ndarray, shape (draws, readings)
        In the measure of each reading.
    apart : ndarray, shape (draws, readings)
        From the slab's mean, of what is seen at a depth; 0 of a weight. [fraction]
    stray : ndarray, shape (draws, readings)
        What the doubt of the depth does to the value. [fraction]
    """

    values: Floats
    apart: Floats
    stray: Floats

    def doubt(self, readings: Sequence[Reading]) -> Floats:
        """Standard deviation of all doubts together, shape (draws, readings)."""
        own = [math.hypot(reading.noise, reading.bias) for reading in readings]
        return np.sqrt(np.square(own) + self.stray**2 + (SHAPE * self.apart) ** 2)


def predicted(courses: Courses, starts: Floats, readings: Sequence[Reading]) -> Predicted:
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
    predicted : Predicted
        A pin is set against the moisture at its depth, never against the mean.

    Raises
    ------
    BadValue
        A depth beyond the slab, or a day that the courses do not hold.
    """
    values, apart, stray = np.zeros((3, len(starts), len(readings)))
    thick = thickness_of(courses.depths)
    for i, reading in enumerate(readings):
        at = int(np.argmin(np.abs(courses.times - reading.day)))
        if abs(courses.times[at] - reading.day) > 1e-6:
            raise BadValue("day", reading.day, "a day of the course")
        mean = courses.mean[:, at]
        if reading.sees is Sees.MEAN:
            values[:, i] = mean
            continue
        if reading.sees is Sees.SHARE:
            values[:, i] = (1 + mean) / (1 + starts)
            continue
        values[:, i] = _there(courses, at, reading.sees, reading.depth)
        apart[:, i] = values[:, i] - mean
        if reading.depth_doubt:
            ends = [reading.depth - reading.depth_doubt, reading.depth + reading.depth_doubt]
            low, high = (_there(courses, at, reading.sees, min(max(d, 1e-4), thick)) for d in ends)
            stray[:, i] = (high - low) / 2
    return Predicted(values, apart, stray)


def log_likelihood(expected: Predicted, readings: Sequence[Reading]) -> Floats:
    """How likely each draw makes all readings together.

    Parameters
    ----------
    expected : Predicted
    readings : sequence of Reading

    Returns
    -------
    log_likelihood : ndarray, shape (draws,)
        Up to a constant.

    Notes
    -----
    Normal about what was expected, one in thirty a slip from anywhere. Readings of one source
    share an unknown offset, which is summed over: ten readings of a meter that reads high are
    no ten proofs. All readings at a depth share an unknown flatness of the profile, summed over
    too: wetter near the face goes with drier in the core. "Wet" counts as the chance of a
    reading above its bound, not as a value.
    """
    shapes = _SHAPES if np.any(expected.apart) else np.zeros(1)
    total = np.tile(-(shapes**2) / 2, (len(expected.values), 1))
    for source in dict.fromkeys(reading.source for reading in readings):
        together = np.tile(-(_STEPS**2) / 2, (*total.shape, 1))
        for i, reading in enumerate(readings):
            if reading.source == source:
                mean = expected.values[:, i, None] + SHAPE * expected.apart[:, i, None] * shapes
                noise = np.hypot(reading.noise, expected.stray[:, i])
                together += _log_one(mean[..., None] + reading.bias * _STEPS, noise[:, None, None], reading)
        total += _summed(together)
    found = _summed(total)
    # A draw that was taken down before the reading was made (a phase that ends at a moisture).
    return np.asarray(np.where(np.isnan(found), _GONE, found))


def _there(courses: Courses, at: int, sees: Sees, depth: float) -> Floats:
    """What a meter sees at a depth, shape (draws,)."""
    profile, face, depths = courses.profile[:, at], courses.face[:, at], courses.depths
    if sees is Sees.OUTER:
        return mean_to(profile, depths, depth)
    there = at_depth(profile, face, depths, depth)
    if sees is Sees.WETTEST:
        passed = profile[:, depths <= depth]
        there = np.maximum(np.maximum(there, face), passed.max(axis=1, initial=0.0))
    return there


def _summed(logs: Floats) -> Floats:
    """Logarithm of the mean over the last axis."""
    top = logs.max(axis=-1)
    return np.asarray(top + np.log(np.exp(logs - top[..., None]).mean(axis=-1)))


def _log_one(expected: Floats, noise: Floats, reading: Reading) -> Floats:
    from scipy.special import ndtr

    off = (reading.value - expected) / noise
    if reading.beyond is Beyond.NO:
        fits = np.exp(-(off**2) / 2) / (noise * math.sqrt(2 * math.pi))
        anywhere = 1.0  # evenly over 0 to 100 %
    else:
        fits = ndtr(-off if reading.beyond is Beyond.WETTER else off)
        anywhere = 0.5
    return np.asarray(np.log((1 - SLIP) * fits + SLIP * anywhere))

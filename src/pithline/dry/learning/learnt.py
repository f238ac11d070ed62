"""What was learnt from readings, as it is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.dry.learning.importance import quantiles
from pithline.dry.learning.readings import Reading

__all__ = ["Fitted", "Known", "Learnt", "fan", "fitted", "known", "remarks_of"]

Floats = NDArray[np.float64]

SHOWN = (0.1, 0.5, 0.9)


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


def known(values: Floats, weights: Floats) -> Known:
    """10, 50 and 90 % of weighted draws."""
    return Known(*(float(each) for each in quantiles(values, weights, SHOWN)))


def fan(mean: Floats, weights: Floats) -> Floats:
    """10, 50 and 90 % of the draws at each time, shape (times, 3)."""
    # A draw whose air has ended stays where it was.
    last = np.maximum.accumulate(np.where(np.isnan(mean), 0, np.arange(mean.shape[1])), axis=1)
    mean = np.take_along_axis(mean, last, axis=1)
    return np.stack([quantiles(column, weights, SHOWN) for column in mean.T])


def fitted(
    expected: Floats, doubt: Floats, weights: Floats, readings: Sequence[Reading], rng: np.random.Generator
) -> tuple[Fitted, ...]:
    """Each reading beside what is expected there; `expected` and its `doubt` of shape (draws, readings)."""
    fits = []
    for i, reading in enumerate(readings):
        values = expected[:, i] + doubt[:, i] * rng.standard_normal(len(expected))
        values = np.where(np.isnan(values), np.inf, values)  # such draws have no weight
        low, high = quantiles(values, weights, (0.01, 0.99))
        too_high = reading.value > high and reading.beyond != "drier"
        too_low = reading.value < low and reading.beyond != "wetter"
        fits.append(Fitted(reading, known(values, weights), bool(too_high or too_low)))
    return tuple(fits)


def remarks_of(fits: Sequence[Fitted], effective: float) -> tuple[str, ...]:
    """Readings to be read again, and whether readings and model hardly agree."""
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

"""What in a logger's readings cannot be air at a stack, though each number by itself could be."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = ["Finding", "Kind", "as_shares", "doubts"]

Floats = NDArray[np.float64]
Kind = Literal[
    "gap", "doubled", "order", "range", "fahrenheit", "decimal comma", "unreadable", "empty", "hot", "shares",
    "stuck", "short",
]  # fmt: skip

# Hotter than any shed for half of the time: °F under a heading that says °C, columns changed over, or a
# kiln's logger, which then has to be agreed to. [°C]
_HOT = 40.0
_STUCK, _LEAST = 72.0, 24  # hours on one and the same figure, and at least so many readings
_DAY = 20.0  # of readings, or nothing is known of the nights. [h]


@dataclass(frozen=True, slots=True)
class Finding:
    """Something odd in the file: its kind, and a sentence that says where."""

    kind: Kind
    said: str


def as_shares(damp: Floats) -> bool:
    """Whether all humidities are 1 or less: 0.65 for 65 %. [as read]"""
    return bool(len(damp) and damp.max() <= 1 and damp.max() > 0)


def doubts(times: Sequence[datetime.datetime], warm: Floats, damp: Floats) -> list[Finding]:
    """Readings that are possible one by one and not together.

    Parameters
    ----------
    times : sequence of datetime
        Rising.
    warm, damp : ndarray, shape (readings,)
        [°C], [fraction]
    """
    found = []
    usual = float(np.median(warm))
    if usual > _HOT:
        said = f"half of the readings are above {usual:.0f} °C, as if they were °F or another column"
        found.append(Finding("hot", said))
    for what, values in (("temperature", warm), ("humidity", damp)):
        longest, since, count = _longest(times, values)
        if longest >= _STUCK and count >= _LEAST:
            said = f"the {what} stands still for {longest / 24:.0f} days from {since}: a dead or wet sensor"
            found.append(Finding("stuck", said))
    lasts = (times[-1] - times[0]).total_seconds() / 3600
    if lasts < _DAY:
        found.append(Finding("short", f"{lasts:.0f} hours are all there is, and stand for a whole day"))
    return found


def _longest(times: Sequence[datetime.datetime], values: Floats) -> tuple[float, datetime.datetime, int]:
    """Hours on one figure, from when, in how many readings."""
    best, at = (0.0, times[0], 0), 0
    for _, run in groupby(values.tolist()):
        count = sum(1 for _ in run)
        hours = (times[at + count - 1] - times[at]).total_seconds() / 3600
        best = max(best, (hours, times[at], count), key=lambda each: each[0])
        at += count
    return best

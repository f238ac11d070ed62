"""What the sample boards say: which step the load has reached, and whether it dries too fast."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from pithline.errors import BadValue
from pithline.wood.estimate import Estimate

__all__ = [
    "FEWEST",
    "Boards",
    "Pace",
    "daily_loss",
    "estimated_dry_weight",
    "pace",
    "read_boards",
    "wettest_half",
]

_WET = 0.30  # below it practically no new damage is done (E. M. Wengert, read). [fraction]

FEWEST = 4  # sample boards of a load, up to 12 (AH-188, Ch. 6, from memory)


@dataclass(frozen=True, slots=True)
class Boards:
    """Moistures of a load's sample boards, dry basis. [fraction]

    Attributes
    ----------
    controlling : float
        Mean of the wettest half: the schedule steps on it.
    wettest, driest, mean : float
    remarks : tuple of str
    """

    controlling: float
    wettest: float
    driest: float
    mean: float
    remarks: tuple[str, ...] = ()


def wettest_half(moistures: Sequence[float]) -> float:
    """Mean of the wetter half of the boards.

    Parameters
    ----------
    moistures : sequence of float
        Dry basis. [fraction]

    Returns
    -------
    controlling : float
        Of an odd number the board in the middle is left out, which is the slower and safer way.

    Raises
    ------
    BadValue
        No board, or something that is not a moisture.

    References
    ----------
    E. M. Wengert, Hardwood lumber kiln schedules, article: step on the wettest half (read).
    """
    if not moistures:
        raise BadValue("samples", "none", "one board or more", 'Give each: --at "34 %".')
    for moisture in moistures:
        if not 0 < moisture < 4:  # NaN fails here too
            raise BadValue("samples", f"{moisture * 100:g} %", "above 0 % and under 400 %", 'Write "35 %".')
    wet = sorted(moistures, reverse=True)
    return fmean(wet[: max(len(wet) // 2, 1)])


def read_boards(moistures: Sequence[float]) -> Boards:
    """Sum the sample boards up; raises as `wettest_half` does."""
    remarks: tuple[str, ...] = ()
    if len(moistures) < FEWEST:
        remarks = (f"{len(moistures)} of at least {FEWEST} boards: take more, from the wettest and thickest",)
    controlling = wettest_half(moistures)
    return Boards(controlling, max(moistures), min(moistures), fmean(moistures), remarks)


def estimated_dry_weight(weight: float, moisture: float) -> float:
    """Oven-dry weight of a board whose moisture is known from sections cut off its ends.

    Parameters
    ----------
    weight : float
        Of the board when the sections were cut, any unit.
    moisture : float
        Mean of its sections, dry basis. [fraction]

    Returns
    -------
    dry : float
        In the same unit.

    Raises
    ------
    BadValue
        Not a weight, or not a moisture.

    References
    ----------
    AH-188, Ch. 6 (from memory).
    """
    if not (math.isfinite(weight) and weight > 0):
        raise BadValue("weight", weight, "more than 0")
    if not 0 <= moisture < 4:
        raise BadValue("moisture", moisture, "a fraction from 0 up (35 % is 0.35)", 'Write "35 %".')
    return weight / (1 + moisture)


def daily_loss(before: float, now: float, days: float) -> float:
    """Moisture lost in a day between two weighings. [fraction/day]

    Parameters
    ----------
    before, now : float
        Of one board, dry basis. [fraction]
    days : float
        Between them.

    Raises
    ------
    BadValue
        No time between them.
    """
    if not (math.isfinite(days) and days > 0):
        raise BadValue("days", days, "more than 0", "Give the time between the two weighings.")
    return (before - now) / days


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast a load loses moisture, against what is safe.

    Attributes
    ----------
    fastest : float
        Largest daily loss of a board that is still wet, or was. [fraction/day]
    safe : Estimate
        [fraction/day]
    too_fast : bool
    told : str
    """

    fastest: float
    safe: Estimate
    too_fast: bool
    told: str


def pace(before: Sequence[float], now: Sequence[float], days: float, safe: Estimate) -> Pace:
    """Compare the boards' daily losses with the safe one.

    Parameters
    ----------
    before, now : sequence of float
        The same boards in the same order, dry basis. [fraction]
    days : float
        Between the two weighings.
    safe : Estimate
        Largest safe loss. [fraction/day]

    Raises
    ------
    BadValue
        Not the same number of boards, no time between them, or not moistures.

    Notes
    -----
    Boards that were below 30 % already do not count: new checks are practically not made there.
    """
    if len(before) != len(now):
        raise BadValue("samples before", len(before), f"as many as now, {len(now)}", "In the same order.")
    wettest_half(before)
    losses = [daily_loss(was, here, days) for was, here in zip(before, now, strict=True) if was > _WET]
    if not losses:
        return Pace(0.0, safe, False, "every board was below 30 % already: the safe loss is not at stake")
    fastest = max(losses)
    told = f"the fastest wet board loses {fastest * 100:.2f} % a day, safe are {safe.low * 100:.2f} %"
    if fastest > safe.mid:
        return Pace(fastest, safe, True, f"too fast: {told}; go back to damper air before it checks")
    if fastest > safe.low:
        return Pace(fastest, safe, True, f"near the limit: {told}; do not step on yet")
    return Pace(fastest, safe, False, told)

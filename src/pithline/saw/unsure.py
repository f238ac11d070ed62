"""How sure a plan is: ranges, what was assumed, what was measured."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Doubt", "Retake", "Spread"]


@dataclass(frozen=True, slots=True)
class Spread:
    """10, 50 and 90 % of something over the draws of the measuring error."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something assumed, and what the best plan would be worth if it were otherwise.

    Attributes
    ----------
    field : str
        Where it would stand in the record.
    value : str
        What was assumed.
    low, high : str
        What it might be instead.
    net_low, net_high : float
        Net value of the best plan then, in money or tally units.
    swing : float
        The larger departure from the plan's net value.
    """

    field: str
    value: str
    low: str
    high: str
    net_low: float
    net_high: float
    swing: float


@dataclass(frozen=True, slots=True)
class Retake:
    """A measurement, and what its own error costs if all others are right.

    Attributes
    ----------
    field : str
        Where it stands in the record.
    value, error : str
        As a person writes them; the error is one standard deviation.
    net_low, net_high : float
        Net value of the best plan if the measurement were off by 1.28 standard deviations down
        and up (one in ten lies beyond each), in money or tally units.
    kept_low, kept_high : float
        The same with the plan's own cuts.
    swing : float
        The larger departure of the best plan's net value.
    regret : float
        Mean loss of the plan's cuts against the best ones: the most that knowing this
        measurement exactly is worth.
    moved : float
        How far the best cuts then lie from the plan's nearest, at the most. [m]
    """

    field: str
    value: str
    error: str
    net_low: float
    net_high: float
    kept_low: float
    kept_high: float
    swing: float
    regret: float
    moved: float

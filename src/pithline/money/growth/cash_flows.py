"""Money laid out now for money that comes later: present value, rate of return, years till it is back."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from pithline.errors import BadValue
from pithline.money.hold.root import root

__all__ = [
    "annuity_factor",
    "equivalent_annual",
    "irr",
    "npv",
    "payback",
    "profitability_index",
]

_HIGHEST = 100.0  # a return of 10,000 % a year


def annuity_factor(rate: float, years: int) -> float:
    """Present value of 1 a year, paid at the end of each.

    Parameters
    ----------
    rate : float
        Above -1. [fraction/year]
    years : int

    Returns
    -------
    factor : float
        (1 - (1 + k)^-n)/k; n without interest.

    Raises
    ------
    BadValue
        No years, or a rate of -100 % or less.
    """
    if years < 1:
        raise BadValue("years", years, "1 or more")
    _possible(rate)
    return float(years) if rate == 0 else (1 - (1 + rate) ** -years) / rate


def npv(flows: Sequence[float], rate: float) -> float:
    """Present value of all flows, the first of them today. [money]

    Parameters
    ----------
    flows : sequence of float
        With the step less without it, a year apart; what is tied up in drying stock goes out and
        comes back at the end. What is spent already counts in neither. [money]
    rate : float
        [fraction/year]
    """
    _possible(rate)
    return sum(flow / (1 + rate) ** year for year, flow in enumerate(flows))


def irr(flows: Sequence[float]) -> float:
    """The yearly rate at which the flows are worth nothing today. [fraction/year]

    Raises
    ------
    BadValue
        Flows that do not change sign exactly once, first out and then in: there is no rate, or several.
    """
    signs = [math.copysign(1, flow) for flow in flows if flow != 0]
    changes = sum(one != other for one, other in pairwise(signs))
    if changes != 1 or signs[0] > 0:
        raise BadValue(
            "flows",
            ", ".join(f"{flow:g}" for flow in flows),
            "first out and then in, with one change between",
            "Look at the present value at several rates instead.",
        )
    found = root(lambda rate: -npv(flows, rate), -0.99, _HIGHEST)
    if found >= 0.999 * _HIGHEST:
        raise BadValue("flows", "a return above 10,000 % a year", "nearer to what is laid out")
    return found


def payback(flows: Sequence[float], rate: float = 0.0) -> float:
    """Years until the running sum is back at nothing, straight within a year; infinite where it never is.

    Parameters
    ----------
    flows : sequence of float
        [money]
    rate : float
        Discounts them first. [fraction/year]
    """
    _possible(rate)
    total = flows[0]
    for year, flow in enumerate(flows[1:], 1):
        worth = flow / (1 + rate) ** year
        if total < 0 <= total + worth:
            return year - 1 - total / worth
        total += worth
    return 0.0 if flows[0] >= 0 else math.inf


def profitability_index(flows: Sequence[float], rate: float) -> float:
    """Present value of all later flows over what is laid out today.

    Raises
    ------
    BadValue
        Nothing is laid out.
    """
    if not flows[0] < 0:
        raise BadValue("flows", flows[0], "below 0 today: what is laid out")
    return (npv(flows, rate) - flows[0]) / -flows[0]


def equivalent_annual(value: float, rate: float, years: int) -> float:
    """A present value as the same sum every year: compares what lasts unequally long. [money/year]"""
    return value / annuity_factor(rate, years)


def _possible(rate: float) -> None:
    if not -1 < rate <= _HIGHEST:
        raise BadValue("rate", f"{rate:.0%}", "above -100 % and at most 10,000 % a year")

"""The markdown path: what to ask for like slabs that must all be gone by a day."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers, Exponential
from pithline.money.hold.posted import Terms
from pithline.money.hold.root import root

__all__ = ["Deadline", "by_equation", "path_price", "path_worth", "price_steps"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Deadline:
    """Like slabs, say sisters from one log, that draw on the same buyers until a day.

    Attributes
    ----------
    count : int
        Slabs still here.
    months : float
        Until the day.
    salvage : float
        What each still brings on that day. [money]
    """

    count: int
    months: float
    salvage: float = 0.0

    def __post_init__(self) -> None:
        if not 1 <= self.count <= 200:
            raise BadValue("count", self.count, "from 1 to 200 slabs")
        if not 0 <= self.months < math.inf:
            raise BadValue("time left", self.months, "zero or more months")
        if not 0 <= self.salvage < math.inf:
            raise BadValue("salvage", self.salvage, "zero or more")


def path_worth(deadline: Deadline, buyers: Buyers, terms: Terms) -> float:
    """What the slabs bring on average when each day's best price is asked.

    Parameters
    ----------
    deadline : Deadline
    buyers : Buyers
    terms : Terms
        `holding` is per slab.

    Returns
    -------
    worth : float
        At today's worth, after holding and costs at sale. [money]

    Notes
    -----
    Exponential limits without interest, in closed form: with A = L th exp(-1 - c/th),
    u = exp(-h t/th), S = exp(s/th) and B = (A/h)(1 - u), or A t/th without holding,
    V_n = th ln(sum_i (S u)^(n-i) B^i / i!). y_n = exp(V_n/th) makes the Bellman
    equation linear, which is why it works. Otherwise by `by_equation`.

    References
    ----------
    Gallego, G., van Ryzin, G., "Optimal dynamic pricing of inventories with stochastic
    demand over finite horizons", Management Science 40(8), 1994, 999-1020 (abstract
    read, formulas from memory); holding and salvage are our own derivation from it.
    """
    if _has_closed_form(deadline, buyers, terms):
        return _closed(deadline, buyers, terms)
    return float(by_equation(deadline, buyers, terms)[-1, -1])


def path_price(deadline: Deadline, buyers: Buyers, terms: Terms) -> float:
    """What to ask now for each of the slabs still here: p = c + G/f + V_n - V_(n-1). [money]"""
    if _has_closed_form(deadline, buyers, terms):
        gives_up = _gives_up(deadline, buyers, terms)
    else:
        worth = by_equation(deadline, buyers, terms)[-1]
        gives_up = float(worth[-1] - worth[-2])
    return _price(terms.at_sale + gives_up, buyers)


def price_steps(
    deadline: Deadline, buyers: Buyers, terms: Terms, every: float
) -> list[tuple[float, tuple[float, ...]]]:
    """The markdown path to hang up in a shop.

    Parameters
    ----------
    deadline : Deadline
    buyers : Buyers
    terms : Terms
    every : float
        Months between two price tags.

    Returns
    -------
    steps : list of (months from now, prices)
        Prices with 1, 2, ... `count` slabs left. [money]
    """
    if not 0 < every <= deadline.months:
        raise BadValue("step", every, f"more than 0 and at most the {deadline.months:g} months left")
    count = math.ceil(deadline.months / every - 1e-9)
    if count > 600:
        raise BadValue("step", every, "coarser: more than 600 price tags", "Say for instance 1 month.")
    at = [n * every for n in range(count)]
    numbers = range(1, deadline.count + 1)
    if _has_closed_form(deadline, buyers, terms):
        return [
            (
                gone,
                tuple(
                    path_price(Deadline(n, deadline.months - gone, deadline.salvage), buyers, terms)
                    for n in numbers
                ),
            )
            for gone in at
        ]
    worth = by_equation(deadline, buyers, terms, [deadline.months - gone for gone in reversed(at)])
    return [
        (gone, tuple(_price(terms.at_sale + float(v[n] - v[n - 1]), buyers) for n in numbers))
        for gone, v in zip(at, reversed(worth), strict=True)
    ]


def by_equation(deadline: Deadline, buyers: Buyers, terms: Terms, left: Sequence[float] = ()) -> Floats:
    """Worth by integrating the Bellman equation from the last day back.

    Parameters
    ----------
    deadline : Deadline
    buyers : Buyers
    terms : Terms
    left : sequence of float
        Months left to look at, rising, at most the deadline's; the deadline's alone where empty.

    Returns
    -------
    worth : ndarray, shape (looks, count + 1)
        By months left and slabs left (0 first):
        V_n' = max_p lam(p)(p - c + V_(n-1) - V_n) - n h - r V_n. [money]

    Notes
    -----
    By LSODA, since many buyers make it stiff near the last day; to 1e-9 of a slab's worth.
    A loss hazard counts as interest: it is taken to strike all of them at once, as a fire does.
    """
    from scipy.integrate import solve_ivp

    each = np.arange(deadline.count + 1.0)
    start, held = deadline.salvage * each, terms.holding * each
    looks = np.asarray(left if len(left) else [deadline.months], dtype=np.float64)
    size = _size(buyers)
    solved = solve_ivp(
        lambda _, worth: _slope(worth, held, buyers, terms),
        (0.0, max(deadline.months, 1e-12)),
        start,
        method="LSODA",
        t_eval=np.minimum(looks, max(deadline.months, 1e-12)),
        rtol=1e-9,
        atol=1e-9 * size,
    )
    return np.asarray(solved.y.T)


def _has_closed_form(deadline: Deadline, buyers: Buyers, terms: Terms) -> bool:
    limits = buyers.limits
    if not isinstance(limits, Exponential) or terms.fading > 0:
        return False
    # Where holding eats the worth the formula asks less than nothing and believes that this sells
    # faster than a gift. The equation stops at the gift.
    return _gives_up(deadline, buyers, terms) + terms.at_sale + limits.mean >= 0


def _gives_up(deadline: Deadline, buyers: Buyers, terms: Terms) -> float:
    """Worth that goes with one slab: V_n - V_(n-1)."""
    fewer = 0.0
    if deadline.count > 1:
        fewer = _closed(Deadline(deadline.count - 1, deadline.months, deadline.salvage), buyers, terms)
    return _closed(deadline, buyers, terms) - fewer


def _closed(deadline: Deadline, buyers: Buyers, terms: Terms) -> float:
    """Sum up: th ln(sum over i of (S u)^(n-i) B^i / i!), without overflow."""
    limits = buyers.limits
    assert isinstance(limits, Exponential)
    mean, per_month = limits.mean, buyers.per_month
    months, holding = deadline.months, terms.holding
    ln_su = (deadline.salvage - holding * months) / mean
    ln_a = math.log(per_month * mean) - 1 - terms.at_sale / mean
    spell = months / mean if holding == 0 else -math.expm1(-holding * months / mean) / holding
    if spell == 0:
        return mean * deadline.count * ln_su
    ln_b = ln_a + math.log(spell)
    n = deadline.count
    parts = [(n - i) * ln_su + i * ln_b - math.lgamma(i + 1) for i in range(n + 1)]
    top = max(parts)
    return mean * (top + math.log(math.fsum(math.exp(part - top) for part in parts)))


def _size(buyers: Buyers) -> float:
    """The money that prices are counted in: mean or median of what buyers would pay."""
    limits = buyers.limits
    return limits.mean if isinstance(limits, Exponential) else limits.median


def _slope(worth: Floats, held: Floats, buyers: Buyers, terms: Terms) -> Floats:
    gives_up = terms.at_sale + worth[1:] - worth[:-1]
    limits = buyers.limits
    if isinstance(limits, Exponential):
        # A price under 0 would sell no more than a gift: the best is then the gift itself.
        price = np.maximum(gives_up + limits.mean, 0.0)
        gain = buyers.per_month * np.exp(-price / limits.mean) * (price - gives_up)
    else:
        gain = np.array([_gain(float(cost), buyers) for cost in gives_up])
    return np.concatenate([[0.0], gain]) - held - terms.fading * worth


def _gain(cost: float, buyers: Buyers) -> float:
    price = _price(cost, buyers)
    return buyers.sale_rate(price) * (price - cost)


def _price(cost: float, buyers: Buyers) -> float:
    """Best price where a sale gives up `cost`: p = cost + G/f; 0 where that lies below."""
    limits = buyers.limits
    if isinstance(limits, Exponential):
        return max(cost + limits.mean, 0.0)
    low = max(limits.median * math.exp(-8 * limits.spread), cost)
    return root(lambda p: p - cost - limits.mills(p), low, max(low, limits.farthest()))

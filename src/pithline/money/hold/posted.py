"""One slab at one posted price: what waiting brings, and which price brings most."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Self

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers, Exponential
from pithline.money.hold.root import root
from pithline.money.hold.steady import steady_worth

__all__ = [
    "Terms",
    "best_price",
    "chance_sold",
    "discount_of",
    "expected_months",
    "expected_profit",
    "hazard_of",
    "holding_spent",
    "price_for_chance",
]


@dataclass(frozen=True, slots=True)
class Terms:
    """What selling and waiting cost.

    Attributes
    ----------
    at_sale : float
        Paid only when it sells: delivery, fees. [money]
    holding : float
        Per month while it is unsold: space, insurance, restacking; **not** interest. [money/month]
    discount : float
        Interest, continuous. [1/month]
    loss : float
        Hazard of losing it whole: fire, theft, insects. [1/month]
    """

    at_sale: float = 0.0
    holding: float = 0.0
    discount: float = 0.0
    loss: float = 0.0

    @classmethod
    def of(cls, at_sale: float = 0.0, holding: float = 0.0, discount: float = 0.0, loss: float = 0.0) -> Self:
        """Checked: nothing negative, nothing infinite."""
        given = {"cost at sale": at_sale, "holding a month": holding, "interest": discount, "loss": loss}
        for field, value in given.items():
            if not 0 <= value < math.inf:
                raise BadValue(field, value, "zero or more, and finite")
        return cls(at_sale, holding, discount, loss)

    @property
    def fading(self) -> float:
        """Interest and loss together: the rate at which money that lies ahead fades. [1/month]"""
        return self.discount + self.loss


def discount_of(yearly: float) -> float:
    """Continuous monthly rate of a yearly interest: ln(1 + yearly)/12.

    >>> round(discount_of(0.10), 7)
    0.0079425
    """
    if not 0 <= yearly < 10:
        raise BadValue("interest a year", f"{yearly:.0%}", "from 0 % to 1000 %")
    return math.log1p(yearly) / 12


def hazard_of(yearly: float) -> float:
    """Monthly hazard of a chance a year to lose the piece: -ln(1 - yearly)/12.

    >>> round(hazard_of(0.01), 7)
    0.0008375
    """
    if not 0 <= yearly < 1:
        raise BadValue("chance of loss a year", f"{yearly:.0%}", "from 0 % to under 100 %")
    return -math.log1p(-yearly) / 12


def expected_months(price: float, buyers: Buyers) -> float:
    """Mean months on offer at a posted price, 1/lam; infinite where nobody would pay it."""
    rate = buyers.sale_rate(price)
    return 1 / rate if rate > 0 else math.inf


def chance_sold(price: float, buyers: Buyers, months: float) -> float:
    """Chance to sell within `months`, 1 - exp(-lam t). [fraction]"""
    return -math.expm1(-buyers.sale_rate(price) * months)


def holding_spent(price: float, buyers: Buyers, terms: Terms) -> float:
    """Mean of what holding costs until it sells, at today's worth: h/(r + lam). [money]"""
    if terms.holding == 0:
        return 0.0
    fades = terms.fading + buyers.sale_rate(price)
    return terms.holding / fades if fades > 0 else math.inf


def expected_profit(price: float, buyers: Buyers, terms: Terms) -> float:
    """What a posted price brings on average, at today's worth.

    Parameters
    ----------
    price : float
        [money]
    buyers : Buyers
    terms : Terms

    Returns
    -------
    profit : float
        [lam (p - c) - h]/(r + lam); what was spent before today is not in it. [money]

    References
    ----------
    Search for a buyer by a posted price: Lippman, S. A., McCall, J. J., search theory
    (from memory); set-up as in Rosenthal, E. C., "A pricing model for residential homes
    with Poisson arrivals and a sales deadline", J. Real Estate Finance and Economics,
    2009 (abstract read). A hazard of total loss adds to the interest.
    """
    rate = buyers.sale_rate(price)
    fades = terms.fading + rate
    if fades == 0:
        return -math.inf if terms.holding > 0 else 0.0
    return (rate * (price - terms.at_sale) - terms.holding) / fades


def best_price(buyers: Buyers, terms: Terms) -> float:
    """The posted price that brings most.

    Parameters
    ----------
    buyers : Buyers
    terms : Terms
        Holding, interest or loss must be more than 0.

    Returns
    -------
    price : float
        Root of p = c + V(p) + G(p)/f(p). [money]

    Raises
    ------
    BadValue
        Where waiting costs nothing: then no price is too high.

    Notes
    -----
    Exponential limits, in closed form: p = c + th + V with V = th W(K) - h/r and
    K = (L/r) exp(h/(r th) - 1 - c/th), W being Lambert's function; without interest
    p = th ln(L th/h). Lognormal limits: bisection. Both laws have a rising p f/G, so
    the root is the only one (Lariviere, M., Porteus, E., Manufacturing and Service
    Operations Management, 2001, from memory; laws tabulated by Banciu, M.,
    Mirchandani, P., Operations Research, 2013, abstract read).

    Where even this price brings less than nothing (`expected_profit` < 0), holding is
    not worth it: sell for what is offered, or use the piece otherwise.
    """
    if terms.holding == 0 and terms.fading == 0:
        remedy = "Say what a month costs (space, insurance), or the interest on the money that lies there."
        raise BadValue("cost of waiting", 0, "more than 0, or no price is too high", remedy)
    if isinstance(buyers.limits, Exponential):
        # Under 0 where holding eats it all: a gift sells no slower than being paid to take it.
        return max(_best_exponential(buyers.per_month, buyers.limits.mean, terms), 0.0)
    return _best_by_bisection(buyers, terms)


def price_for_chance(chance: float, months: float, buyers: Buyers) -> float:
    """Highest price that still sells with `chance` within `months`. [money]

    Raises
    ------
    BadValue
        Chance not between 0 and 1; or so few buyers come that even a gift is too slow.
    """
    if not 0 < chance < 1:
        raise BadValue("chance", f"{chance:.0%}", "between 0 % and 100 %, neither of them")
    if not months > 0:
        raise BadValue("time", months, "more than 0 months")
    share = -math.log1p(-chance) / months / buyers.per_month
    if share >= 1:
        most = -math.expm1(-buyers.per_month * months)
        raise BadValue("chance", f"{chance:.0%}", f"under {most:.0%}: no more buyers come by then")
    limits = buyers.limits
    if isinstance(limits, Exponential):
        return -limits.mean * math.log(share)
    low, high = 0.0, limits.farthest()
    return root(lambda p: share - limits.survival(p), low, high)


def _best_exponential(per_month: float, mean: float, terms: Terms) -> float:
    worth = steady_worth(math.log(per_month) - 1 - terms.at_sale / mean, terms.holding / mean, terms.fading)
    return terms.at_sale + mean + mean * worth


def _best_by_bisection(buyers: Buyers, terms: Terms) -> float:
    limits = buyers.limits
    assert not isinstance(limits, Exponential)

    def too_high(price: float) -> float:
        return price - terms.at_sale - limits.mills(price) - expected_profit(price, buyers, terms)

    low, high = limits.median * math.exp(-8 * limits.spread), limits.farthest()
    return root(too_high, low, high)

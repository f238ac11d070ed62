"""An offer in hand: the least to accept, given the offers that may still come."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers, Exponential
from pithline.money.hold.posted import Terms
from pithline.money.hold.root import root
from pithline.money.hold.steady import steady_worth

__all__ = ["mean_accepted", "months_to_accepted", "reservation_by_deadline", "reservation_price"]


def reservation_price(buyers: Buyers, terms: Terms) -> float:
    """The least offer to accept when each buyer names the most that they would pay.

    Parameters
    ----------
    buyers : Buyers
        `limits` is here the law of the offers.
    terms : Terms
        `at_sale` is added to the least offer, since the buyer's money must cover it too.

    Returns
    -------
    least : float
        R with r R + h = L E[(X - R)+] on money net of `at_sale`, plus `at_sale`; where even
        the first offer should be taken, `at_sale` alone. [money]

    Raises
    ------
    BadValue
        Where waiting costs nothing: then a better offer is always worth waiting for.

    References
    ----------
    McCall, J. J., search with known offers (from memory); exponential offers in closed
    form, R = th W((L/r) exp(h/(r th))) - h/r, without interest th ln(L th/h).
    """
    if terms.holding == 0 and terms.fading == 0:
        remedy = "Say what a month costs, or the interest on the money that lies there."
        raise BadValue("cost of waiting", 0, "more than 0, or no offer is high enough", remedy)
    limits, fades, cost = buyers.limits, terms.fading, terms.at_sale
    if isinstance(limits, Exponential):
        # By ln of the rate at which offers pass the cost at sale: the rate may be too small for a float.
        k = math.log(buyers.per_month) - cost / limits.mean
        net = limits.mean * steady_worth(k, terms.holding / limits.mean, fades)
        return cost + max(net, 0.0)

    def refused_too_much(net: float) -> float:
        return fades * net + terms.holding - buyers.per_month * limits.excess(net + cost)

    return cost + root(refused_too_much, 0.0, limits.farthest())


def mean_accepted(least: float, buyers: Buyers) -> float:
    """Mean of the offers at or above `least`. [money]"""
    share = buyers.limits.survival(least)
    return least + (buyers.limits.excess(least) / share if share > 0 else 0.0)


def months_to_accepted(least: float, buyers: Buyers) -> float:
    """Mean months until an offer of at least `least` comes."""
    rate = buyers.sale_rate(least)
    return 1 / rate if rate > 0 else math.inf


def reservation_by_deadline(
    months: Sequence[float], buyers: Buyers, terms: Terms, salvage: float
) -> list[float]:
    """The least offer to accept with so many months left.

    Parameters
    ----------
    months : sequence of float
        Until the deadline.
    buyers : Buyers
    terms : Terms
    salvage : float
        What the piece still brings on the last day. [money]

    Returns
    -------
    least : list of float
        One for each of `months`: R' = L E[(X - R - c)+] - h - r R from R(0) = salvage, plus c. [money]

    Notes
    -----
    Integrated by LSODA: many offers make it stiff near the last day.

    References
    ----------
    Katriel, G., "The Cayley-Moser problem with Poissonian arrival of offers" (abstract
    read); the equation from memory, checked against drawn offers.
    """
    from scipy.integrate import solve_ivp

    cost, limits = terms.at_sale, buyers.limits
    longest = max(months)
    if not longest > 0:
        return [salvage + cost for _ in months]
    order = sorted(range(len(months)), key=lambda n: months[n])
    solved = solve_ivp(
        lambda _, net: [
            buyers.per_month * limits.excess(net[0] + cost) - terms.holding - terms.fading * net[0]
        ],
        (0.0, longest),
        [salvage],
        method="LSODA",
        t_eval=[months[n] for n in order],
        rtol=1e-9,
        atol=1e-9 * (limits.mean if isinstance(limits, Exponential) else limits.median),
    )
    found = [0.0] * len(months)
    for n, net in zip(order, solved.y[0], strict=True):
        found[n] = cost + float(net)
    return found

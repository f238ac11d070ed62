"""A pair, or sisters from one log: sold one by one, or only together."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers
from pithline.money.hold.posted import Terms, best_price, expected_months, expected_profit
from pithline.money.hold.root import root

__all__ = ["Apart", "Together", "sell_apart", "sell_together"]


@dataclass(frozen=True, slots=True)
class Apart:
    """Like slabs offered side by side, each buyer takes one.

    Attributes
    ----------
    prices : tuple of float
        To ask for each while 1, 2, ... n are left. [money]
    worth : float
        All together, at today's worth. [money]
    months : float
        Mean until the last is sold.
    """

    prices: tuple[float, ...]
    worth: float
    months: float


@dataclass(frozen=True, slots=True)
class Together:
    """The same slabs offered only as one lot.

    Attributes
    ----------
    price : float
        For the lot. [money]
    worth : float
        At today's worth. [money]
    months : float
        Mean until it is sold.
    level_share : float
        The share of the buyers of one slab who must want the lot before selling
        together brings as much as selling apart; infinite where no share would do. [fraction]
    """

    price: float
    worth: float
    months: float
    level_share: float


def sell_apart(count: int, buyers: Buyers, terms: Terms) -> Apart:
    """Best prices for like slabs that draw on the same buyers.

    Parameters
    ----------
    count : int
    buyers : Buyers
        Of one slab.
    terms : Terms
        `holding`, `at_sale` for each.

    Notes
    -----
    r V_n = max_p lam(p)(p - c + V_(n-1) - V_n) - n h is the single slab's equation with
    c - V_(n-1) for c and n h for h, so each step is one `best_price`. The loss hazard
    is taken to strike all of them at once, as a fire does.
    """
    if not 1 <= count <= 200:
        raise BadValue("count", count, "from 1 to 200 slabs")
    worth, months, prices = 0.0, 0.0, []
    for left in range(1, count + 1):
        # A negative cost at sale is right here: the sale sets free what the others are worth.
        step = Terms(terms.at_sale - worth, terms.holding * left, terms.discount, terms.loss)
        price = best_price(buyers, step)
        worth = expected_profit(price, buyers, step)
        months += expected_months(price, buyers)
        prices.append(price)
    return Apart(tuple(prices), worth, months)


def sell_together(count: int, buyers: Buyers, terms: Terms, share: float, premium: float) -> Together:
    """Best price for slabs that are sold only as one lot.

    Parameters
    ----------
    count : int
    buyers : Buyers
        Of one slab.
    terms : Terms
        `holding` and `at_sale` for each slab.
    share : float
        How many of those buyers want the lot. [fraction]
    premium : float
        What such a buyer would pay more for each slab than for a single one; negative for a lot
        discount. Book-matched pairs 0.10 to 0.25, whole logs -0.10 to -0.30: common practice, no source.
        [fraction]
    """
    if not 0 < share <= 100:
        raise BadValue("share who want the lot", f"{share:.0%}", "more than 0 %")
    if not -1 < premium < 20:
        raise BadValue("premium", f"{premium:.0%}", "more than -100 % and less than 2000 %")
    lot = replace(terms, at_sale=terms.at_sale * count, holding=terms.holding * count)
    limits = buyers.limits.times(count * (1 + premium))

    def worth_at(part: float) -> float:
        stream = Buyers(buyers.per_month * part, limits)
        return expected_profit(best_price(stream, lot), stream, lot)

    stream = Buyers(buyers.per_month * share, limits)
    price = best_price(stream, lot)
    apart = sell_apart(count, buyers, terms).worth
    # Worth rises with the stream; e^20 times as many buyers is as good as never.
    level = math.exp(root(lambda x: worth_at(math.exp(x)) - apart, -20.0, 20.0))
    return Together(
        price,
        expected_profit(price, stream, lot),
        expected_months(price, stream),
        level if 1e-8 < level < 1e8 else (math.inf if level >= 1e8 else 0.0),
    )

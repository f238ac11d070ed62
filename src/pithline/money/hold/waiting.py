"""How long it pays to wait for more money that is sure to come."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers
from pithline.money.hold.posted import Terms, best_price, expected_profit

__all__ = ["GreenOrDry", "TwoStates", "green_or_dry", "months_until_loss", "worth_later", "worth_waiting"]


def worth_waiting(now: float, later: float, terms: Terms) -> float:
    """How many months one may wait for a sure higher price.

    Parameters
    ----------
    now, later : float
        What each leaves after the costs of selling. [money]
    terms : Terms
        Interest and loss make later money smaller, holding is paid each month.

    Returns
    -------
    months : float
        ln((later + h/r)/(now + h/r))/r, without interest (later - now)/h; 0 where `later`
        is no more than `now`, infinite where waiting costs nothing. [month]
    """
    if later <= now:
        return 0.0
    fades = terms.fading
    if fades == 0:
        return (later - now) / terms.holding if terms.holding > 0 else math.inf
    lasting = terms.holding / fades
    if now + lasting <= 0:
        return math.inf
    return math.log((later + lasting) / (now + lasting)) / fades


def months_until_loss(asked: float, spent: float, terms: Terms) -> float:
    """After how many months a sale at the asked price no longer brings back what the piece cost.

    Parameters
    ----------
    asked : float
        [money]
    spent : float
        What the piece has cost so far, with interest until today. [money]
    terms : Terms
        `at_sale` comes off the asked price; interest runs on all that lies in the piece.
        A chance of loss plays no part: it is no cost of a piece that did sell.

    Returns
    -------
    months : float
        From today; 0 where it would lose already, infinite where waiting costs nothing.
    """
    return worth_waiting(spent, asked - terms.at_sale, Terms(0.0, terms.holding, terms.discount))


def worth_later(amount: float, months: float, terms: Terms) -> float:
    """Today's worth of an amount that comes after `months` of holding. [money]"""
    fades = terms.fading
    left = math.exp(-fades * months)
    held = terms.holding * (months if fades == 0 else -math.expm1(-fades * months) / fades)
    return amount * left - held


@dataclass(frozen=True, slots=True)
class TwoStates:
    """A piece before and after drying, for `green_or_dry`.

    Attributes
    ----------
    green : Buyers
        Of the piece as it lies.
    dry : Buyers
        Of the dried piece.
    months : float
        Until it is dry.
    cost : float
        Drying itself, paid at its end. [money]
    lost : float
        Share of its worth lost in drying: checks, twist, stain, shrinkage if it is tallied dry. [fraction]
    """

    green: Buyers
    dry: Buyers
    months: float
    cost: float
    lost: float


@dataclass(frozen=True, slots=True)
class GreenOrDry:
    """Both ways at their own best price, at today's worth.

    Attributes
    ----------
    green_price, dry_price : float
        Best asking prices, the dry one after what drying takes. [money]
    green_worth, dry_worth : float
        What each way brings on average. [money]
    longest : float
        Months of drying at which the two are level; 0 where green is better at once.
    """

    green_price: float
    dry_price: float
    green_worth: float
    dry_worth: float
    longest: float


def green_or_dry(states: TwoStates, terms: Terms) -> GreenOrDry:
    """Sell green now, or dry first.

    Parameters
    ----------
    states : TwoStates
        Days in the kiln or stack come from the drying room, as months.
    terms : Terms

    Raises
    ------
    BadValue
        All of it lost in drying, or waiting costs nothing.

    Notes
    -----
    The sure-price rule of `worth_waiting`, with the later amount what the dry piece
    brings on average, less drying and what it spoils.
    """
    if not 0 <= states.lost < 1:
        raise BadValue("worth lost in drying", f"{states.lost:.0%}", "from 0 % to under 100 %")
    dry_buyers = Buyers(states.dry.per_month, states.dry.limits.times(1 - states.lost))
    green_price, dry_price = best_price(states.green, terms), best_price(dry_buyers, terms)
    green_worth = expected_profit(green_price, states.green, terms)
    then = expected_profit(dry_price, dry_buyers, terms) - states.cost
    return GreenOrDry(
        green_price,
        dry_price,
        green_worth,
        worth_later(then, states.months, terms),
        worth_waiting(green_worth, then, terms),
    )

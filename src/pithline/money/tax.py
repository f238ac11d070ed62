"""Tax on a document's amounts. The rate is the user's: nothing here knows any country's rules."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from pithline.errors import BadValue
from pithline.money.rounding import HALF_UP, round_money

__all__ = ["discounted", "net_of_gross", "price_for_margin", "tax_each_line", "tax_on_sum"]


def tax_each_line(nets: Sequence[Decimal], rate: Decimal, digits: int = 2, rule: str = HALF_UP) -> Decimal:
    """Tax rounded on every line, then added.

    Both this and `tax_on_sum` are in use (common practice, no source); a document says which.
    """
    return sum((round_money(net * rate, digits, rule) for net in nets), Decimal(0))


def tax_on_sum(nets: Sequence[Decimal], rate: Decimal, digits: int = 2, rule: str = HALF_UP) -> Decimal:
    """Tax on the sum of the lines, rounded once."""
    return round_money(sum(nets, Decimal(0)) * rate, digits, rule)


def net_of_gross(
    gross: Decimal, rate: Decimal, digits: int = 2, rule: str = HALF_UP
) -> tuple[Decimal, Decimal]:
    """Net and tax in a price that holds the tax; the tax by subtraction, so that the two add up.

    >>> net_of_gross(Decimal("950.00"), Decimal("0.21"))
    (Decimal('785.12'), Decimal('164.88'))
    """
    net = round_money(gross / (1 + rate), digits, rule)
    return net, gross - net


def discounted(
    net: Decimal, discount: Decimal, rate: Decimal, digits: int = 2, rule: str = HALF_UP
) -> Decimal:
    """What is to be paid when the discount comes off before the tax.

    >>> discounted(Decimal("1000.00"), Decimal("0.05"), Decimal("0.21"))
    Decimal('1149.50')
    """
    less = round_money(net * (1 - discount), digits, rule)
    return less + round_money(less * rate, digits, rule)


def price_for_margin(cost: Decimal, margin: Decimal, digits: int = 2, rule: str = HALF_UP) -> Decimal:
    """Price at which so much of the price is left over the cost.

    Raises
    ------
    BadValue
        A margin of 100 % or more: no price reaches it.

    >>> price_for_margin(Decimal(400), Decimal("0.40"))
    Decimal('666.67')
    """
    if not margin < 1:
        raise BadValue("margin", str(margin), "under 100 % of the price", "A markup on the cost may be more.")
    return round_money(cost / (1 - margin), digits, rule)

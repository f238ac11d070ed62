"""How much has to be sold: break-even, a wished profit, and how near the edge a year lies."""

from __future__ import annotations

from pithline.errors import BadValue

__all__ = ["break_even", "leverage", "margin_of_safety", "yearly_profit"]


def break_even(fixed: float, price: float, variable: float, target: float = 0.0) -> float:
    """Sales that pay the fixed costs and a wished profit. [bf/year]

    Parameters
    ----------
    fixed, target : float
        [money/year]
    price, variable : float
        What a board foot brings, and what it costs by itself. [money/bf]

    Raises
    ------
    BadValue
        A board foot that costs what it brings or more: no volume is enough.
    """
    _sound(fixed, price, variable)
    if not target >= 0:
        raise BadValue("target", target, "0 or more")
    return (fixed + target) / (price - variable)


def yearly_profit(sold: float, fixed: float, price: float, variable: float) -> float:
    """What is left of a year's sales. [money/year]"""
    _sound(fixed, price, variable)
    if not sold >= 0:
        raise BadValue("sold", sold, "0 bf or more")
    return (price - variable) * sold - fixed


def leverage(sold: float, fixed: float, price: float, variable: float) -> float:
    """By how many per cent the profit moves where sales move by one; infinite at break-even."""
    profit = yearly_profit(sold, fixed, price, variable)
    return (price - variable) * sold / profit if profit else float("inf")


def margin_of_safety(sold: float, fixed: float, price: float, variable: float) -> float:
    """By how much sales may fall before the year loses. [fraction]"""
    if not sold > 0:
        raise BadValue("sold", sold, "more than 0 bf")
    return 1 - break_even(fixed, price, variable) / sold


def _sound(fixed: float, price: float, variable: float) -> None:
    if not (fixed >= 0 and variable >= 0):
        raise BadValue("fixed and variable cost", (fixed, variable), "0 or more")
    if not price > variable:
        remedy = "Ask more or saw for less: the more is sold, the more is lost."
        raise BadValue(
            "price", price, f"more than the {variable:g} that a board foot costs by itself", remedy
        )

"""Markup on cost and margin on price: two words that are easily taken for each other."""

from __future__ import annotations

from pithline.errors import BadValue

__all__ = ["margin_of_markup", "price_at_margin", "price_at_markup"]


def price_at_markup(cost: float, markup: float) -> float:
    """Cost and so much of the cost on top.

    >>> price_at_markup(400, 0.40)
    560.0
    """
    if not markup > -1:
        raise BadValue("markup", f"{markup:.0%}", "more than -100 %")
    return cost * (1 + markup)


def price_at_margin(cost: float, margin: float) -> float:
    """Price of which so much is left over the cost.

    >>> round(price_at_margin(400, 0.40), 2)
    666.67
    """
    if not margin < 1:
        raise BadValue("margin", f"{margin:.0%}", "under 100 %")
    return cost / (1 - margin)


def margin_of_markup(markup: float) -> float:
    """Margin on price that a markup on cost leaves; markup = margin/(1 - margin)."""
    if not markup > -1:
        raise BadValue("markup", f"{markup:.0%}", "more than -100 %")
    return markup / (1 + markup)

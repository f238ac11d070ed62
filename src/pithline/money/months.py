"""Months, as a person writes a time of waiting or how often something comes."""

from __future__ import annotations

import re
from fractions import Fraction

from pithline.errors import BadValue
from pithline.quantity import Quantity, read

__all__ = ["DAYS_A_MONTH", "DAYS_A_YEAR", "months", "per_month", "show_months"]

DAYS_A_YEAR = 365.25
DAYS_A_MONTH = DAYS_A_YEAR / 12
_DAY = Fraction(12 * 4, 365 * 4 + 1)
WAITING = Quantity(
    "a time",
    (
        (Fraction(1), "months", ("months", "month", "mo")),
        (Fraction(12), "years", ("years", "year", "yr", "y")),
        (7 * _DAY, "weeks", ("weeks", "week", "wk")),
        (_DAY, "days", ("days", "day", "d")),
    ),
    '"18 months", "90 days" or "1 year 6 months"',
    (("years", "months", "weeks", "days"),),
)


def months(text: object, field: str = "time") -> float:
    """Time in months, as ``18 months``, ``90 days``, ``1 year 6 months``.

    Raises
    ------
    BadValue
        No unit, an unknown unit, negative.

    >>> round(months("90 days"), 4)
    2.9569
    """
    return read(WAITING, text, field, False)[0]


def per_month(text: object, field: str = "how often") -> float:
    """How often something comes, in times a month: ``2 per month``, ``1 in 6 weeks``, ``5 a year``.

    Raises
    ------
    BadValue
        No number, no time, or a number of 0.
    """
    found = (
        re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*(?:per|a|an|in|every|/)\s*(.+?)\s*", text, re.IGNORECASE)
        if isinstance(text, str)
        else None
    )
    remedy = 'Write "2 per month", "5 a year" or "1 in 6 weeks".'
    if found is None:
        raise BadValue(field, text, "a number per time", remedy)
    spell = found[2] if re.match(r"[\d.]", found[2]) else f"1 {found[2]}"
    rate, span = float(found[1]), months(spell, field)
    if not (rate > 0 and span > 0):
        raise BadValue(field, text, "more than 0", remedy)
    return rate / span


def show_months(value: float) -> str:
    """Months as a person says them: days under two months, years from three years on."""
    if value == float("inf"):
        return "never"
    if value < 2:
        days = value / float(_DAY)
        return f"{days:.0f} days"
    return f"{value:.1f} months" if value < 36 else f"{value / 12:.1f} years"

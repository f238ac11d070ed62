"""What a machine loses in worth each year, and the money that lies in it meanwhile."""

from __future__ import annotations

from pithline.errors import BadValue

__all__ = [
    "average_investment",
    "capital_recovery",
    "capital_recovery_factor",
    "double_declining",
    "straight_line",
    "sum_of_years",
]


def straight_line(price: float, salvage: float, years: float, wear_set: float = 0.0) -> float:
    """Yearly loss when it is the same every year.

    Parameters
    ----------
    price, salvage : float
        Paid, and still worth at the end. [money]
    years : float
        Of use; need not be whole.
    wear_set : float
        Part of the price that wears out by the hour and is booked there: tyres, first chains. [money]

    Returns
    -------
    yearly : float
        [money/year]

    Raises
    ------
    BadValue
        No years, or worth more at the end than paid.

    References
    ----------
    Miyata, *Determining fixed and operating costs of logging equipment*, USDA Forest Service
    GTR NC-55, 1980 (formula from memory).

    >>> straight_line(2400, 480, 3)
    640.0
    """
    _check(price, salvage, years)
    return (price - wear_set - salvage) / years


def sum_of_years(price: float, salvage: float, years: int) -> tuple[float, ...]:
    """Loss in year 1, 2, ... by the sum of the years' digits (textbook form, from memory). [money/year]

    >>> sum_of_years(2400, 480, 3)
    (960.0, 640.0, 320.0)
    """
    _check(price, salvage, years)
    digits = years * (years + 1) / 2
    return tuple((price - salvage) * (years - k) / digits for k in range(years))


def double_declining(price: float, salvage: float, years: int) -> tuple[float, ...]:
    """Loss in year 1, 2, ...: twice an even share of what is left, never below the salvage.

    Textbook form, from memory. [money/year]
    """
    _check(price, salvage, years)
    book, lost = price, []
    for _ in range(years):
        lost.append(min(2 / years * book, book - salvage))
        book -= lost[-1]
    return tuple(lost)


def average_investment(price: float, salvage: float, years: float) -> float:
    """Mean of the book values at the start of each year, by straight line.

    Interest, insurance and property tax are counted on it.

    Parameters
    ----------
    price, salvage : float
        [money]
    years : float

    Returns
    -------
    investment : float
        (P - S)(N + 1)/(2N) + S. [money]

    Notes
    -----
    For a life that is not whole years the same formula is used, as practice does.

    References
    ----------
    Miyata, GTR NC-55, 1980 (from memory); the equal form [P(N+1) + S(N-1)]/(2N) is read in a
    construction-estimating class example.
    """
    _check(price, salvage, years)
    return (price - salvage) * (years + 1) / (2 * years) + salvage


def capital_recovery_factor(interest: float, years: float) -> float:
    """Yearly payment per unit lent that pays it back with interest in so many years. [1/year]"""
    if not years > 0:
        raise BadValue("years", years, "more than 0")
    if interest == 0:
        return 1 / years
    grown = float((1 + interest) ** years)
    return interest * grown / (grown - 1)


def capital_recovery(price: float, salvage: float, years: float, interest: float) -> float:
    """Depreciation and interest in one, exact where `average_investment` is a rule of thumb.

    References
    ----------
    Iowa State University Extension, *Estimating farm machinery costs*, Ag Decision Maker A3-29
    (method from memory).
    """
    _check(price, salvage, years)
    return (price - salvage) * capital_recovery_factor(interest, years) + salvage * interest


def _check(price: float, salvage: float, years: float) -> None:
    if not years > 0:
        raise BadValue("years of use", years, "more than 0")
    if not 0 <= salvage <= price:
        raise BadValue("salvage", salvage, f"0 to the price, {price:g}", "Look whether the two are swapped.")

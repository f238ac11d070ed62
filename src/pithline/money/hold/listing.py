"""A piece put up for sale: its price tags, how long each hung, and whether it sold."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.money.months import DAYS_A_MONTH

__all__ = ["Listing", "Spells", "spells"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Listing:
    """One piece on offer, from its first price tag to its sale or to today.

    Attributes
    ----------
    name : str
    reference : float
        What such a piece should bring, by the user's own rates; prices of unlike pieces
        become comparable as shares of it. [money]
    tags : tuple of (date, price)
        Each price from its day on; rising dates. [money]
    until : date
        Day of the sale, or the last day it was seen unsold.
    sold : bool
    """

    name: str
    reference: float
    tags: tuple[tuple[datetime.date, float], ...]
    until: datetime.date
    sold: bool

    def __post_init__(self) -> None:
        if not 0 < self.reference < math.inf:
            raise BadValue(f"reference of {self.name}", self.reference, "more than 0")
        if not self.tags:
            raise BadValue(f"price of {self.name}", "missing", "given")
        days = [day for day, _ in self.tags]
        if sorted(set(days)) != days:
            raise BadValue(f"price tags of {self.name}", ", ".join(map(str, days)), "in the order of days")
        if self.until < days[-1]:
            raise BadValue(
                f"last day of {self.name}", self.until, f"not before its last price tag of {days[-1]}"
            )
        for _, price in self.tags:
            if not 0 < price < math.inf:
                raise BadValue(f"price of {self.name}", price, "more than 0")


@dataclass(frozen=True, slots=True, eq=False)
class Spells:
    """Times at one price, cut at each change of the price tag.

    Attributes
    ----------
    ratio : ndarray, shape (spells,)
        Price over reference.
    months : ndarray, shape (spells,)
        On offer at that price.
    sold : ndarray of bool, shape (spells,)
        Whether the spell ended in a sale.
    """

    ratio: Floats
    months: Floats
    sold: NDArray[np.bool_]

    @classmethod
    def of(cls, ratio: Sequence[float], months: Sequence[float], sold: Iterable[bool]) -> Spells:
        """Checked: equally many, finite, ratios and months above 0."""
        x, t = np.asarray(ratio, dtype=np.float64), np.asarray(months, dtype=np.float64)
        d = np.asarray(list(sold), dtype=bool)
        if not (x.ndim == 1 and x.shape == t.shape == d.shape and x.size):
            raise BadValue("listings", f"{x.size}, {t.size}, {d.size}", "as many prices as months and ends")
        if not (np.all(np.isfinite(x) & (x > 0)) and np.all(np.isfinite(t) & (t > 0))):
            raise BadValue("listings", "a price or time of 0", "above 0 throughout")
        return cls(x, t, d)


def spells(listings: Iterable[Listing]) -> Spells:
    """Cut listings at each change of price; a sale counts for the last price alone.

    Notes
    -----
    A day is the least that counts: what sold on the day it was hung out was on offer for a day.
    """
    ratio, months, sold = [], [], []
    for listing in listings:
        ends = [day for day, _ in listing.tags[1:]] + [listing.until]
        for n, ((start, price), end) in enumerate(zip(listing.tags, ends, strict=True), 1):
            ratio.append(price / listing.reference)
            months.append(max((end - start).days, 1) / DAYS_A_MONTH)
            sold.append(listing.sold and n == len(listing.tags))
    return Spells.of(ratio, months, sold)

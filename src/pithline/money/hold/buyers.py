"""Who comes and what they would pay: a stream of buyers, each with a limit of their own."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue

__all__ = ["Buyers", "Exponential", "Lognormal", "Willingness"]

Floats = NDArray[np.float64]
# Beyond this many spreads above the median the tail is thinner than a float can say.
_FARTHEST = 35.0


@dataclass(frozen=True, slots=True)
class Exponential:
    """Most buyers would pay little, a few would pay a lot: P(limit >= p) = exp(-p/mean).

    Attributes
    ----------
    mean : float
        What buyers would pay on average. [money]
    """

    mean: float

    @classmethod
    def of(cls, mean: float) -> Self:
        """Checked: more than 0."""
        return cls(_positive("mean a buyer would pay", mean))

    def survival(self, price: float) -> float:
        """Share of buyers who would pay `price` or more. [fraction]"""
        return math.exp(-max(price, 0.0) / self.mean)

    def mills(self, price: float) -> float:
        """Survival over density: how much above its cost a price is best set. [money]"""
        return self.mean

    def excess(self, price: float) -> float:
        """Mean of what a buyer's limit lies above `price`, 0 where it lies below. [money]"""
        return self.mean * math.exp(-price / self.mean) if price >= 0 else self.mean - price

    def drawn(self, rng: np.random.Generator, count: int) -> Floats:
        """Limits of `count` buyers, shape (count,). [money]"""
        return rng.exponential(self.mean, count)

    def times(self, factor: float) -> Exponential:
        """The same buyers before a piece worth `factor` times as much to each."""
        return Exponential(self.mean * factor)


@dataclass(frozen=True, slots=True)
class Lognormal:
    """Most buyers lie within a factor of the median: ln(limit) is normal.

    Attributes
    ----------
    median : float
        Half of the buyers would pay more. [money]
    spread : float
        Standard deviation of ln(limit): 0.5 means two thirds within 0.6 to 1.65 times the median.
    """

    median: float
    spread: float

    @classmethod
    def of(cls, median: float, spread: float) -> Self:
        """Checked: both more than 0, the spread at most 3 (limits then scatter by a factor of 20)."""
        if spread > 3:
            raise BadValue(
                "spread of limits", spread, "at most 3", "0.3 to 0.8 is usual; it is of ln(limit)."
            )
        return cls(_positive("median a buyer would pay", median), _positive("spread of limits", spread))

    def survival(self, price: float) -> float:
        """Share of buyers who would pay `price` or more. [fraction]"""
        return 0.5 * math.erfc(self._z(price) / math.sqrt(2)) if price > 0 else 1.0

    def mills(self, price: float) -> float:
        """Survival over density at `price`, more than 0. [money]"""
        z = self._z(price)
        if z < -_FARTHEST:
            return math.inf
        density = math.exp(-0.5 * z * z) / math.sqrt(2 * math.pi)
        return self.survival(price) / density * price * self.spread

    def excess(self, price: float) -> float:
        """Mean of what a buyer's limit lies above `price`, 0 where it lies below. [money]"""
        mean = self.median * math.exp(0.5 * self.spread**2)
        if price <= 0:
            return mean - price
        above = 0.5 * math.erfc((self._z(price) - self.spread) / math.sqrt(2))
        return mean * above - price * self.survival(price)

    def drawn(self, rng: np.random.Generator, count: int) -> Floats:
        """Limits of `count` buyers, shape (count,). [money]"""
        return rng.lognormal(math.log(self.median), self.spread, count)

    def times(self, factor: float) -> Lognormal:
        """The same buyers before a piece worth `factor` times as much to each."""
        return Lognormal(self.median * factor, self.spread)

    def farthest(self) -> float:
        """A price that nobody reaches, for brackets. [money]"""
        return self.median * math.exp(_FARTHEST * self.spread)

    def _z(self, price: float) -> float:
        return math.log(price / self.median) / self.spread if price > 0 else -math.inf


Willingness = Exponential | Lognormal


@dataclass(frozen=True, slots=True)
class Buyers:
    """A Poisson stream of serious buyers.

    Attributes
    ----------
    per_month : float
        Who would look at such a piece in earnest. [1/month]
    limits : Exponential or Lognormal
        What they would pay.

    Notes
    -----
    "Serious" is whoever would buy at some price; L and the limits are learned together
    from own listings (`listing_fit`), so neither has to be counted at the gate.
    """

    per_month: float
    limits: Willingness

    @classmethod
    def of(cls, per_month: float, limits: Willingness) -> Self:
        """Checked: more than 0 buyers a month."""
        return cls(_positive("buyers a month", per_month), limits)

    def sale_rate(self, price: float) -> float:
        """Sales a month at a posted price, lam(p) = L G(p). [1/month]"""
        return self.per_month * self.limits.survival(price)


def _positive(field: str, value: float) -> float:
    if not 0 < value < math.inf:  # NaN fails here too
        raise BadValue(field, value, "more than 0 and finite")
    return value

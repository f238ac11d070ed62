"""What own listings leave open: every stream of buyers that fits them, weighed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.money.hold.listing import Spells
from pithline.money.hold.posted import Terms

__all__ = ["PRIOR", "Guess", "Law", "Learned", "Outlook", "learn", "outlook", "weighted_quantiles"]

Floats = NDArray[np.float64]
# Which law of limits: "exponential" or "lognormal".
Law = str
LAWS = ("exponential", "lognormal")
_BUYERS, _LIMITS, _SPREADS, _PRICES = 41, 31, 7, 300
_WIDE = 3.5  # standard deviations of the prior that the grid spans to each side


@dataclass(frozen=True, slots=True)
class Guess:
    """What is taken for likely before any listing is seen; each lies within the factor two times in three.

    A guess, common practice, no source: at the reference price a slab sells after a
    year or so, and buyers' limits scatter by about a third of it.

    Attributes
    ----------
    months, months_factor : float
        Months to a sale at the reference price.
    mean, mean_factor : float
        Exponential limits: their mean as a share of the reference.
    median, median_factor : float
        Lognormal limits: their median, likewise.
    spread, spread_factor : float
        Lognormal limits: spread of ln(limit).
    """

    months: float = 12.0
    months_factor: float = 3.0
    mean: float = 0.35
    mean_factor: float = 1.8
    median: float = 0.6
    median_factor: float = 1.5
    spread: float = 0.4
    spread_factor: float = 1.4


PRIOR = Guess()


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """Streams of buyers on a grid, each with its weight.

    Attributes
    ----------
    law : str
        "exponential" or "lognormal".
    weight : ndarray, shape (streams,)
        Sums to 1.
    per_month : ndarray, shape (streams,)
        [1/month]
    size : ndarray, shape (streams,)
        Mean or median of what buyers would pay, as a share of the reference.
    spread : ndarray, shape (streams,)
        Of ln(limit); 0 for exponential limits.
    evidence : float
        ln of the chance of these listings under this law and the prior: the greater
        one fits better.
    sold, spells : int
    """

    law: Law
    weight: Floats
    per_month: Floats
    size: Floats
    spread: Floats
    evidence: float
    sold: int
    spells: int

    def sale_rates(self, ratio: float) -> Floats:
        """Sales a month of each stream at a price ratio, shape (streams,). [1/month]"""
        return self.per_month * _survival(self.law, ratio, self.size, self.spread)


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a price is likely to do, at 10, 50 and 90 % of the weight.

    Attributes
    ----------
    price : float
        Brings most on average over all streams. [money]
    best : tuple of float
        The best price if one knew the stream. [money]
    months : tuple of float
        Mean months to a sale at `price`.
    by_then : tuple of float
        Chance to sell within the months asked about. [fraction]
    worth : float
        Mean over streams at `price`. [money]
    at_end : bool
        The best price lies at the end of what was tried (three times the reference): listings and
        prior do not say where it stops.
    """

    price: float
    best: tuple[float, float, float]
    months: tuple[float, float, float]
    by_then: tuple[float, float, float]
    worth: float
    at_end: bool


def learn(spells: Spells | None, law: Law = "exponential", guess: Guess = PRIOR) -> Learned:
    """Weigh every stream of buyers by how well it explains the listings.

    Parameters
    ----------
    spells : Spells or None
        None: the guess alone.
    law : {"exponential", "lognormal"}
    guess : Guess

    Returns
    -------
    Learned

    Notes
    -----
    Bayes on a grid, in place of a normal error that few sales do not justify. A spell of t
    months at ratio x that sold counts lam exp(-lam t), an unsold one exp(-lam t): the
    censored likelihood.
    """
    if law not in LAWS:
        raise BadValue("law of limits", law, " or ".join(LAWS))
    away = np.linspace(-_WIDE, _WIDE, _BUYERS)
    tight = np.linspace(-_WIDE, _WIDE, _LIMITS)
    if law == "exponential":
        at_one, size = (g.ravel() for g in np.meshgrid(away, tight, indexing="ij"))
        prior = -0.5 * (at_one**2 + size**2)
        sizes = guess.mean * guess.mean_factor**size
        spreads = np.zeros_like(sizes)
    else:
        wide = np.linspace(-2, 2, _SPREADS)
        at_one, size, spread = (g.ravel() for g in np.meshgrid(away, tight, wide, indexing="ij"))
        prior = -0.5 * (at_one**2 + size**2 + spread**2)
        sizes = guess.median * guess.median_factor**size
        spreads = guess.spread * guess.spread_factor**spread
    rate_at_one = guess.months_factor**at_one / guess.months
    per_month = rate_at_one / _survival(law, 1.0, sizes, spreads)
    fit = np.zeros_like(prior)
    sold = count = 0
    if spells is not None:
        sold, count = int(spells.sold.sum()), len(spells.ratio)
        for x, t, d in zip(spells.ratio, spells.months, spells.sold, strict=True):
            rate = per_month * _survival(law, float(x), sizes, spreads)
            fit += (np.log(np.maximum(rate, 1e-300)) if d else 0.0) - rate * t
    top = float((prior + fit).max())
    weight = np.exp(prior + fit - top)
    total = float(weight.sum())
    evidence = top + math.log(total) - math.log(float(np.exp(prior).sum()))
    kept = weight > 1e-7 * weight.max()
    weight = weight[kept] / weight[kept].sum()
    return Learned(law, weight, per_month[kept], sizes[kept], spreads[kept], evidence, sold, count)


def outlook(
    learned: Learned, reference: float, terms: Terms, months: float, price: float | None = None
) -> Outlook:
    """Best price for one piece and what it is likely to do, with everything unknown kept in.

    Parameters
    ----------
    learned : Learned
    reference : float
        What such a piece should bring by the user's own rates. [money]
    terms : Terms
    months : float
        Time that the chance of a sale is asked for.
    price : float, optional
        Look at this price instead of the best. [money]

    Raises
    ------
    BadValue
        Where waiting costs nothing.

    Notes
    -----
    Prices of 0.2 to 3 times the reference are tried, in steps of under 2 %. A price that is best on
    average is not the average of best prices: it leans against the streams that would
    never buy.
    """
    if terms.holding == 0 and terms.fading == 0:
        remedy = "Say what a month costs, or the interest on the money that lies there."
        raise BadValue("cost of waiting", 0, "more than 0, or no price is too high", remedy)
    ratios = np.geomspace(0.2, 3.0, _PRICES)
    rates = np.stack([learned.sale_rates(float(x)) for x in ratios])
    gain = rates * (ratios * reference - terms.at_sale)[:, None] - terms.holding
    profits = gain / (terms.fading + rates)
    mean = profits @ learned.weight
    best = int(np.argmax(mean))
    chosen = float(ratios[best] * reference) if price is None else price
    rate = learned.sale_rates(chosen / reference)
    worth = float(
        ((rate * (chosen - terms.at_sale) - terms.holding) / (terms.fading + rate)) @ learned.weight
    )
    each_best = ratios[np.argmax(profits, axis=0)] * reference
    return Outlook(
        chosen,
        weighted_quantiles(each_best, learned.weight),
        weighted_quantiles(1 / np.maximum(rate, 1e-300), learned.weight),
        weighted_quantiles(-np.expm1(-rate * months), learned.weight),
        worth,
        price is None and best in (0, _PRICES - 1),
    )


def weighted_quantiles(
    values: Floats, weight: Floats, at: Sequence[float] = (0.1, 0.5, 0.9)
) -> tuple[float, float, float]:
    """Values at 10, 50 and 90 % of the weight.

    Parameters
    ----------
    values, weight : ndarray, shape (n,)
    at : three fractions
    """
    order = np.argsort(values)
    passed = np.cumsum(weight[order])
    found = values[order][np.minimum(np.searchsorted(passed, np.asarray(at) * passed[-1]), len(values) - 1)]
    return float(found[0]), float(found[1]), float(found[2])


def _survival(law: Law, ratio: float, size: Floats, spread: Floats) -> Floats:
    if law == "exponential":
        return np.exp(-ratio / size)
    from scipy.special import ndtr

    return np.asarray(ndtr(-(math.log(ratio) - np.log(size)) / spread))

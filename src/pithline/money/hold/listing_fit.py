"""How sales slow down as prices rise, from own listings, the unsold ones counted."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers, Exponential
from pithline.money.hold.listing import Spells
from pithline.money.hold.root import root

__all__ = ["ENOUGH", "SaleRate", "gamma_level", "sale_rate_fit"]

# Under so many sales the fit is shown as a wide range only (reference: small-sample practice, no source).
ENOUGH = 10


@dataclass(frozen=True, slots=True)
class SaleRate:
    """Sales a month = level exp(-slope x) at price ratio x.

    Attributes
    ----------
    level : float
        [1/month]
    slope, slope_error : float
        And its standard error. [1/ratio]
    sold, spells : int
        What it rests on.
    """

    level: float
    slope: float
    slope_error: float
    sold: int
    spells: int

    @property
    def mean(self) -> float:
        """Mean of what buyers would pay, as a share of the reference; infinite where price did not matter."""
        return 1 / self.slope if self.slope > 0 else math.inf

    def buyers(self, reference: float) -> Buyers:
        """The same as a stream of buyers with exponential limits, for a piece of that reference price.

        Raises
        ------
        BadValue
            Where dearer pieces sold no slower: no best price follows from that.
        """
        if self.slope <= 0:
            raise BadValue(
                "slope of the listings",
                f"{self.slope:.3g}",
                "more than 0",
                "Here dearer pieces sold no slower. Use the range, which holds a prior against it.",
            )
        return Buyers(self.level, Exponential(self.mean * reference))


def sale_rate_fit(spells: Spells) -> SaleRate:
    """Most likely sale rate over price.

    Parameters
    ----------
    spells : Spells

    Returns
    -------
    SaleRate

    Raises
    ------
    BadValue
        No sale, or all at one price: then the slope cannot be told.

    Notes
    -----
    ln likelihood: sum of d (ln A - b x) - A t exp(-b x), a Poisson regression with log
    link and offset ln t; unsold spells enter by their time alone. Solved by the profile
    score, which rises with b; the error is from the information matrix.
    """
    x, t, sold = spells.ratio, spells.months, int(spells.sold.sum())
    if sold == 0:
        raise BadValue("listings", "none sold", "one sale or more", "Use the range, or wait for a sale.")
    if np.ptp(x) < 1e-9 * float(x.max()):
        raise BadValue("listings", f"all at {x[0]:.3g} of the reference", "at different prices")
    mean_sold = float(x[spells.sold].mean())

    def tilted(slope: float) -> tuple[float, float]:
        """Mean and variance of x under weights t exp(-slope x)."""
        power = np.log(t) - slope * x
        weight = np.exp(power - power.max())
        weight /= weight.sum()
        mean = float(weight @ x)
        return mean, float(weight @ (x - mean) ** 2)

    if not float(x.min()) < mean_sold < float(x.max()):
        raise BadValue(
            "listings",
            "sold only at one end of the prices",
            "sold at more than the lowest or highest price",
            "No finite slope fits. Use the range.",
        )
    far = 700 / float(np.ptp(x))
    slope = root(lambda b: mean_sold - tilted(b)[0], -far, far)
    level = sold / float(t @ np.exp(-slope * x))
    return SaleRate(level, slope, 1 / math.sqrt(sold * tilted(slope)[1]), sold, len(x))


def gamma_level(spells: Spells, slope: float, shape: float, rate: float) -> float:
    """Mean level of the sale rate under a gamma prior, the slope being known. [1/month]

    Parameters
    ----------
    spells : Spells
    slope : float
        [1/ratio]
    shape, rate : float
        Of the prior: as if `shape` sales had been seen in `rate` months of offer at ratio 0.

    Notes
    -----
    Conjugate: (shape + sold)/(rate + sum t exp(-slope x)).
    """
    return (shape + float(spells.sold.sum())) / (rate + float(spells.months @ np.exp(-slope * spells.ratio)))

"""Price tags that come down in steps: what a given row of prices brings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers
from pithline.money.hold.posted import Terms

__all__ = ["Step", "clearance", "steps_worth"]


@dataclass(frozen=True, slots=True)
class Step:
    """One price tag and how long it hangs.

    Attributes
    ----------
    price : float
        [money]
    months : float
        Infinite for a tag that stays.
    """

    price: float
    months: float = math.inf


def steps_worth(steps: Sequence[Step], buyers: Buyers, terms: Terms, salvage: float = 0.0) -> float:
    """What one slab brings on average as its price tags follow each other.

    Parameters
    ----------
    steps : sequence of Step
    buyers : Buyers
    terms : Terms
    salvage : float
        What it still brings after the last tag. [money]

    Returns
    -------
    worth : float
        Sum over tags of E_k [lam (p - c) - h]/(r + lam) (1 - exp(-(r + lam) T)), E_k being the
        chance and fading of what came before; plus what is left of the salvage. [money]

    Raises
    ------
    BadValue
        No step, a step without a time before the last, or one that is not above 0.
    """
    if not steps:
        raise BadValue("steps", "empty", "one price or more", 'Say "1200 for 6 months".')
    worth, reached = 0.0, 1.0
    for n, step in enumerate(steps, 1):
        if not step.months > 0 or (n < len(steps) and math.isinf(step.months)):
            raise BadValue(f"step {n}", step.months, "held for more than 0 months, only the last for ever")
        rate = buyers.sale_rate(step.price)
        gain = rate * (step.price - terms.at_sale) - terms.holding
        fades = terms.fading + rate
        if fades == 0:
            if math.isinf(step.months):
                return worth + (-math.inf if gain < 0 else 0.0)
            worth += reached * gain * step.months
            continue
        worth += reached * gain / fades * -math.expm1(-fades * step.months)
        reached *= math.exp(-fades * step.months)
    return worth + reached * salvage


def clearance(low: float, high: float) -> tuple[float, float, float]:
    """Two prices for a piece nobody can judge: what it is worth to all is unknown.

    Parameters
    ----------
    low, high : float
        One common worth, anywhere between these with equal chance. [money]

    Returns
    -------
    first, second, brings : float
        Ask `first`; if nobody buys, all know that it was too much: ask `second`. Mean
        takings, without discounting. [money]

    References
    ----------
    Lazear, E., "Retail pricing and clearance sales", American Economic Review, 1986
    (from memory): 2/3 and 1/3 of the highest worth for a range that starts at 0.

    >>> [round(each, 4) for each in clearance(0, 1)]
    [0.6667, 0.3333, 0.3333]
    """
    if not 0 <= low < high < math.inf:
        raise BadValue("range of worth", f"{low:g} to {high:g}", "rising, from 0 or more")
    # The second price is the best against what the first refusal taught: half of the first, not under low.
    first = 2 * high / 3 if high >= 3 * low else (low + high) / 2
    second = max(low, first / 2)
    brings = (first * (high - first) + second * (first - second)) / (high - low)
    return first, second, brings

"""How long a slab may wait: its best price by the book's own listings, a path down to a day, an offer."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from pithline.errors import BadValue
from pithline.money.months import DAYS_A_MONTH

if TYPE_CHECKING:
    from pithline.money.buyers import Buyers
    from pithline.money.costs import Costs
    from pithline.money.listing_range import Learned, Outlook
    from pithline.money.posted import Terms
    from pithline.sheets.charts import Chart

__all__ = ["Held", "Tag", "held", "terms_of"]

_STREAMS = 60
_TAGS = 8
Three = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Tag:
    """A price tag of the path: its day and what to ask, at 10, 50 and 90 % of the streams of buyers."""

    day: datetime.date
    asked: Three


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """What waiting brings.

    Attributes
    ----------
    best, looked : Outlook
        At the price that brings most; at the price that is asked, or the same.
    by : date
    tags : tuple of Tag
        The path of prices until `by`.
    chart : Chart
    least : Three
        The least offer to accept from buyers who name their limit. [money]
    loses : date or None
        From which day a sale at the price looked at no longer brings back the full cost.
    apart : float or None
        Of the buyers of one, who must want both before the pair sells better as a pair, should they pay
        15 % more for each; None where it has no pair, infinite where no share would do. [fraction]
    """

    best: Outlook
    looked: Outlook
    by: datetime.date
    tags: tuple[Tag, ...]
    chart: Chart
    least: Three
    loses: datetime.date | None
    apart: float | None


def terms_of(costs: Costs, volume: float, reference: float) -> Terms:
    """What selling and waiting cost a slab: selling hours and fee at the sale, room, interest, loss."""
    from pithline.money.posted import Terms, discount_of, hazard_of

    return Terms.of(
        costs.sell_hours * costs.wage + costs.sell_fee * reference,
        costs.space * volume,
        discount_of(costs.interest),
        hazard_of(costs.loss),
    )


def held(
    learned: Learned, reference: float, terms: Terms, today: datetime.date, by: datetime.date, code: str,
    *, asked: float | None, cost: float, salvage: float, paired: bool,
) -> Held:  # fmt: skip
    """Look at one slab.

    Parameters
    ----------
    learned : Learned
    reference : float
        What such a piece should bring. [money]
    terms : Terms
    today, by : date
    code : str
        Of the currency.
    asked : float or None
        What is asked now. [money]
    cost : float
        What it has cost so far. [money]
    salvage : float
        What it still brings otherwise on the last day. [money]
    paired : bool

    Raises
    ------
    BadValue
        A day that is past or too far away; waiting that costs nothing.
    """
    from pithline.money.listing_range import outlook, weighted_quantiles
    from pithline.money.offers import reservation_price
    from pithline.money.waiting import months_until_loss

    months = (by - today).days / DAYS_A_MONTH
    if not 0.2 <= months <= 120:
        raise BadValue("by", by, "a week ahead at least, and ten years at most")
    best = outlook(learned, reference, terms, months)
    looked = outlook(learned, reference, terms, months, asked) if asked else best
    streams, weights = _streams(learned, reference)
    tags = _path(streams, weights, terms, today, months, salvage)
    least = weighted_quantiles(np.array([reservation_price(each, terms) for each in streams]), weights)
    until = months_until_loss(looked.price, cost, terms)
    loses = today + datetime.timedelta(days=until * DAYS_A_MONTH) if until < 1200 else None
    apart = None
    if paired:
        from pithline.money.together import sell_together

        middle = streams[int(np.argmax(weights))]
        apart = sell_together(2, middle, terms, 0.3, 0.15).level_share
    return Held(best, looked, by, tags, _drawn(tags, code), least, loses, apart)


def _streams(learned: Learned, reference: float) -> tuple[list[Buyers], np.ndarray]:
    """The likeliest streams of buyers, with their weights."""
    from pithline.money.buyers import Buyers, Exponential, Lognormal

    order = np.argsort(-learned.weight)[:_STREAMS]
    found = []
    for n in order:
        size, spread = float(learned.size[n]) * reference, float(learned.spread[n])
        limits = Exponential(size) if learned.law == "exponential" else Lognormal(size, spread)
        found.append(Buyers(float(learned.per_month[n]), limits))
    weight = learned.weight[order]
    return found, weight / weight.sum()


def _path(
    streams: list[Buyers],
    weights: np.ndarray,
    terms: Terms,
    today: datetime.date,
    months: float,
    salvage: float,
) -> tuple[Tag, ...]:
    """Prices to hang up until the day, for every stream; their middle and range."""
    from pithline.money.deadline import Deadline, price_steps
    from pithline.money.listing_range import weighted_quantiles

    every = months / _TAGS
    paths = [price_steps(Deadline(1, months, salvage), each, terms, every) for each in streams]
    tags = []
    for n in range(_TAGS):
        prices = np.array([path[n][1][-1] for path in paths])
        day = today + datetime.timedelta(days=round(n * every * DAYS_A_MONTH))
        tags.append(Tag(day, weighted_quantiles(prices, weights)))
    return tuple(tags)


def _drawn(tags: tuple[Tag, ...], code: str) -> Chart:
    from pithline.sheets.charts import line_with_range

    first = tags[0].day
    low, mid, high = (list(each) for each in zip(*(tag.asked for tag in tags), strict=True))
    return line_with_range(
        [(tag.day - first).days / DAYS_A_MONTH for tag in tags],
        low,
        mid,
        high,
        title="What to ask as the day comes near",
        across="months from now",
        upward=f"asked, {code}",
    )

"""How long a slab may wait: its best price by the book's own listings, a path down to a day, an offer."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from pithline.errors import BadValue
from pithline.money.months import DAYS_A_MONTH

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.money.hold.buyers import Buyers
    from pithline.money.hold.listing_range import Learned, Outlook
    from pithline.money.hold.posted import Terms
    from pithline.sheets.charts import Chart
    from pithline.web.money.till_dry import TillDry

__all__ = ["Choice", "Held", "Tag", "green_first", "held", "terms_of"]

_STREAMS = 24  # of equal weight; the path, which takes longest, looks at every other one
_LOST = 0.12
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


@dataclass(frozen=True, slots=True)
class Choice:
    """Green now or dry first: till dry, what each brings at today's worth, how long it may take. [month]"""

    till: TillDry
    green: Three
    dry: Three
    longest: Three


def terms_of(costs: Costs, volume: float, reference: float) -> Terms:
    """What selling and waiting cost a slab: selling hours and fee at the sale, room, interest, loss."""
    from pithline.money.hold.posted import Terms, discount_of, hazard_of

    return Terms.of(
        costs.sell_hours * costs.wage + costs.sell_fee * reference,
        costs.space * volume,
        discount_of(costs.interest),
        hazard_of(costs.loss),
    )


@lru_cache(maxsize=64)  # what was learned is told apart by identity: it is read anew when the book changes
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
    from pithline.money.hold.listing_range import outlook
    from pithline.money.hold.offers import reservation_price
    from pithline.money.hold.waiting import months_until_loss

    months = (by - today).days / DAYS_A_MONTH
    if not 0.2 <= months <= 120:
        raise BadValue("by", by, "a week ahead at least, and ten years at most")
    best = outlook(learned, reference, terms, months)
    looked = outlook(learned, reference, terms, months, asked) if asked else best
    streams = _streams(learned, reference)
    tags = _path(streams[::2], terms, today, months, salvage)
    least = _three([reservation_price(each, terms) for each in streams])
    until = months_until_loss(looked.price, cost, terms)
    loses = today + datetime.timedelta(days=until * DAYS_A_MONTH) if until < 1200 else None
    apart = None
    if paired:
        from pithline.money.hold.together import sell_together

        levels = [sell_together(2, each, terms, 0.3, 0.15).level_share for each in streams]
        apart = float(np.median(levels))
    return Held(best, looked, by, tags, _drawn(tags, code), least, loses, apart)


def _streams(learned: Learned, reference: float) -> list[Buyers]:
    """Streams of buyers as likely as each other, evenly taken from all of them by their weight."""
    from pithline.money.hold.buyers import Buyers, Exponential, Lognormal

    passed = np.cumsum(learned.weight)
    at = np.searchsorted(passed, (np.arange(_STREAMS) + 0.5) / _STREAMS * passed[-1])
    found = []
    for n in np.minimum(at, len(passed) - 1):
        size, spread = float(learned.size[n]) * reference, float(learned.spread[n])
        limits = Exponential(size) if learned.law == "exponential" else Lognormal(size, spread)
        found.append(Buyers(float(learned.per_month[n]), limits))
    return found


def _three(values: Sequence[float]) -> Three:
    """10, 50 and 90 % of streams that are alike likely."""
    low, mid, high = np.quantile(np.asarray(values, dtype=np.float64), (0.1, 0.5, 0.9))
    return float(low), float(mid), float(high)


def green_first(learned: Learned, green: float, dry: float, terms: Terms, till: TillDry) -> Choice:
    """Sell it green now, or dry first.

    Parameters
    ----------
    learned : Learned
    green, dry : float
        What it should bring green, and dried. [money]
    terms : Terms
    till : TillDry

    Notes
    -----
    Every stream of buyers meets the low, the middle and the high of the drying time, by 3, 4 and 3 in ten.
    An eighth of the worth is lost in drying: 8 to 40 % of slabs are downgraded and bring half, a guess.
    """
    from pithline.money.hold.waiting import TwoStates, green_or_dry, worth_later

    pairs = zip(_streams(learned, green), _streams(learned, dry), strict=True)
    made = [green_or_dry(TwoStates(one, other, 0.0, 0.0, _LOST), terms) for one, other in pairs]
    waits = [months for months, times in zip(till.months, (3, 4, 3), strict=True) for _ in range(times)]
    return Choice(
        till,
        _three([each.green_worth for each in made]),
        _three([worth_later(each.dry_worth, months, terms) for each in made for months in waits]),
        _three([min(each.longest, 1200.0) for each in made]),
    )


def _path(
    streams: list[Buyers],
    terms: Terms,
    today: datetime.date,
    months: float,
    salvage: float,
) -> tuple[Tag, ...]:
    """Prices to hang up until the day, for every stream; their middle and range."""
    from pithline.money.hold.deadline import Deadline, price_steps

    every = months / _TAGS
    paths = [price_steps(Deadline(1, months, salvage), each, terms, every) for each in streams]
    tags = []
    for n in range(_TAGS):
        day = today + datetime.timedelta(days=round(n * every * DAYS_A_MONTH))
        tags.append(Tag(day, _three([path[n][1][-1] for path in paths])))
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

"""How long a slab of the book still dries, until it is fit to be sold air-dry."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.money.months import DAYS_A_MONTH
from pithline.units import INCH
from pithline.web.drying.watch import AHEAD, outlook
from pithline.yard.drying_facts import drying_facts
from pithline.yard.models import Slab

__all__ = ["TillDry", "till_dry"]

_SOLD_AT = "fit to sell air-dry"
_LEAST = 0.1  # [month]
# A year an inch, from half to half more of it; common practice, no source.
_FOLK = (7 / 12, 1.0, 1.5)


@dataclass(frozen=True, slots=True)
class TillDry:
    """Time from today until a slab is dry.

    Attributes
    ----------
    months : tuple of float
        10, 50 and 90 %. [month]
    forecast : bool
    folk : float
        What is left of a year an inch. [month]
    told : str
        What it rests on, or why there is no forecast.
    """

    months: tuple[float, float, float]
    forecast: bool
    folk: float
    told: str


def till_dry(slab: Slab, today: datetime.date) -> TillDry:
    """Forecast the slab as its stack's page does, readings and all; else a year an inch.

    Notes
    -----
    A forecast looks three years ahead: what is not dry by then is taken to be dry at their end, and said.
    """
    try:
        facts = drying_facts(slab)
        made = outlook(facts, today)
    except BadValue as wrong:
        return _folk(slab, today, str(wrong))
    gone = max((today - facts.begins).days, 0) / DAYS_A_MONTH
    at = next(n for n, each in enumerate(made.milestones) if each.name == _SOLD_AT)
    known = made.learnt.days[1][at]
    left = [(day - made.today) / DAYS_A_MONTH for day in (known.low, known.mid, known.high)]
    years = f"{AHEAD / 365:.0f} years"
    if not math.isfinite(left[1]):
        return _folk(slab, today, f"by the forecast it is not dry within {years}")
    told = f"forecast to {made.milestones[at].moisture * 100:.0f} %"
    if readings := len(made.learnt.fits):
        told += f" with {readings} reading{'s' * (readings != 1)}"
    if not math.isfinite(left[2]):
        told += f"; one in ten or more not within {years}"
    low, mid, high = (max(each, _LEAST) if math.isfinite(each) else AHEAD / DAYS_A_MONTH for each in left)
    return TillDry((low, mid, high), True, max(12 * facts.thickness / INCH - gone, _LEAST), told)


def _folk(slab: Slab, today: datetime.date, why: str) -> TillDry:
    size = slab.sizes.filter(current=True, thickness_m__isnull=False).first()
    gone = max((today - (slab.sawn_on or today)).days, 0) / DAYS_A_MONTH
    year = 12 * (float(size.thickness_m) if size else INCH) / INCH
    low, mid, high = (max(part * year - gone, _LEAST) for part in _FOLK)
    return TillDry((low, mid, high), False, mid, why)

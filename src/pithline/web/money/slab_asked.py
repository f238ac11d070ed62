"""What the form on a slab's page asks by: a rate, how dry, until when; each refused by itself."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from django.http import QueryDict

from pithline.errors import BadValue
from pithline.money.months import DAYS_A_MONTH
from pithline.units import BOARD_FOOT
from pithline.yard.models import Dried

__all__ = ["SlabAsked", "slab_asked"]


@dataclass(frozen=True, slots=True)
class SlabAsked:
    """The form read.

    Attributes
    ----------
    rate : float or None
        The user's own of a plain green 1 in board. [money/bf]
    dried : str
        Of `Dried`, or "" for as it is.
    by : date
        When it should be gone.
    problems : mapping of field to reason
        What was refused; then the field counts as if it were empty.
    """

    rate: float | None
    dried: str
    by: datetime.date
    problems: Mapping[str, str] = field(default_factory=dict)


def slab_asked(query: QueryDict, code: str, day: datetime.date) -> SlabAsked:
    """Read the form from the page's address.

    Parameters
    ----------
    query : QueryDict
    code : str
        The book's currency.
    day : date
        Today.
    """
    problems: dict[str, str] = {}
    rate, by = None, day + datetime.timedelta(days=365)
    try:
        rate = _rate(query.get("rate", "").strip(), code)
    except BadValue as wrong:
        problems["rate"] = _reason(wrong)
    try:
        by = _day(query.get("by", "").strip(), day) or by
    except BadValue as wrong:
        problems["by"] = _reason(wrong)
    dried = query.get("dried", "")
    if dried and dried not in Dried.values:
        problems["dried"] = f"Must be one of {', '.join(Dried.values)}."
        dried = ""
    return SlabAsked(rate, dried, by, problems)


def _rate(text: str, code: str) -> float | None:
    from pithline.saw.written.price import price

    if not text:
        return None
    its = price(text, "rate", ("m3", "bf", "ft3"), 'Write "4 per bf".')
    if its.currency and code and its.currency != code:
        raise BadValue("rate", text, f"in {code}, the currency of this book", "Convert it at your own rate.")
    if not its.amount > 0:
        raise BadValue("rate", text, "more than 0", 'Write "4 per bf".')
    return its.amount * BOARD_FOOT


def _day(text: str, day: datetime.date) -> datetime.date | None:
    if not text:
        return None
    try:
        found = datetime.date.fromisoformat(text)
    except ValueError:
        raise BadValue("by", text, "a day", 'Write "2026-05-01".') from None
    if not 0.2 <= (found - day).days / DAYS_A_MONTH <= 120:
        raise BadValue("by", text, "a week ahead at least, and ten years at most", "Look at the year.")
    return found


def _reason(wrong: BadValue) -> str:
    return f"Must be {wrong.rule}. {wrong.remedy}".strip()

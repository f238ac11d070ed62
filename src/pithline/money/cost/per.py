"""Money per something, as a person writes it: ``2 USD per l``, ``0.60 per km``, ``240 per day``."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.money.cost.fuel import GALLON

__all__ = ["Per", "per", "per_cubic_metre_month", "per_day", "per_hour", "per_km", "per_litre", "per_month"]

_WRITTEN = re.compile(
    r"(?:(?P<before>[A-Za-z]{3})\s*)?(?P<amount>\d{1,12}(?:\.\d+)?)\s*(?P<after>[A-Za-z]{3})?"
    r"\s*(?:\bper\b|\ban?\b|/)\s*(?P<what>.+?)",
    re.IGNORECASE,
)
_MILE = 1.609344  # [km], exact: international mile (NIST SP 811, 2008, appendix B.8)
_CUBIC_FOOT = 0.3048**3  # [m3]


@dataclass(frozen=True, slots=True)
class Per:
    """So much money for one of something; `code` is "" where none was written."""

    value: float
    code: str
    field: str
    written: str


def _reader(known: Mapping[str, float], example: str) -> Callable[[object, str], Per]:
    def read(raw: object, field: str) -> Per:
        return per(raw, field, known, example)

    return read


def per(raw: object, field: str, known: Mapping[str, float], example: str) -> Per:
    """Read an amount for one of the known things.

    Parameters
    ----------
    raw : object
    field : str
        Named in a refusal.
    known : mapping
        Spelling to how many of the unit it is: a mile is 1.609 km.
    example : str

    Raises
    ------
    BadValue
        No amount, nothing that it is for, a decimal comma, a thing of another kind.
    """
    found = _WRITTEN.fullmatch(raw.strip()) if isinstance(raw, str) else None
    what = " ".join(found["what"].lower().split()) if found else ""
    if found is None or what not in known or (found["before"] and found["after"]):
        shown = list(dict.fromkeys(known))
        rule = f"an amount per {' or '.join(shown[:2])}"
        raise BadValue(field, raw, rule, f'Write "{example}": a point for decimals, none between thousands.')
    code = (found["before"] or found["after"] or "").upper()
    assert isinstance(raw, str)
    return Per(float(found["amount"]) / known[what], code, field, raw.strip())


def _all(names: str, size: float = 1.0) -> dict[str, float]:
    return dict.fromkeys(names.split(), size)


_MONTHLY = ("and month", "a month", "per month", "month")
per_hour = _reader(_all("h hour hr"), "45 per hour")
per_day = _reader(_all("day d"), "240 per day")
per_month = _reader(_all("month mo"), "90 per month")
per_km = _reader(_all("km kilometre kilometer") | _all("mile mi", _MILE), "0.60 per km")
per_litre = _reader(_all("l litre liter") | _all("gallon gal", GALLON), "2.00 per l")
per_cubic_metre_month = _reader(
    {f"m3 {word}": 1.0 for word in _MONTHLY} | {f"ft3 {word}": _CUBIC_FOOT for word in _MONTHLY},
    "6 per m3 and month",
)

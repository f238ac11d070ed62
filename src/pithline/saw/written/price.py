"""Money per something, as a person writes it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pithline import units
from pithline.errors import BadValue

__all__ = ["Price", "price"]

_WRITTEN = re.compile(
    r"(?:(?P<before>[A-Za-z]{3})\s*)?(?P<amount>\d+(?:\.\d*)?|\.\d+)\s*(?P<after>[A-Za-z]{3})?"
    r"\s*(?:\bper\b|/)\s*(?P<what>.+?)(?:\s+of\s+cut)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Price:
    """An amount of money for a quantity of something.

    Attributes
    ----------
    amount : float
        For one m3, one m2 or one slab. [money]
    unit : str
        As it was written: "bf", "m3", "1000 bf", "m2", "slab".
    currency : str
        Where the price itself named one, else "".
    written : str
    """

    amount: float
    unit: str
    currency: str
    written: str


def price(raw: object, field: str, kinds: tuple[str, ...], remedy: str) -> Price:
    """Read ``9.50 per bf``, ``USD 1200 per 1000 bf``, ``12 EUR/m2``, ``8 per slab``.

    Parameters
    ----------
    raw : object
    field : str
        Named in a refusal.
    kinds : tuple of str
        Units that make sense here; the first decides between volume, area and slab.
    remedy : str
        How to write it.

    Returns
    -------
    Price

    Raises
    ------
    BadValue
        No amount, no "per", a decimal comma, a unit of another kind, or an amount
        beyond ten million.
    """
    rule = f"an amount per {' or '.join(kinds)}"
    text = raw.strip() if isinstance(raw, str) else ""
    if re.search(r"\d[,'\s]\d", text):
        raise BadValue(field, raw, rule, f"Use a point for decimals and no mark between thousands. {remedy}")
    found = _WRITTEN.fullmatch(text)
    if found is None or (found["before"] and found["after"]):
        raise BadValue(field, raw, rule, remedy)
    amount, what = float(found["amount"]), found["what"].strip().lower()
    if not amount <= 1e7:
        raise BadValue(field, raw, "at most ten million", remedy)
    try:
        each = _size_of(what, kinds[0])
    except BadValue:
        raise BadValue(field, raw, rule, remedy) from None
    if not each > 0:
        raise BadValue(field, raw, rule, remedy)
    return Price(amount / each, what, (found["before"] or found["after"] or "").upper(), text)


def _size_of(what: str, kind: str) -> float:
    """SI size of what the money is for: ``bf``, ``1000 bf``, ``m2``, ``slab``."""
    if kind == "slab":
        return 1.0 if what in ("slab", "piece") else 0.0
    if kind == "kg":
        return units.mass(what if re.match(r"[\d.]", what) else f"1 {what}", "price")
    counted = what if re.match(r"[\d.]", what) else f"1 {what}"
    return units.area(counted, "price") if kind == "m2" else units.volume(counted, "price")

"""Money in the book: whole minor units of one currency, fixed at the first amount."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from pithline.errors import BadValue
from pithline.yard.models import Preference

__all__ = ["Amount", "amount", "currency", "digits", "minor_units", "settle", "shown"]

# Currencies whose minor unit is not a hundredth (ISO 4217, from memory).
_DIGITS = {"BHD": 3, "CLP": 0, "ISK": 0, "JOD": 3, "JPY": 0, "KRW": 0, "KWD": 3, "OMR": 3, "TND": 3, "VND": 0}
_WRITTEN = re.compile(r"(?:([A-Za-z]{3})\s*)?(\d{1,12}(?:\.\d+)?)\s*([A-Za-z]{3})?")


@dataclass(frozen=True, slots=True)
class Amount:
    """Money as a person wrote it; `code` is empty where they left the currency to the book."""

    value: Decimal
    code: str
    field: str
    written: str


def amount(raw: Any, field: str) -> Amount:
    """Read ``120 USD``, ``USD 95.50``, ``95.50``.

    Raises
    ------
    BadValue
        No amount, a decimal comma, thousands marked.
    """
    found = _WRITTEN.fullmatch(raw.strip()) if isinstance(raw, str) else None
    if found is None or (found[1] and found[3]):
        raise BadValue(
            field,
            raw,
            "an amount of money",
            'Write "120 USD" or "95.50": a point for decimals, no mark between thousands.',
        )
    return Amount(Decimal(found[2]), (found[1] or found[3] or "").upper(), field, raw.strip())


def currency() -> str:
    """The book's currency, or "" where no amount was entered yet."""
    row = Preference.objects.filter(name="currency").first()
    return str(row.value) if row else ""


def digits(code: str) -> int:
    """How many decimals the currency's smallest coin is away."""
    return _DIGITS.get(code, 2)


def settle(code: str, field: str) -> str:
    """Hold an amount's currency against the book's; the first one fixes it.

    Raises
    ------
    BadValue
        Another currency than the book's, or none while the book has none.
    """
    fixed = currency()
    if not fixed and not code:
        raise BadValue(
            field, "without a currency", "one with its code the first time", 'Write for instance "120 USD".'
        )
    if not fixed:
        # Not a change of the desk's: an undo must not take the currency from the amounts that followed.
        Preference.objects.create(name="currency", value=code)
    elif code and code != fixed:
        raise BadValue(field, code, f"in {fixed}, the currency of this book", "Convert it at your own rate.")
    return fixed or code


def minor_units(said: Amount | None) -> int | None:
    """An amount as the book keeps it, or None where none was said.

    Raises
    ------
    BadValue
        See `settle`; or finer than the currency's smallest coin.
    """
    if said is None:
        return None
    code = settle(said.code, said.field)
    whole = said.value.scaleb(digits(code))
    if whole != whole.to_integral_value():
        raise BadValue(said.field, said.written, f"no finer than the smallest coin of {code}", "Round it.")
    return int(whole)


def shown(minor: int | None, code: str | None = None) -> str:
    """Money as a person reads it: 95.50 USD; a dash where there is none."""
    if minor is None:
        return "–"
    code = currency() if code is None else code
    places = digits(code)
    return f"{Decimal(minor).scaleb(-places):.{places}f} {code}".rstrip()

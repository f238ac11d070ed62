"""Money as a person writes and reads it; a code is carried along, never guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from pithline.errors import BadValue

__all__ = ["Amount", "amount", "one_currency", "show_money"]

_WRITTEN = re.compile(r"(?:([A-Za-z]{3})\s*)?(\d{1,12}(?:\.\d+)?)\s*([A-Za-z]{3})?")


@dataclass(frozen=True, slots=True)
class Amount:
    """So much money; `code` is "" where none was written."""

    value: Decimal
    code: str
    field: str

    def __float__(self) -> float:
        return float(self.value)


def amount(raw: object, field: str = "amount") -> Amount:
    """Read ``400 USD``, ``USD 95.50``, ``95.50``.

    Raises
    ------
    BadValue
        No amount, a decimal comma, thousands marked.
    """
    found = _WRITTEN.fullmatch(raw.strip()) if isinstance(raw, str) else None
    if found is None or (found[1] and found[3]):
        remedy = 'Write "120 USD" or "95.50": a point for decimals, no mark between thousands.'
        raise BadValue(field, raw, "an amount of money", remedy)
    return Amount(Decimal(found[2]), (found[1] or found[3] or "").upper(), field)


def one_currency(amounts: Iterable[Amount | None]) -> str:
    """The one code among these amounts; "" where none names any.

    Raises
    ------
    BadValue
        Two codes.
    """
    code = ""
    for each in amounts:
        if each is None or not each.code:
            continue
        if code and each.code != code:
            remedy = "Convert it at a rate of your own."
            raise BadValue(each.field, f"in {each.code}", f"in {code} as the other amounts", remedy)
        code = each.code
    return code


def show_money(value: float, code: str = "") -> str:
    """Whole units from 100 on, cents below: 1476 USD, 9.50 USD."""
    if value in (float("inf"), float("-inf")):
        return "without end"
    shown = f"{value:.0f}" if abs(value) >= 100 else f"{value:.2f}"
    return f"{shown} {code}".rstrip()

"""Money as a person writes and reads it; a code is carried along, never guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Protocol

from pithline.errors import BadValue

__all__ = ["Amount", "amount", "named_in", "one_currency", "show_money"]

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


class _Coded(Protocol):
    @property
    def code(self) -> str: ...

    @property
    def field(self) -> str: ...


def one_currency(amounts: Iterable[_Coded | None]) -> str:
    """The one code among these amounts, or rates; "" where none names any.

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


def named_in(table: str, raw: Mapping[str, Any], code: str) -> str:
    """The field of a table as written that names a currency; the table where none does."""
    for name, value in raw.items():
        texts = value if isinstance(value, list | tuple) else [value]
        if any(isinstance(each, str) and code in each.upper().split() for each in texts):
            return f"{table}.{name}"
    return table


def show_money(value: float, code: str = "") -> str:
    """Whole units from 100 on, cents below: 1476 USD, 9.50 USD."""
    if value in (float("inf"), float("-inf")):
        return "without end"
    shown = f"{value:.0f}" if abs(value) >= 100 else f"{value:.2f}"
    return f"{shown} {code}".rstrip()

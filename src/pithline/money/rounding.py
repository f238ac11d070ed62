"""Money to the last cent: rounding once, and splitting without losing any."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

from pithline.errors import BadValue

__all__ = ["HALF_EVEN", "HALF_UP", "decimals", "round_money", "split_money"]

HALF_UP, HALF_EVEN = ROUND_HALF_UP, ROUND_HALF_EVEN

# ISO 4217 minor units other than 2 (from memory).
_NONE = {"JPY", "KRW", "ISK", "CLP"}
_THREE = {"KWD", "BHD", "TND", "OMR", "JOD"}


def decimals(code: str) -> int:
    """Digits behind the point that a currency's amounts carry, 2 where nothing else is known.

    ISO 4217, minor units (from memory); 2 for no code.
    """
    return 0 if code in _NONE else 3 if code in _THREE else 2


def round_money(value: Decimal, digits: int = 2, rule: str = HALF_UP) -> Decimal:
    """A figure as it becomes a document's amount: once, in decimal.

    Parameters
    ----------
    value : Decimal
        Never made from a binary float: 2.675 is not held by one.
    digits : int
    rule : {HALF_UP, HALF_EVEN}
        What a tie does; shops and most tax rules expect `HALF_UP`.

    Raises
    ------
    BadValue
        A float.

    >>> round_money(Decimal("2.675")), round_money(Decimal("2.665"), rule=HALF_EVEN)
    (Decimal('2.68'), Decimal('2.66'))
    """
    if not isinstance(value, Decimal):
        raise BadValue("amount", value, "a Decimal", "Make it from text or from whole cents.")
    return value.quantize(Decimal(1).scaleb(-digits), rounding=rule)


def split_money(total: Decimal, parts: Sequence[Decimal | int], digits: int = 2) -> tuple[Decimal, ...]:
    """Share an amount by weights so that the shares add up to it exactly.

    Parameters
    ----------
    total : Decimal
        Itself with no more digits than `digits`.
    parts : sequence of Decimal or int
        Weights, none negative, not all zero.
    digits : int

    Returns
    -------
    shares : tuple of Decimal
        Each rounded down, the cents left over given to the largest remainders, the first of equals.

    Raises
    ------
    BadValue
        Weights that say nothing, or a total finer than the last digit.

    >>> split_money(Decimal("0.05"), [1, 1, 1])
    (Decimal('0.02'), Decimal('0.02'), Decimal('0.01'))
    """
    cent = Decimal(1).scaleb(-digits)
    weights = [Decimal(part) for part in parts]
    whole = sum(weights)
    if not whole > 0 or any(weight < 0 for weight in weights):
        raise BadValue("shares", [str(w) for w in weights], "0 or more, and not all 0")
    if total != total.quantize(cent):
        raise BadValue("amount", str(total), f"in whole {cent}", "Round it first.")
    exact = [total * weight / whole for weight in weights]
    shares = [each.quantize(cent, rounding=ROUND_FLOOR) for each in exact]
    left = int((total - sum(shares)) / cent)
    order = sorted(range(len(exact)), key=lambda n: -(exact[n] - shares[n]))
    for n in order[:left]:
        shares[n] += cent
    return tuple(shares)

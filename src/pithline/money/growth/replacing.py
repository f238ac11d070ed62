"""How many years to keep a machine: what each year costs on average, by when it is sold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.money.growth.cash_flows import equivalent_annual

__all__ = ["Kept", "keeping"]


@dataclass(frozen=True, slots=True)
class Kept:
    """A machine kept so many years: present value of its cost, and the same spread over them.

    Attributes
    ----------
    years : int
    present : float
        [money]
    yearly : float
        [money/year]
    """

    years: int
    present: float
    yearly: float


def keeping(
    price: float, operating: Sequence[float], resale: Sequence[float], rate: float
) -> tuple[Kept, ...]:
    """Cost of keeping it one year, two, and so on; the least `yearly` is its economic life.

    Parameters
    ----------
    price : float
        [money]
    operating : sequence of float
        Of each year: fuel, repair, what it costs to stand still. [money]
    resale : sequence of float
        What it still brings at the end of each year. [money]
    rate : float
        [fraction/year]

    Raises
    ------
    BadValue
        No years, a figure below 0, or as many resale values as there are not years.

    Notes
    -----
    (P + PV(operating, 1..n) - resale_n/(1 + k)^n)/AF(k, n): textbook form, from memory.
    """
    if not operating or len(operating) != len(resale):
        counts = f"{len(operating)} years, {len(resale)} resale values"
        raise BadValue("resale", counts, "one for each year", "Write 0 where it brings nothing.")
    for name, values in (("price", [price]), ("operating", operating), ("resale", resale)):
        if not all(value >= 0 for value in values):
            raise BadValue(name, list(values), "0 or more")
    found, spent = [], price
    for n, (cost, left) in enumerate(zip(operating, resale, strict=True), 1):
        spent += cost / (1 + rate) ** n
        present = spent - left / (1 + rate) ** n
        found.append(Kept(n, present, equivalent_annual(present, rate, n)))
    return tuple(found)

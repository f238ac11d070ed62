"""What a log of the book gave beside its slabs, at the prices that were said of it while it was on offer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pithline.errors import BadValue, Refused
from pithline.money.offered.by_products import by_products
from pithline.money.offered.written import read_by_products
from pithline.yard.models import Log, Plan

__all__ = ["Beside", "beside"]


@dataclass(frozen=True, slots=True)
class Beside:
    """By-products of a log.

    Attributes
    ----------
    lines : tuple of (what, amount)
        [money]
    remarks : tuple of str
        What could not be counted, and what the volumes rest on.
    """

    lines: tuple[tuple[str, float], ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def total(self) -> float:
        """[money]"""
        return sum(amount for _, amount in self.lines)


def beside(log: Log, slabs: float) -> Beside:
    """Firewood, opening slab, blanks and sawdust of one log.

    Parameters
    ----------
    log : Log
    slabs : float
        Of its measured slabs, as sawn. [m3]

    Notes
    -----
    Log, kerf and opening piece are those of the chosen plan; without one the log as it was measured, and
    nothing is known of dust.
    """
    if not log.worth:
        return Beside()
    try:
        by = read_by_products(log.worth)
    except BadValue as wrong:
        return Beside((), (f"by-products are left out: {wrong}",))
    if not (by.firewood or by.opening or by.blanks * by.blank_price or by.sawdust):
        return Beside()
    plan = log.plans.filter(chosen=True).first()
    whole, kerf, opening = _planned(plan) if plan else (_measured(log), 0.0, 0.0)
    remarks = ["by-products at the prices said while it was on offer; what they took in hours is not off"]
    if by.firewood and not whole:
        remarks.append("the log was not measured: no firewood is counted")
    if (by.firewood or by.sawdust) and not plan:
        remarks.append("no plan was chosen: the kerf counts as firewood, not as sawdust")
    made = by_products(by, whole or slabs, slabs, kerf, opening)
    lines = tuple((what, float(amount)) for what, amount in made.items() if amount > 0)
    return Beside(lines, tuple(remarks))


def _planned(plan: Plan) -> tuple[float, float, float]:
    """Log, kerf and opening piece of a plan. [m3]"""
    ledger: dict[str, Any] = plan.answer.get("where_the_wood_went", {})
    lines = {line["name"]: float(line["volume_m3"]) for line in ledger.get("lines", ())}
    return float(ledger.get("log_m3", 0.0)), lines.get("kerf", 0.0), lines.get("opening piece", 0.0)


def _measured(log: Log) -> float:
    from pithline.log.volume import volume_by_integration
    from pithline.log.written import TOP_IS_WIDER, from_table

    if log.record is None:
        return 0.0
    tables = {name: log.record[name] for name in ("log", "lie") if name in log.record}
    try:
        return float(volume_by_integration(from_table(tables, {TOP_IS_WIDER}).to_shape()))
    except Refused:
        return 0.0

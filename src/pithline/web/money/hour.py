"""An hour of the saw and of a person, step by step, each with the answers that it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs

__all__ = ["METHOD", "HourLine", "hour_lines"]

METHOD = (
    "Machine rate: Miyata, USDA Forest Service GTR NC-55, 1980 (formulas from memory); "
    "FAO Forestry Paper 99, 1992, chapter 3 (opening read)."
)
"""Where the steps are from."""


@dataclass(frozen=True, slots=True)
class HourLine:
    """One step: what it is, its value with its unit, and the fields behind it."""

    what: str
    value: str
    rests_on: str


def hour_lines(costs: Costs) -> tuple[HourLine, ...]:
    """Every step of the machine rate, the person, both together, and a kilometre."""
    rate, code = costs.saw_rate, costs.currency
    both = rate.per_productive + costs.wage / costs.saw.utilisation
    per = f"{code} a cutting hour".strip()
    return (
        HourLine("Cutting hours a year", f"{rate.hours:.0f} h", "hours a year, working share"),
        HourLine("Depreciation", f"{rate.depreciation:.2f} {code} a year", "price, what is left, saw's life"),
        HourLine(
            "Interest and insurance",
            f"{rate.interest + rate.insurance + rate.tax:.2f} {code} a year",
            f"of the average investment, {rate.investment:.0f} {code}",
        ),
        HourLine("Fixed", f"{rate.fixed_productive:.2f} {per}", "the two lines above over the cutting hours"),
        HourLine(
            f"Fuel, {rate.litres:.2f} l", f"{rate.fuel:.2f} {per}", "power, load, what the engine needs"
        ),
        HourLine("Oil", f"{rate.lube:.2f} {per}", "share of the fuel's cost"),
        HourLine("Repair", f"{rate.repair:.2f} {per}", "share of depreciation"),
        HourLine(
            "Chains, bars, files",
            f"{rate.consumables + rate.wear:.2f} {per}",
            "a chain's price over its life",
        ),
        HourLine("The saw", f"{rate.per_productive:.2f} {per}", "fixed, fuel, oil, repair, chains"),
        HourLine("One person", f"{costs.wage:.2f} {code} a paid hour", "a day's wage with what comes on top"),
        HourLine("Saw and person", f"{both:.2f} {per}", "the person's paid hour over the working share"),
        HourLine(
            "The same", f"{both * costs.saw.utilisation:.2f} {code} a paid hour", "times the working share"
        ),
        HourLine("A kilometre", f"{costs.per_km:.2f} {code}", "as you said"),
    )

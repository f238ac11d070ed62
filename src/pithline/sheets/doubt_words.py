"""A doubtful figure as page, paper and terminal say it: both ends with their unit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pithline.money.offered.doubt_units import UNITS
from pithline.units import System, show_length, show_slope

if TYPE_CHECKING:
    from pithline.money.doubt import Swing

__all__ = ["doubt_span"]


def doubt_span(doubt: Swing, system: System) -> str:
    """From its low to its high: "2.30 m to 2.70 m", "60 to 100 %"."""
    unit, ends = UNITS[doubt.name], (doubt.low, doubt.high)
    if unit == "m":
        return " to ".join(show_length(each, system, "long") for each in ends)
    if unit == "m/m":
        return " to ".join(show_slope(each, system) for each in ends)
    if unit == "fraction":
        return " to ".join(f"{each * 100:.3g}" for each in ends) + " %"
    if unit == "h" and doubt.high < 1:
        return " to ".join(f"{each * 60:.3g}" for each in ends) + " min"
    return " to ".join(f"{each:.3g}" for each in ends) + (" months" if unit == "month" else " h")

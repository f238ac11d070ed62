"""How the trade counts a live-edge slab."""

from __future__ import annotations

from enum import StrEnum

__all__ = ["TallyRule", "TallyUnit"]


class TallyRule(StrEnum):
    """Which width counts."""

    NARROW = "narrow face"
    MEAN = "mean of faces"
    WIDE = "wide face"
    SOLID = "true volume"


class TallyUnit(StrEnum):
    """What is counted, and at which thickness."""

    BF_NOMINAL = "bf, nominal thickness, published rounding"
    BF_SAWN = "bf as sawn"
    M3 = "m3"

"""A log that can be reckoned by hand: a squared beam, 400 mm wide, 401 mm tall, 2 m long, without bark.

Its faces lie half a millimetre off the planner's grid, so that no line runs along an edge.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims, SizeKind, ThicknessAim
from pithline.saw.mill import Mill
from pithline.saw.plan import Plan
from pithline.saw.planning import plan
from pithline.saw.rates import Rates
from pithline.saw.timber import Timber

__all__ = ["AIMS", "LENGTH", "LIE", "MILL", "RATES", "TIMBER", "beam", "green", "sawn"]

LENGTH, TALL = 2.0, 0.2005
MILL = Mill(bar=0.9, bar_lost=0.1, kerf=0.010)
LIE = Lie(pith_butt=0.24, pith_top=0.24, bearer_butt=0.0395, bearer_top=0.0395)
TIMBER = Timber("a wood", 0.03, 0.07, 900.0, 1000.0, 1100.0)
RATES = Rates("EUR", (), 1000.0)  # a cubic metre


def green(mm: int) -> ThicknessAim:
    """One entry of the menu."""
    return ThicknessAim(f"{mm} mm green", SizeKind.GREEN, mm / 1000)


# The pith costs nothing here, so that slabs are worth the same wherever they lie.
AIMS = Aims((green(100),), least_width=0.1, least_length=1.0, pith_deduction=0.0)


def beam(butt: float = 0.4, top: float = 0.4) -> LogShape:
    """The beam, level faces, as wide at its ends as said. [m]"""
    square = np.array([[-0.5, -TALL], [0.5, -TALL], [0.5, TALL], [-0.5, TALL]])
    ends = np.stack([square * [butt, 1.0], square * [top, 1.0]])
    return LogShape.of(np.array([0.0, LENGTH]), ends, np.zeros(2))


def sawn(
    shape: LogShape | None = None, *, lie: Lie = LIE, mill: Mill = MILL, compare: bool = False, **aims: object
) -> Plan:
    """The plan of the beam, with some of the aims changed."""
    wanted = replace(AIMS, **aims)
    return plan(shape or beam(), lie, mill, wanted, RATES, TIMBER, compare=compare)

"""A plan worked out by hand: a cone with its pith off the middle, so that every figure has a formula."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.log.zones import Zone, ZoneKind
from pithline.saw.aims import Aims, SizeKind, ThicknessAim
from pithline.saw.mill import Mill
from pithline.saw.plan import (
    Cut,
    Doubt,
    Ledger,
    LedgerLine,
    Plan,
    PlannedSlab,
    RailSetup,
    Spread,
    Way,
    Worth,
)
from pithline.saw.rates import Rates, Step
from pithline.slab.outline import SlabOutline

LENGTH, BUTT, TOP, BARK = 4.2, 0.36, 0.29, 0.02
CENTRE = (0.02, 0.03)  # of the circles, from the pith
KERF, GREEN, OPENING = 0.009, 0.080, 0.318  # first face above the pith
TALLEST = 5  # slabs


def radius(z: float) -> float:
    """Of the cone under bark. [m]"""
    return BUTT + (TOP - BUTT) * z / LENGTH


def edges(u: float, z: float, bark: float = 0.0) -> tuple[float, float]:
    """Left and right end of the chord at height `u` above the pith. [m]"""
    half = math.sqrt(max((radius(z) + bark) ** 2 - (u - CENTRE[1]) ** 2, 0.0))
    return CENTRE[0] - half, CENTRE[0] + half


def hand_plan(slabs: int = TALLEST, green: float = GREEN, currency: str = "EUR") -> Plan:
    """Slabs of one thickness from the top down, faces parallel to the pith."""
    turn = np.linspace(0, 2 * np.pi, 180, endpoint=False)
    circle = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    z = np.linspace(0, LENGTH, 9)
    outlines = np.stack([circle * radius(s) + CENTRE for s in z])
    zones = (
        Zone(ZoneKind.ROT, 0.0, 0.6, 0.05, -0.12, 0.06, "soft heart"),
        Zone(ZoneKind.FIGURE, 2.6, 3.6, -0.15, 0.10, 0.08),
    )
    shape = LogShape.of(z, outlines, np.full(9, BARK), zones=zones)
    lie = Lie(pith_butt=0.44, pith_top=0.40, bearer_butt=0.09, bearer_top=0.12)
    quarters = ThicknessAim("12/4", SizeKind.ROUGH_DRY, 0.0762, 12)
    mill, rates = Mill(), Rates(currency, (("12/4", 900.0),), 600.0, (Step(0.5, 0.15),), (), 0.3, 4.0, 2.0)
    cuts, made = [], []
    for i in range(slabs + 1):
        upper = OPENING + KERF - i * (green + KERF)
        face = upper - KERF
        ends = [edges(u, s, BARK) for s in z for u in (upper, face)]
        width = max(right - left for left, right in ends)
        area = float(np.trapezoid([edges(face, s, BARK)[1] - edges(face, s, BARK)[0] for s in z], z))
        minutes = area * mill.minutes_per_area + mill.minutes_per_cut
        set_to = 0.12 if i == 0 else green
        frees = "opening piece" if i == 0 else f"slab {i}"
        cuts.append(Cut(i + 1, 1, upper, set_to, face, face, width, width + 0.02, area, minutes, frees))
        if i:
            top = OPENING - (i - 1) * (green + KERF)
            low = top - green
            faces = [np.array([edges(u, s) for s in z]) for u in (top, low)]
            outline = SlabOutline(z, faces[0], faces[1], green)
            mean = (outline.upper_width + outline.lower_width) / 2
            solid = float(np.trapezoid(mean, z)) * green
            tally = float(np.trapezoid(mean, z)) * (LENGTH - 0.1) / LENGTH * green
            width = float(mean.mean())
            made.append(
                PlannedSlab(
                    number=i,
                    aim=quarters,
                    upper=top,
                    lower=low,
                    outline=outline,
                    start=0.05,
                    end=LENGTH - 0.05,
                    least_width=float(outline.narrow_width.min()),
                    mean_width=width,
                    rough_dry=green * 0.96,
                    finished=green * 0.96 - 0.012,
                    dry_width=width * 0.95,
                    solid=solid,
                    tally=tally,
                    value=tally * 900.0,
                    own_cost=2.0,
                    weight=solid * 980.0,
                    weight_high=solid * 1050.0,
                    flat=0.6,
                    rift=0.3,
                    quarter=0.1,
                    holds_pith=low < 0 < top,
                    figure_share=0.1 if i == 2 else 0.0,
                )
            )
    value, cost = sum(s.value for s in made), sum(c.area for c in cuts) * 4.0 + 2.0 * len(made)
    log = float(np.trapezoid([math.pi * radius(s) ** 2 for s in z], z))
    held = sum(s.solid for s in made)
    ledger = Ledger(
        log,
        (LedgerLine("slabs", held), LedgerLine("everything else", log - held, "kerf, opening, ground")),
        (Worth("start height", 12.0, "first line 4 mm higher"),),
    )
    setup = RailSetup(0.438, 0.438, 0.878, 0.838, 0.035, 0.09, 0.12, 0.45, 0.35, 0.41,
                      0.44 + cuts[-1].face_top, ("Raise the top end 28 mm on the bracket.",))  # fmt: skip
    tally = sum(s.tally for s in made)
    net = value - cost
    return Plan(
        shape=shape,
        lie=lie,
        mill=mill,
        aims=Aims((quarters,)),
        rates=rates,
        roll=0.0,
        pitch=0.0,
        step=0.001,
        kerf=KERF,
        cuts=tuple(cuts),
        slabs=tuple(made),
        value=value,
        cost=cost,
        net=net,
        ledger=ledger,
        setup=setup,
        net_spread=Spread(net * 0.9, net, net * 1.08),
        tally_spread=Spread(tally * 0.93, tally, tally * 1.06),
        ways=(Way("one thickness", net, tally, slabs, slabs + 1, 9.0, 90.0, chosen=True),),
        doubts=(Doubt("log.bark", "20 mm", "15 mm", "25 mm", net + 21, net - 34, 34.0),),
        remarks=("The log's roll was taken as it lies.",),
    )


@pytest.fixture
def plan() -> Plan:
    """Five slabs of 80 mm green and six cuts."""
    return hand_plan()


@pytest.fixture
def long_plan() -> Plan:
    """As many cuts as one page has to hold: nineteen slabs of 24 mm and twenty cuts."""
    return hand_plan(19, 0.024)

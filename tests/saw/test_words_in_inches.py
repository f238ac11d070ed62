"""A plan's sentences tell sizes in the system that was asked for, and weights on the safe side."""

from __future__ import annotations

import math
import re

import numpy as np

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.log.zones import Zone, ZoneKind
from pithline.saw.aims import Aims, SizeKind, ThicknessAim
from pithline.saw.mill import Mill
from pithline.saw.plan import Plan
from pithline.saw.planning import plan
from pithline.saw.rates import Rates
from pithline.saw.timber import Timber
from pithline.units import POUND, System

METRIC = re.compile(r"\d (mm|cm|m|t|kg|m²|m³)\b|mm/m")
RADIUS, BARK, LENGTH, HEAVIEST = 0.3, 0.01, 3.0, 1037.0


def cone(system: System) -> Plan:
    turn = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    end = RADIUS * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    shape = LogShape.of(
        np.array([0.0, LENGTH]),
        np.stack([end, 0.8 * end]),
        np.array([BARK, BARK]),
        zones=(Zone(ZoneKind.METAL, 0.5, 0.6, 0.29, 0.0, 0.01),),
    )
    return plan(
        shape,
        Lie(0.4, 0.3, 0.09, 0.05),
        Mill(kerf=0.0085),
        Aims((ThicknessAim("2 in green", SizeKind.GREEN, 0.0508),)),
        Rates("USD", (), 800.0, per_slab=2.0),
        Timber("a wood", 0.03, 0.06, 900.0, 950.0, HEAVIEST),
        system=system,
    )


def sentences(plan: Plan) -> list[str]:
    notes = [w.note for w in plan.ways] + [w.note for w in plan.ledger.worths]
    return [*plan.remarks, *plan.setup.remarks, *notes]


def test_no_sentence_is_metric_for_who_asked_for_inches() -> None:
    assert [s for s in sentences(cone("inch")) if METRIC.search(s)] == []
    # The search finds what it should: metal, rail, slope, start height, pitch and weight.
    assert sum(bool(METRIC.search(s)) for s in sentences(cone("metric"))) >= 6


def test_the_log_to_be_turned_is_never_told_lighter_than_its_heaviest() -> None:
    over = math.pi / 3 * LENGTH * ((r := RADIUS + BARK) ** 2 + r * (s := 0.8 * RADIUS + BARK) + s**2)
    most = over * HEAVIEST
    for system, unit, each in (("metric", "kg", 1.0), ("inch", "lb", POUND)):
        (note,) = (w.note for w in cone(system).ways if w.name == "sawn from both sides")  # type: ignore[arg-type]
        told = re.search(rf"up to (\d+) {unit}", note)
        # Rounded up to whole 100 kg; the polygon of 90 sides holds 0.1 % less than the circle.
        assert told
        assert 0.999 * most <= float(told[1]) * each <= most + 101

"""Sheets and planner mean the same by roll, heights and names."""

from __future__ import annotations

import numpy as np
import pytest

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims, BarkWay, SizeKind, ThicknessAim
from pithline.saw.mill import Mill
from pithline.saw.plan import Plan
from pithline.saw.planning import plan as make_plan
from pithline.saw.rates import Rates
from pithline.saw.timber import Timber
from pithline.sheets.if_late import stops
from pithline.sheets.placing import chord, ground, kerf_at, rolled, slab_at, slabs_of
from pithline.sheets.sheet_words import TURN, heads, rows

WOOD = Timber("a wood", 0.03, 0.06, 900.0, 950.0, 1000.0)


def worked_out(**aims: object) -> Plan:
    """A lopsided oval, so that a wrong sense of roll shows."""
    turn = np.linspace(0, 2 * np.pi, 120, endpoint=False)
    oval = np.stack([0.42 * np.cos(turn), 0.30 * np.sin(turn)], axis=-1)
    z = np.linspace(0, 3.0, 4)
    outlines = np.stack([oval * (1 - 0.05 * s) + (0.04, 0.01) for s in z])
    shape = LogShape.of(z, outlines, np.full(4, 0.012))
    menu = (ThicknessAim("12/4", SizeKind.ROUGH_DRY, 0.0762, 12),)
    return make_plan(
        shape,
        Lie(0.34, 0.30, 0.02, 0.02),
        Mill(bar=1.2),
        Aims(menu, **aims),  # type: ignore[arg-type]
        Rates("EUR", (), 800.0, per_cut_area=3.0),
        WOOD,
        compare=False,
    )


@pytest.mark.parametrize("roll", [0.0, 0.7, -1.1])
def test_faces_drawn_at_the_butt_are_those_that_the_planner_found(roll: float) -> None:
    plan = worked_out(roll=roll)
    for end, station in ((0.0, 0), (plan.shape.length, -1)):
        outline = rolled(plan.shape.outlines[station], plan.roll)
        for slab in plan.slabs:
            lower, upper = slab_at(plan, slab, end)
            assert chord(outline, upper) == pytest.approx(tuple(slab.outline.upper[station]), abs=1e-6)
            assert chord(outline, lower) == pytest.approx(tuple(slab.outline.lower[station]), abs=1e-6)


def test_kerfs_drawn_end_at_the_face_that_the_table_gives() -> None:
    plan = worked_out(pitch=0.01)
    for cut in plan.cuts:
        assert kerf_at(plan, cut, 0.0)[0] == pytest.approx(cut.face_butt)
        assert kerf_at(plan, cut, plan.shape.length)[0] == pytest.approx(cut.face_top)


def test_the_ground_is_where_the_rail_box_says() -> None:
    plan = worked_out()
    assert ground(plan) == pytest.approx((-plan.lie.pith_butt, -plan.lie.pith_top))


def test_a_log_sawn_from_both_sides_frees_every_slab_once() -> None:
    plan = worked_out(both_sides=True)
    assert {c.side for c in plan.cuts} == {1, 2}
    freed = [s.number for c in plan.cuts for s in slabs_of(plan, c)]
    assert sorted(freed) == [s.number for s in plan.slabs]
    told = rows(plan, "metric")
    assert told.count([TURN]) == 1
    assert len(told) == len(plan.cuts) + 1
    assert stops(plan)[-1].net == pytest.approx(plan.net)


def test_the_width_column_says_what_the_bar_passes() -> None:
    for bark, told in ((BarkWay.ON, "over bark, mm"), (BarkWay.OFF, "under bark, mm")):
        assert told in heads(worked_out(bark=bark), "metric")[1]

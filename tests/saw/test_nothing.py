"""Why nothing can be sawn: the limit that is in the way, and the way out, checked by taking it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pithline.errors import BadValue, NoPlan
from pithline.saw.aims import PithRule
from pithline.saw.planning import plan
from pithline.saw.rates import Rates
from tests.saw.beam import AIMS, LIE, MILL, TIMBER, beam, green, sawn


def test_a_short_bar_says_how_much_width_must_come_off_and_where():
    # The beam narrows from 400 to 300 mm over 2 m, 50 mm a metre; the bar passes 468 - 100 - 20 = 348 mm.
    # Over it by 52 mm at the butt, and still by 2 mm at 1.00 m, the last of the plan's stations (50 mm apart)
    # before 1.04 m.
    with pytest.raises(NoPlan) as told:
        sawn(beam(0.4, 0.3), mill=replace(MILL, bar=0.468))
    assert "the widest is 400 mm over bark at 0.00 m from the butt, your bar cuts 348 mm" in str(told.value)
    assert "(368 mm less 20 mm clearance)" in str(told.value)
    assert "Take 52 mm off the width at 0.00 m from the butt, 2 mm at 1.00 m" in str(told.value)
    assert "or use a bar of 520 mm or longer" in str(told.value)
    assert sawn(beam(0.4, 0.3), mill=replace(MILL, bar=0.520)).slabs
    # Trimmed as told, it goes too.
    assert sawn(beam(0.348, 0.3), mill=replace(MILL, bar=0.468)).slabs


def test_a_rolled_log_is_measured_across_the_bar():
    # A quarter turn puts the 401 mm across.
    with pytest.raises(NoPlan, match="the widest is 401 mm over bark"):
        sawn(mill=replace(MILL, bar=0.468), roll=math.pi / 2)


def test_a_log_too_low_says_how_far_to_raise_it():
    # Slabs of 300 mm: the lowest first kerf that frees one must reach 191 - 300 - 10 = -119 mm at its lower
    # side, and the ground (pith at 100 mm, 60 mm for the saw) ends at -40 mm.
    low = replace(LIE, pith_butt=0.10, pith_top=0.10)
    with pytest.raises(NoPlan, match=r"lies too low.*Raise it on bearers by about") as told:
        sawn(lie=low, thicknesses=(green(300),))
    raised = float(str(told.value).split("by about ")[1].split(" mm")[0]) / 1000
    lifted = replace(low, pith_butt=0.10 + raised + 1e-9, pith_top=0.10 + raised + 1e-9)
    assert sawn(lie=lifted, thicknesses=(green(300),)).slabs


def test_costs_that_eat_every_slab_are_named():
    with pytest.raises(NoPlan, match="No slab pays for its own cut"):
        plan(beam(), LIE, MILL, AIMS, Rates("EUR", (), 1.0, per_slab=50.0), TIMBER)


def test_a_pith_rule_that_leaves_nothing_is_named():
    # A slab of 220 mm on either side of the pith is more than 200.5 mm.
    with pytest.raises(NoPlan, match="pith rule"):
        sawn(thicknesses=(green(220),), pith=PithRule.THROUGH, lie=replace(LIE, pith_butt=0.5, pith_top=0.5))


def test_wishes_larger_than_the_log_are_named():
    with pytest.raises(
        NoPlan, match=r"No slab reaches 500 mm in width over 1.00 m in this log \(widest 400 mm\)"
    ):
        sawn(least_width=0.5)
    with pytest.raises(NoPlan, match=r"No slab can be 1\.95 m long: 1\.90 m is left between the end trims"):
        sawn(least_length=1.95)


def test_a_rail_too_short_is_refused_before_anything_is_reckoned():
    with pytest.raises(BadValue, match=r"mill.rail is .2\.50 m.; it must be 2\.60 m or longer for this log"):
        sawn(mill=replace(MILL, rail=2.5))

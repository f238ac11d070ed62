"""The rail for the first cut, against a beam worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pithline.log.lie import Lie
from pithline.saw.aims import Following
from tests.saw.beam import LIE, MILL, beam, green, sawn


def test_heights_of_a_level_rail():
    # First kerf at 160 mm above the pith. The wood ends at 200.5 mm and the rail wants 10 mm of air, so
    # 50.5 mm would do; but the bracket screws go 90 mm down and want 15 mm to the kerf: 105 mm. Rail: 160 +
    # 105.
    s = sawn().setup
    assert s.first_depth == pytest.approx(0.105)
    assert (s.rail_butt, s.rail_top) == pytest.approx((0.265, 0.265))
    assert (s.ledge_butt, s.ledge_top) == pytest.approx((0.0645, 0.0645))  # 265 - 200.5
    assert (s.above_ground_butt, s.above_ground_top) == pytest.approx((0.505, 0.505))  # 265 + 240
    assert (s.screws_low, s.screws_high) == pytest.approx((0.175, 0.235))  # 265 - 90, 265 - 30
    assert s.last_face_above_ground == pytest.approx(0.060)  # 240 - 180
    assert s.overhang == pytest.approx(0.300)
    assert s.remarks == ("The rail must be 2.60 m long or more.",)


def test_heights_of_a_pitched_rail():
    # 10 mm/m: first kerf at 170 mm at mid-length, the rail 105 mm over it, 10 mm lower at the butt.
    s = sawn(follow=Following.GIVEN, pitch=0.01).setup
    assert (s.rail_butt, s.rail_top) == pytest.approx((0.265, 0.285))
    assert (s.ledge_butt, s.ledge_top) == pytest.approx((0.0645, 0.0845))
    assert s.last_face_above_ground == pytest.approx(0.060)  # at the butt
    # At the top the wood ends 84.5 mm below the rail; with 20 mm to hold in a screw would sit 104.5 mm down,
    # 0.5 mm off the kerf.
    assert s.remarks[1].startswith("At the top too little wood stays above the first cut to hold a bracket:")


def test_a_deeper_first_cut_leaves_wood_for_longer_brackets():
    # Slabs of 300 mm: the kerf starts at -170 + 310 = 140 mm. Screws of 60 mm: 75 mm deep, but the rail must
    # clear the wood: 200.5 + 10 - 140 = 70.5 mm. Rail 215 mm; screws at 155 mm hold in wood.
    made = sawn(thicknesses=(green(300),), mill=replace(MILL, screw_high=0.06))
    assert made.setup.first_depth == pytest.approx(0.075)
    assert made.setup.screws_low == pytest.approx(0.155)
    assert len(made.setup.remarks) == 1


def test_a_mill_too_shallow_for_its_brackets_says_so():
    # The kerf and 100 mm of slab need 110 mm of depth, and 105 + 10 mm would be needed above the screws.
    s = sawn(mill=replace(MILL, depth_max=0.112)).setup
    assert s.first_depth == pytest.approx(0.051)  # 50.5 mm, on the grid
    assert any(r.startswith("The first cut comes near the bracket screws:") for r in s.remarks)


def test_a_given_rail_is_shared_out_to_both_ends():
    s = sawn(mill=replace(MILL, rail=3.0)).setup
    assert s.overhang == pytest.approx(0.5)
    assert not any("rail must be" in r for r in s.remarks)


def test_a_log_that_slopes_is_said_to():
    # Pith 240 mm above the ground at the butt, 300 mm at the top, 2 m apart: 30 mm/m up.
    s = sawn(lie=Lie(0.24, 0.30, 0.04, 0.10)).setup
    assert any(r.startswith("The log lies up towards the top by 30") for r in s.remarks)
    assert (s.above_ground_butt, s.above_ground_top) == pytest.approx((0.505, 0.565))


def test_the_rail_of_a_log_turned_over():
    # Lowest kerf -200 to -210 mm. From the other side its near face lies 210 mm from the pith; the brackets
    # want 105 mm above it: rail at 315 mm. Slab 2, still 100 mm thick, is what the last cut passes over.
    made = sawn(both_sides=True)
    assert made.cuts[2].set_to == pytest.approx(0.105)
    told = " ".join((*made.remarks, *made.setup.remarks))
    assert "Turned over: rail's underside above the pith mark 315 mm at the butt, 315 mm at the top" in told
    assert "After cut 2 turn the log over onto its sawn face" in told
    # The last cut before turning has its lower side at 10 mm.
    assert made.setup.last_face_above_ground == pytest.approx(0.250)


def test_a_thin_last_slab_wants_bearers_once_turned_over():
    # Slabs of 40 mm are less than the 60 mm that the saw needs below the kerf.
    made = sawn(both_sides=True, thicknesses=(green(40),))
    told = " ".join(made.setup.remarks)
    assert "Lay the turned log on bearers of 20 mm or more: its last cut passes 40 mm above the face" in told


def test_ground_that_rises_beside_the_log_lifts_the_last_cut():
    # 20 % over half the width of 400 mm: 40 mm more than the 60 mm of the saw; no kerf below -140 mm.
    made = sawn(lie=replace(LIE, side_slope=0.2))
    assert made.cuts[-1].face_butt == pytest.approx(-0.140)
    # A ditch of 40 mm for the powerhead gives it back.
    dug = sawn(lie=replace(LIE, side_slope=0.2, powerhead_room=0.04))
    assert dug.cuts[-1].face_butt == pytest.approx(-0.180)


def test_a_rolled_log_rests_on_its_bearers():
    # Rolled a quarter, the beam stands 400 mm tall on bearers of 39.5 mm: pith at 239.5 mm.
    s = sawn(beam(), roll=1.5707963267948966).setup
    assert s.above_ground_butt - s.rail_butt == pytest.approx(0.2395)

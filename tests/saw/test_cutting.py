"""The cuts in sawing order, against a beam worked out by hand."""

from __future__ import annotations

import pytest

from pithline.saw.aims import Following, PithRule
from pithline.saw.plan import Plan
from tests.saw.beam import LIE, MILL, green, sawn


def mm(values: list[float]) -> list[float]:
    return [round(1000 * value, 3) for value in values]


def test_cuts_lie_as_low_as_the_ground_lets_them():
    # The saw needs 60 mm under the kerf and the pith lies at 240 mm: no kerf below -180 mm. Three slabs
    # of 100 mm and four kerfs of 10 mm take 340 mm, and four slabs with five kerfs would take 450 of 401 mm.
    # Every start from 160 mm up is worth the same; of equals the lowest is taken.
    made = sawn()
    assert mm([c.upper for c in made.cuts]) == [160, 50, -60, -170]
    assert mm([c.face_butt for c in made.cuts]) == [150, 40, -70, -180]
    assert mm([c.face_top for c in made.cuts]) == [150, 40, -70, -180]
    assert [c.frees for c in made.cuts] == ["opening piece", "slab 1", "slab 2", "slab 3"]
    assert mm([s.upper for s in made.slabs]) == [150, 40, -70]
    assert mm([s.lower for s in made.slabs]) == [50, -60, -170]


def test_width_area_and_minutes_of_a_cut():
    # 400 mm wide and 2 m long: 0.8 m2; at 5 min/m2 and 6 min a cut, 10 min. Bar: 400 mm + 20 mm clearance.
    for cut in sawn().cuts:
        assert (cut.width, cut.bar_needed) == pytest.approx((0.400, 0.420))
        assert (cut.area, cut.minutes) == pytest.approx((0.8, 10.0))


def faces_from_settings(made: Plan, rail: float) -> list[float]:
    """Each new face from the one before, as a sawyer who only sets the mill gets it."""
    faces, guide = [], rail
    for cut in made.cuts:
        guide -= cut.set_to + made.kerf
        faces.append(guide)
    return faces


@pytest.mark.parametrize(
    "aims", [{}, {"follow": Following.GIVEN, "pitch": 0.01}, {"pith": PithRule.BOX}, {"least_waste": 0.03}]
)
def test_settings_and_kerfs_add_up_to_the_faces(aims):
    # What the mill is set to, and what is measured from the pith mark, must tell of the same face.
    made = sawn(**aims)
    middle = 0.5 * (made.setup.rail_butt + made.setup.rail_top)
    faces = [0.5 * (c.face_butt + c.face_top) for c in made.cuts]
    assert faces_from_settings(made, middle) == pytest.approx(faces, abs=1e-12)


def test_pitched_cuts_rise_from_butt_to_top():
    # 10 mm/m over 2 m: 10 mm below the mid-length height at the butt, 10 mm above it at the top. The
    # ground is met at the butt, so everything lies 10 mm higher than without pitch.
    made = sawn(follow=Following.GIVEN, pitch=0.01)
    assert mm([c.upper for c in made.cuts]) == [170, 60, -50, -160]
    assert mm([c.face_butt for c in made.cuts]) == [150, 40, -70, -180]
    assert mm([c.face_top for c in made.cuts]) == [170, 60, -50, -160]


def test_a_log_turned_over_is_sawn_from_both_sides():
    # Without the ground, three slabs and two kerfs between them take 320 mm, the lowest from -200 mm up;
    # the kerfs lie at 130, 20, -90 and -200 mm. As it lies the third could just be sawn (-100 mm), but half
    # of the four cuts are made before turning. Then from below: first the lowest, then the one above it.
    made = sawn(both_sides=True)
    assert [c.side for c in made.cuts] == [1, 1, 2, 2]
    assert mm([c.upper for c in made.cuts]) == [130, 20, -200, -90]
    # The face that stays is the kerf's lower side before turning, its upper side after.
    assert mm([c.face_butt for c in made.cuts]) == [120, 10, -200, -90]
    assert [c.frees for c in made.cuts] == ["opening piece", "slab 1", "opening piece", "slab 3 and slab 2"]
    # From the face at -200 mm, 100 mm of slab 3, then the kerf from -100 to -90 mm.
    assert mm([c.set_to for c in made.cuts])[3] == 100


def test_a_log_that_need_not_be_turned_is_not():
    # 200 mm more air below: the lowest kerf, at -200 to -210 mm, clears the ground.
    high = sawn(both_sides=True, lie=type(LIE)(0.44, 0.44, 0.24, 0.24))
    assert {c.side for c in high.cuts} == {1}


def test_no_slab_holds_a_pith_that_must_be_cut_through():
    # One slab ends on the pith, with the kerf below it from 0 to -10 mm, and one begins there. Above the
    # first 90.5 mm are left, below the last the ground begins at -180 mm: no room for a third.
    made = sawn(pith=PithRule.THROUGH)
    assert [(mm([s.upper]), mm([s.lower])) for s in made.slabs] == [([100], [0]), ([-10], [-110])]
    assert not any(s.holds_pith for s in made.slabs)


def test_no_cut_touches_a_pith_that_must_be_boxed():
    made = sawn(pith=PithRule.BOX)
    assert [s.holds_pith for s in made.slabs] == [False, True, False]
    assert all(c.upper < 0 or c.upper - made.kerf > 0 for c in made.cuts)


def test_a_kerf_off_the_grid_is_rounded_up_and_said():
    made = sawn(mill=type(MILL)(bar=0.9, bar_lost=0.1, kerf=0.0093))
    assert made.kerf == pytest.approx(0.010)
    assert "Kerf 9.3 mm is reckoned as 10.0 mm, the next step of the mill." in made.remarks


def test_cuts_from_both_sides_in_turn():
    # Kerfs at 130, 20, -90 and -200 mm: the highest, the lowest, the next highest, the next lowest.
    # Three turns of 15 min. Every later kerf is set from the face that its own side left before: 100 mm.
    made = sawn(both_sides=True, alternate=True)
    assert mm([c.upper for c in made.cuts]) == [130, -200, 20, -90]
    assert [c.side for c in made.cuts] == [1, 2, 1, 2]
    assert [c.number for c in made.cuts] == [1, 2, 3, 4]
    assert mm([made.cuts[2].set_to, made.cuts[3].set_to]) == [100, 100]
    assert [c.frees for c in made.cuts] == ["opening piece", "opening piece", "slab 1", "slab 3 and slab 2"]
    assert (made.turns, made.turning_minutes) == (3, 45.0)
    assert any("3 turns, about 45 min" in told for told in made.remarks)
    once = sawn(both_sides=True)
    assert made.net == once.net
    assert made.minutes == pytest.approx(once.minutes)


def test_an_odd_number_of_cuts_in_turn_ends_on_the_side_it_began():
    # Two slabs take three kerfs: the last, from the first side, frees both.
    made = sawn(both_sides=True, alternate=True, thicknesses=(green(150),))
    assert [c.side for c in made.cuts] == [1, 2, 1]
    assert made.cuts[-1].frees == "slab 1 and slab 2"
    assert made.cuts[0].upper > made.cuts[2].upper > made.cuts[1].upper

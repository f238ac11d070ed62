"""Other ways to saw the beam, each against what it must come to by hand."""

from __future__ import annotations

import pytest

from pithline.saw.aims import Following
from pithline.saw.plan import Plan, Way
from tests.saw.beam import beam, green, sawn

MENU = (green(100), green(70))


def ways(made: Plan) -> dict[str, Way]:
    return {way.name: way for way in made.ways}


def test_each_thickness_alone_against_the_best_mix():
    # From the highest face, 200 mm (its kerf runs above the wood), to the ground's -180 mm there are 380 mm,
    # and every slab takes its kerf with it. 100 mm alone: 3 x 110 = 330. 70 mm alone: 4 x 80 = 320. Mixed:
    # 2 x 110 + 2 x 80 = 380 mm. A millimetre of slab is worth 0.001 x 0.4 x 1.9 m3 x 1000 = 0.76.
    found = ways(sawn(compare=True, thicknesses=MENU))
    assert found["this plan"].net == pytest.approx(340 * 0.76)
    assert found["all 100 mm green"].net == pytest.approx(300 * 0.76)
    assert found["all 70 mm green"].net == pytest.approx(280 * 0.76)
    assert (found["this plan"].slabs, found["this plan"].cuts) == (4, 5)
    assert found["this plan"].chosen
    assert sum(way.chosen for way in found.values()) == 1


def test_both_sides_against_as_it_lies():
    # Without the ground, 400 mm from 200 to -200 mm, and the last kerf may fall outside: three slabs of 100
    # mm and one of 70 take 3 x 110 + 80 = 410 mm.
    both = ways(sawn(compare=True, thicknesses=MENU, both_sides=True))
    assert both["this plan"].net == pytest.approx(370 * 0.76)
    assert both["as it lies"].net == pytest.approx(340 * 0.76)
    lying = ways(sawn(compare=True, thicknesses=MENU))
    assert lying["sawn from both sides"].net == pytest.approx(370 * 0.76)
    # 0.3208 m3 at the high 1100 kg/m3 is 353 kg.
    assert "turn over a log of up to 400 kg" in lying["sawn from both sides"].note


def test_a_summed_way_is_the_plan_that_it_sums():
    made = sawn(compare=True, thicknesses=MENU)
    own = ways(made)["this plan"]
    assert own.net == pytest.approx(made.net)
    assert own.tally == pytest.approx(made.tally)
    assert own.area == pytest.approx(made.area)
    assert own.minutes == pytest.approx(made.minutes)


def test_pith_and_bark_are_compared_where_they_differ():
    # The beam's faces run parallel to its pith, so the bark has no pitch of its own.
    assert not [name for name in ways(sawn(compare=True)) if name.startswith("parallel")]
    pitched = ways(sawn(compare=True, follow=Following.GIVEN, pitch=0.02))
    assert pitched["parallel to the pith"].net >= pitched["this plan"].net


def test_a_roll_is_told_only_where_it_pays():
    rolled = [way for way in sawn(compare=True, thicknesses=MENU).ways if way.name.startswith("rolled")]
    assert all(way.net > 340 * 0.76 for way in rolled)
    # Free to roll, the plan has that roll already.
    free = sawn(compare=True, thicknesses=MENU, roll_free=True)
    assert not [way for way in free.ways if way.name.startswith("rolled")]
    assert free.net == pytest.approx(max(way.net for way in rolled))


def test_a_beam_on_its_way_to_narrow_has_fewer_slabs_one_thickness_at_a_time():
    # Whatever the shape: a menu is never worth less than one of its entries.
    found = ways(sawn(beam(0.4, 0.15), compare=True, thicknesses=MENU))
    assert found["this plan"].net >= max(way.net for name, way in found.items() if name.startswith("all"))

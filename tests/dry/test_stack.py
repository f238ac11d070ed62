"""Stacks for air drying: lifts, loads, timbers, tipping, order, reach, against sums by hand and statics."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pithline.dry.laying.bolsters import BENDING, SHEAR, SIDES, bolster_side, bolsters, stresses
from pithline.dry.laying.boule import Sawn, in_log_order
from pithline.dry.laying.contact import Floor
from pithline.dry.laying.floor_load import GRAVITY, bearing, row_loads, spread_load
from pithline.dry.laying.footprint import Footprint, Turn
from pithline.dry.laying.ground import Ground, ground_for
from pithline.dry.laying.lifting import most_for, people_for
from pithline.dry.laying.nesting import Effort
from pithline.dry.laying.reaching import moved_first
from pithline.dry.laying.stack import ByHand, bare_rows, by_floor, by_hand, by_order
from pithline.dry.laying.standing import standing
from pithline.dry.laying.steadiness import steadiness
from pithline.dry.laying.stickers import Stickers
from pithline.dry.laying.stood import Known
from pithline.dry.laying.written_stack import read_stack
from pithline.errors import BadValue
from pithline.wood.species import species


def plank(name, length=3.0, width=0.5, thickness=0.08, mass=120.0):
    return Footprint.of(name, [0, length], [-width / 2] * 2, [width / 2] * 2, thickness, mass)


def stack_of(*slabs, layers=None, ground=None, sticks=None, keep_rows=False):
    ground = ground or Ground(ground_for(slabs))
    sticks = sticks or Stickers.spaced(max(s.length for s in slabs), 0.4)
    places = [ByHand(n) for n in (layers or range(1, len(slabs) + 1))]
    return by_hand(slabs, places, ground, sticks, keep_rows)


def test_one_person_lifts_what_the_lifting_equation_begins_from():
    # Load constant 23 kg, Waters and others, Ergonomics 36, 1993 (from memory); team shares 2/3 and 1/2: L23
    # (from memory).
    assert people_for(23.0) == 1
    assert people_for(23.1) == 2
    assert most_for(2) == pytest.approx(2 / 3 * 46)
    assert most_for(3) == pytest.approx(34.5)
    assert people_for(46.0) == 4
    assert people_for(46.1) is None
    with pytest.raises(BadValue):
        people_for(math.nan)


@pytest.mark.parametrize(
    ("text", "kg_m2"),
    [
        ("500 kg/m2", 500.0),
        # 1 kN/m2 is 1000 / 9.80665 kg/m2 (standard gravity, CGPM 1901).
        ("5 kN/m2", 509.858),
        ("5 kPa", 509.858),
        # 0.45359237 kg over 0.3048 m squared (international yard and pound, 1959).
        ("100 lb/ft2", 488.243),
    ],
)
def test_what_a_floor_bears_is_read(text, kg_m2):
    assert bearing(text, "bears") == pytest.approx(kg_m2, rel=1e-6)


def test_a_bearing_without_its_area_is_refused():
    with pytest.raises(BadValue, match="500 kg/m2"):
        bearing("500 kg", "bears")


def test_load_over_an_area_by_hand():
    assert spread_load(1200.0, 4.0, 1.0) == 300.0


def test_even_slabs_load_inner_rows_twice_as_much_as_the_outer():
    # Beam of even mass cut at the rows: each span gives half to either side.
    stack = stack_of(
        plank("a", 3.0, mass=120.0), sticks=Stickers(0.025, 0.03, (0.0, 1.0, 2.0, 3.0)), keep_rows=True
    )
    loads = row_loads(stack.layers, stack.stickers.rows, stack.stickers.width)
    assert loads == pytest.approx([20, 40, 40, 20], rel=1e-3)


@settings(max_examples=30)
@given(
    lengths=st.lists(st.floats(1.0, 4.0), min_size=1, max_size=4),
    count=st.integers(2, 9),
)
def test_no_weight_is_lost_between_slabs_and_timbers(lengths, count):
    slabs = [plank(str(n), length, mass=30.0 * length) for n, length in enumerate(lengths)]
    rows = tuple(np.linspace(0.016, max(lengths) - 0.016, count))
    stack = stack_of(*slabs, sticks=Stickers(0.025, 0.032, rows), keep_rows=True)
    loads = row_loads(stack.layers, rows, 0.032)
    assert (loads >= 0).all()
    assert loads.sum() == pytest.approx(sum(s.mass for s in slabs), rel=1e-9)


def test_stress_of_a_timber_is_that_of_the_textbook():
    # Simple beam, even load W over L: M = W L / 8, section modulus of a square s^3 / 6.
    bending, shear = stresses(100 / GRAVITY * 1000, 2.0, 0.1)  # 100 kN
    assert bending == pytest.approx(100e3 * 2 / 8 / (0.1**3 / 6))
    # Beside the middle support of two spans the reaction is 5/8 W; parabola of shear stress: 3/2 of the mean.
    assert shear == pytest.approx(1.5 * 0.625 * 100e3 / 0.01)


def test_the_timber_taken_is_the_least_that_bears_it():
    side = bolster_side(900.0, 1.2, 2)
    assert side in SIDES
    fits = [s for s in SIDES if stresses(900.0, 1.2, s)[0] <= BENDING and stresses(900.0, 1.2, s)[1] <= SHEAR]
    assert side == fits[0]
    assert side > SIDES[0]
    assert bolster_side(900.0, 1.2, 3) < side  # a third block halves the span
    assert bolster_side(9e4, 3.0, 2) is None
    assert bolster_side(9e4, 3.0, 0) == SIDES[0]


@pytest.mark.parametrize(("blocks", "share"), [(2, 0.5), (3, 0.625), (5, 1.143 / 4)])
def test_most_on_one_block_is_the_reaction_of_equal_spans(blocks, share):
    # Reactions of continuous beams of equal spans: 1/2 W; 10/8 w l; 1.143 w l (four spans), statics tables.
    assert bolsters((80.0, 100.0), 1.2, blocks).block_load == pytest.approx(100.0 * share)


def test_a_block_tips_where_its_middle_stands_over_its_edge():
    # 0.5 m wide; its centre 0.025 + 0.040 m above the sticks' foot and 0.30 m more above the ground.
    stack = stack_of(plank("a", width=0.5))
    assert steadiness(stack.layers, 0.30).lean == pytest.approx(math.atan(0.25 / 0.365))
    assert steadiness(stack.layers, 0.30).weakest == 0
    assert steadiness(stack.layers, 0.30).ratio == pytest.approx(0.405 / 0.5)


def test_a_tall_stack_on_a_narrow_slab_tips_there():
    slabs = [plank("low", width=0.2, mass=40), *(plank(str(n), width=0.8, mass=200) for n in range(6))]
    stack = stack_of(*slabs)
    found = steadiness(stack.layers, 0.1)
    # All stand, through the lowest sticks, on 0.2 m: 40 kg at 0.065 m, 1200 kg 0.105 + 0.3275 m above them.
    centre = (40 * 0.065 + 1200 * (0.105 + 0.3275)) / 1240
    assert found.weakest == 1
    assert found.lean == pytest.approx(math.atan(0.1 / centre), rel=1e-3)
    assert found.brace
    assert steadiness(stack.layers, 0.1, top_weight=500).lean < found.lean


def test_what_stands_beside_its_support_falls_at_once():
    slabs = [plank("low", width=0.3), plank("high", width=0.3)]
    places = [ByHand(1, 0.0, 0.0), ByHand(2, 0.0, 0.25)]
    ground = Ground(Floor(3.1, 1.2))
    stack = by_hand(slabs, places, ground, Stickers.spaced(3.0, 0.4))
    assert steadiness(stack.layers, 0.3).lean == 0.0


def test_a_log_keeps_its_order_and_the_heavier_log_lies_below():
    slabs = [plank("2-1", mass=30), plank("1-3"), plank("1-1"), plank("1-2"), plank("2-2", mass=30)]
    sawn = [Sawn("2", 1), Sawn("1", 3), Sawn("1", 1), Sawn("1", 2), Sawn("2", 2)]
    order = [slabs[i].name for i in in_log_order(slabs, sawn)]
    assert order == ["1-3", "1-2", "1-1", "2-2", "2-1"]
    stack = by_order(slabs, sawn, Ground(ground_for(slabs)), Stickers.spaced(3.0, 0.4))
    assert [layer.slabs[0].slab.name for layer in stack.layers] == order


@pytest.mark.parametrize(
    ("sawn", "told"),
    [
        ([Sawn("1", 1), Sawn("1", 1)], "once in log 1"),
        ([Sawn("1", 1), Sawn("1")], "its place in the log"),
        ([Sawn(), Sawn()], "to keep a log's order"),
    ],
)
def test_an_order_that_is_not_known_is_refused(sawn, told):
    with pytest.raises(BadValue, match=told):
        in_log_order([plank("a"), plank("b")], sawn)


def test_best_use_of_floor_takes_as_few_layers_as_rows_do_and_puts_the_heavy_below():
    # Six of 0.5 m in pairs on 1.2 m: three layers, and by width no plan takes fewer.
    slabs = [plank(f"a{n}", width=0.5, mass=100 + n) for n in range(6)] + [
        plank("b", thickness=0.05, mass=40)
    ]
    ground = Ground(ground_for(slabs))
    stack = by_floor(slabs, ground, Stickers.spaced(3.0, 0.4), effort=Effort(rounds=2))
    assert [len(layer.slabs) for layer in stack.layers] == [2, 2, 2, 1]
    assert stack.fewest
    masses = [layer.mass for layer in stack.layers]
    assert masses == sorted(masses, reverse=True)
    for layer in stack.layers:  # in the middle, and with air between neighbours
        reach = [(laid.ring[:, 1].min(), laid.ring[:, 1].max()) for laid in layer.slabs]
        assert (reach[0][0] + reach[-1][1]) / 2 == pytest.approx(ground.floor.width / 2, abs=1e-6)
        for (_, a), (b, _) in pairwise(reach):
            assert b - a >= 0.025 - 1e-6


def test_only_what_lies_on_a_slab_is_moved_to_reach_it():
    slabs = [plank(name, width=0.4) for name in ("a", "b", "c", "d", "e")]
    ground = Ground(Floor(3.1, 1.3))
    #   e        over c alone
    #  c   d
    #  a   b
    places = [ByHand(1, 0, 0.0), ByHand(1, 0, 0.6), ByHand(2, 0, 0.0), ByHand(2, 0, 0.6), ByHand(3, 0, 0.0)]
    layers = by_hand(slabs, places, ground, Stickers.spaced(3.0, 0.4)).layers
    assert moved_first(layers, "a") == ("e", "c")
    assert moved_first(layers, "b") == ("d",)
    assert moved_first(layers, "e") == ()
    with pytest.raises(BadValue, match="reach"):
        moved_first(layers, "z")


def test_slabs_that_lie_on_each_other_are_no_layer():
    slabs = [plank("a", width=0.6), plank("b", width=0.6)]
    with pytest.raises(BadValue, match="clear of a"):
        by_hand(
            slabs,
            [ByHand(1, 0, 0.0), ByHand(1, 0, 0.3)],
            Ground(ground_for(slabs)),
            Stickers.spaced(3.0, 0.4),
        )
    with pytest.raises(BadValue, match="within the ground"):
        by_hand(
            slabs,
            [ByHand(1, 0, 0.0), ByHand(2, 0, 0.9)],
            Ground(ground_for(slabs)),
            Stickers.spaced(3.0, 0.4),
        )


def test_a_long_slab_over_a_short_one_hangs_over_bare_rows():
    stack = stack_of(plank("short", 1.5), plank("long", 3.0))
    bare = bare_rows(stack)
    assert {name for name, _ in bare} == {"long"}
    assert all(place > 1.5 for _, place in bare)
    assert bare_rows(stack_of(plank("long", 3.0), plank("short", 1.5))) == ()


def test_turned_ends_carry_their_weight_to_the_other_end():
    wedge = Footprint.of("w", [0, 3], [-0.4, -0.1], [0.4, 0.1], 0.08, 100.0)
    ground, sticks = Ground(ground_for([wedge])), Stickers(0.025, 0.03, (0.0, 3.0))
    ways = [by_hand([wedge], [ByHand(1, turn=Turn(end))], ground, sticks, True) for end in (False, True)]
    near, turned = (row_loads(s.layers, sticks.rows, 0.03) for s in ways)
    # Trapezium 0.8 to 0.2 m: centroid (0.8 + 2 * 0.2) / (3 * (0.8 + 0.2)) = 0.4 of its length from the butt.
    assert near == pytest.approx([60, 40], rel=1e-3)
    assert turned == pytest.approx([40, 60], rel=1e-3)


def test_a_layer_keeps_the_number_it_was_given():
    stack = stack_of(plank("a"), plank("b"), layers=(1, 3))
    assert stack.numbers == (1, 3)
    assert stack.where("b")[0] == 3


def test_ends_that_hang_are_named_in_one_line():
    stack = stack_of(plank("a"), sticks=Stickers(0.025, 0.03, (0.2, 1.4, 2.0)), keep_rows=True)
    told = [one.told for one in standing(stack, {}).reminders if one.kind == "overhang"]
    # 0.2 m less half a stick; 3.0 m less 2.0 m less half a stick.
    assert len(told) == 1
    assert "a near 185 mm, a far 985 mm" in told[0]


def test_what_follows_from_a_stack_adds_up_and_warns():
    oak = species("red oak")
    slabs = [plank("a", mass=124.0), plank("b", mass=124.0)]
    ground = Ground(ground_for(slabs), base=0.15, bears=100.0, top_weight=60.0)
    stack = stack_of(*slabs, ground=ground, sticks=Stickers.spaced(3.0, 0.4, thickness=0.019))
    got = standing(stack, {"a": Known(oak, True), "b": Known(oak)})
    assert got.wood == 248.0
    assert got.mass == pytest.approx(got.wood + got.extras)
    assert got.load == pytest.approx(got.mass / (3.0 * 0.5))
    assert got.too_heavy
    # Green red oak by its upper end over 3 x 0.5 x 0.08 m: more than its mass now, and no load for hands.
    assert got.lifts[0].people is None
    kinds = [one.kind for one in got.reminders]
    assert {"floor", "seal", "cover", "shade", "base", "sticks"} <= set(kinds)
    seal = next(one for one in got.reminders if one.kind == "seal")
    assert " b " in seal.told
    assert " a" not in seal.told.split("within")[0].replace("Seal the ends of b", "")
    assert all(one.source for one in got.reminders if one.kind not in ("weight",))


def test_without_a_weight_no_load_is_invented():
    got = standing(stack_of(plank("a", mass=0.0), plank("b")), {})
    assert got.mass is None
    assert got.load is None
    assert got.row_loads == ()
    assert got.lifts[0].most is None
    assert "Weight not known of a:" in next(one.told for one in got.reminders if one.kind == "weight")


SLAB = {"thickness": "80 mm", "length": "3 m", "at": ["0 m: 50 cm"]}


@pytest.mark.parametrize(
    ("document", "told"),
    [
        ({"grund": {}, "slab": [{"name": "a", **SLAB}]}, "grund"),
        ({"ground": {"lenght": "4 m"}, "slab": [{"name": "a", **SLAB}]}, "Did you mean length"),
        ({"ground": {"length": "2 m"}, "slab": [{"name": "a", **SLAB}]}, "as a is long"),
        ({"ground": {"blocks": 1}, "slab": [{"name": "a", **SLAB}]}, "blocks"),
        ({"slab": [{"name": "a", "layer": 1, **SLAB}, {"name": "b", **SLAB}]}, "for all slabs, or for none"),
        ({}, "one slab or more"),
    ],
)
def test_a_stack_badly_written_is_refused(document, told):
    with pytest.raises(BadValue, match=told):
        read_stack(document)

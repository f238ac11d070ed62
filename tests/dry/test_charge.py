"""A kiln charge: nothing overlaps, nothing is lost, and no rectangles beat it.

Referees are shapely for the outlines, and every choice there is on sets small enough to list.
"""

from __future__ import annotations

from itertools import combinations, pairwise, permutations, product

import numpy as np
import pytest
from shapely import Polygon, box
from shapely.affinity import translate

from pithline.dry.laying.bound import layers_at_least
from pithline.dry.laying.charge import plan_charge, thickness_classes
from pithline.dry.laying.contact import CELL, GRAIN, Floor, profile, profiles
from pithline.dry.laying.contact_kernel import slide
from pithline.dry.laying.footprint import Footprint
from pithline.dry.laying.layers import Room, heaviest_first
from pithline.dry.laying.loading import most_worth
from pithline.dry.laying.nesting import Effort
from pithline.dry.laying.partition import fewest
from pithline.dry.laying.rectangles import rectangle_plan
from pithline.dry.laying.share import air_share, shared
from pithline.dry.laying.stickers import Stickers, rows_along
from pithline.errors import BadValue
from tests.dry.mixed_slabs import mixed_slabs

CART = Floor(4.2, 1.4)
STICKS = Stickers(0.025, 0.032, rows_along(4.2, 0.42))
QUICK = Effort(rounds=4, beam=16)


def board(name: str, length: float, width: float, thickness: float = 0.08, mass: float = 0.0) -> Footprint:
    return Footprint.of(name, [0, length], [0, 0], [width, width], thickness, mass)


def charged(slabs, height=9.0, **more):
    return plan_charge(slabs, Room(CART, height), STICKS, effort=QUICK, **more)


@pytest.mark.parametrize(("seed", "gap"), [(1, 0.0), (2, 0.0), (3, 0.02)])
def test_a_layer_holds_every_slab_once_and_none_over_another(seed, gap):
    slabs, floor = mixed_slabs(seed, 14), Floor(4.2, 1.4, gap)
    charge = plan_charge(slabs, Room(floor, 9.0), STICKS, effort=QUICK)
    laid = [one for layer in charge.layers for one in layer.slabs]
    assert sorted(one.slab.name for one in laid) == sorted(slab.name for slab in slabs)
    ground = box(0, 0, floor.length, floor.width).buffer(1e-6)
    for layer in charge.layers:
        outlines = [Polygon(one.ring) for one in layer.slabs]
        assert all(ground.contains(outline) for outline in outlines)
        for one, other in combinations(outlines, 2):
            assert one.intersection(other).area < 1e-9
            # Side by side or end to end they keep the gap; corner to corner they may come nearer.
            assert gap == 0 or one.distance(other) > 0
        assert layer.filled == pytest.approx(sum(o.area for o in outlines) / floor.area, rel=1e-9)
    for one in laid:
        assert Polygon(one.ring).area == pytest.approx(one.slab.area, rel=1e-9)  # turned, not changed


@pytest.mark.parametrize("seed", range(4))
def test_slid_together_they_take_no_more_layers_than_rectangles_and_no_fewer_than_the_bound(seed):
    (shelf,) = charged(mixed_slabs(seed, 12)).shelves
    assert shelf.at_least <= shelf.layers <= shelf.rectangle_layers


def test_curves_that_fit_into_each_other_share_a_layer_where_their_rectangles_do_not():
    z = np.linspace(0, 4, 17)
    bow = 0.5 * (z / 4) * (1 - z / 4) * 4
    slabs = [Footprint.of(name, z, bow, bow + 0.42, 0.08) for name in ("a", "b")]
    (shelf,) = charged(slabs).shelves
    assert slabs[0].width > 0.7  # two rectangles are wider than the cart
    assert (shelf.rectangle_layers, shelf.layers) == (2, 1)
    assert shelf.proved


# --- contact ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(6))
def test_a_profile_holds_the_outline_and_is_no_wider_than_its_cells(seed):
    (slab,) = mixed_slabs(seed, 1)
    ring = slab.ring()
    low, high = profile(ring)
    outline = Polygon(ring)
    for k in range(len(low)):
        part = outline.intersection(box(k * CELL, -1, (k + 1) * CELL, 9)).bounds
        assert low[k] * GRAIN == pytest.approx(part[1], abs=1.01 * GRAIN)
        assert high[k] * GRAIN == pytest.approx(part[3], abs=1.01 * GRAIN)
        assert low[k] * GRAIN <= part[1] + 1e-9
        assert high[k] * GRAIN >= part[3] - 1e-9


@pytest.mark.parametrize("seed", range(8))
def test_a_slab_comes_to_rest_where_the_outlines_touch(seed):
    one, other = mixed_slabs(seed, 2)
    long = max(one.length, other.length) + 1.0
    front = np.zeros(int(long / CELL) + 2, np.int32)
    _, high = profile(one.ring())
    front[: len(high)] = high
    its_low, _ = profile(other.ring())
    at = seed * 3
    rest = slide(front, its_low, len(its_low), at) * GRAIN
    lying, coming = Polygon(one.ring()), translate(Polygon(other.ring()), at * CELL)
    clear = lambda y: lying.intersection(translate(coming, 0, y)).area < 1e-12  # noqa: E731
    assert clear(rest)
    # By shapely alone: the least shift from which on nothing overlaps.
    near, far = 0.0, 3.0
    for _ in range(40):
        middle = (near + far) / 2
        near, far = (near, middle) if clear(middle) else (middle, far)
    # Steps of a cell stand for slanted edges: both slopes over a cell, and two grains.
    slopes = [
        np.abs(np.diff(edge) / np.diff(slab.z)).max()
        for slab in (one, other)
        for edge in (slab.left, slab.right)
    ]
    assert far - 1e-9 <= rest + 2 * GRAIN
    assert rest <= far + CELL * (max(slopes[:2]) + max(slopes[2:])) + 2 * GRAIN


# --- choices, against every choice there is --------------------------------------------------------


@pytest.mark.parametrize("seed", range(8))
def test_the_fewest_groups_are_those_of_every_choice_tried(seed):
    rng = np.random.default_rng(seed)
    pool = [(i,) for i in range(7)]
    pool += [tuple(np.flatnonzero(rng.random(7) < 0.4).tolist()) or (0,) for _ in range(9)]
    best = next(
        n
        for n in range(1, 8)
        if any(len({i for g in some for i in g}) == 7 for some in combinations(pool, n))
    )
    plan = fewest(pool, 7, list(range(7)))
    assert len(plan.chosen) == best == plan.least
    assert {i for g in plan.chosen for i in pool[g]} == set(range(7))


def apart(one, other):
    """Whether two rectangles (near, left, far, right) do not overlap."""
    return any(one[k] >= other[k + 2] - 1e-9 or other[k] >= one[k + 2] - 1e-9 for k in (0, 1))


def packs(sizes, long, wide):
    """Whether rectangles fit, by laying them in every order at every corner that others make."""
    for order in permutations(sizes):
        laid = [()]
        for length, width in order:
            laid = [
                (*rects, new)
                for rects in laid
                for x, y in product({0.0, *(r[2] for r in rects)}, {0.0, *(r[3] for r in rects)})
                if x + length <= long + 1e-9 and y + width <= wide + 1e-9
                for new in [(x, y, x + length, y + width)]
                if all(apart(new, r) for r in rects)
            ]
        if laid:
            return True
    return False


@pytest.mark.parametrize("seed", range(6))
def test_rectangles_take_the_fewest_layers_of_every_way_to_share_them_out(seed):
    rng = np.random.default_rng(100 + seed)
    sizes = [(rng.uniform(1.0, 3.9), rng.uniform(0.3, 0.9)) for _ in range(5)]
    slabs = [board(f"{n}", *size) for n, size in enumerate(sizes)]
    plan = rectangle_plan(slabs, CART)

    fits = {
        group: packs([sizes[i] for i in group], CART.length, CART.width)
        for n in range(1, 6)
        for group in combinations(range(5), n)
    }

    def layers(rest):
        if not rest:
            return 0
        first, others = rest[0], rest[1:]
        return 1 + min(
            layers(tuple(i for i in others if i not in more))
            for n in range(len(others) + 1)
            for more in combinations(others, n)
            if fits[(first, *more)]
        )

    assert len(plan.layers) == layers(tuple(range(5)))
    assert plan.proved


def test_boards_that_fill_the_cart_meet_the_bound():
    slabs = [board(f"{n}", 4.2, 0.7) for n in range(6)]
    assert layers_at_least(slabs, CART, [(n,) for n in range(6)]) == 3
    (shelf,) = charged(slabs).shelves
    assert (shelf.layers, shelf.gap, shelf.proved) == (3, 0, True)


@pytest.mark.parametrize("seed", range(5))
def test_what_goes_in_is_worth_most_of_every_choice(seed):
    rng = np.random.default_rng(seed)
    pools = [[(0, 1), (1, 2), (3,)], [(4, 5), (6,)]]
    heights, height, worth = (0.105, 0.08), float(rng.uniform(0.19, 0.3)), rng.uniform(1, 9, 7)
    all_ = [(k, g) for k, pool in enumerate(pools) for g in range(len(pool))]
    best = max(
        sum(worth[list({i for k, g in some for i in pools[k][g]})])
        for n in range(len(all_) + 1)
        for some in combinations(all_, n)
        if sum(heights[k] for k, _ in some) <= height + 1e-9
    )
    chosen = most_worth(pools, heights, height, worth, [])
    assert sum(worth[list({i for k, g in chosen.groups for i in pools[k][g]})]) == pytest.approx(best)
    assert chosen.short == 0


@pytest.mark.parametrize("seed", [40, 41, 43, 45])
def test_what_a_choice_is_told_to_be_short_of_the_best_holds(seed):
    rng = np.random.default_rng(seed)
    pool = [tuple(sorted(rng.choice(45, 4, replace=False).tolist())) for _ in range(240)]
    heights, worth = [0.079, 0.105, 0.131], rng.uniform(1, 9, 45)
    pools = [pool[:80], pool[80:160], pool[160:]]
    value = lambda choice: sum(worth[list({i for k, g in choice.groups for i in pools[k][g]})])  # noqa: E731
    # HiGHS stopped at once, and HiGHS let to its end.
    early, best = (most_worth(pools, heights, 0.68, worth, [], nodes) for nodes in (1, 100_000))
    assert early.short > best.short == 0
    assert value(early) <= value(best) * (1 + 1e-9)
    assert value(best) <= value(early) * (1 + early.short) * (1 + 1e-9)


def test_where_the_height_is_full_the_rest_waits_and_what_must_go_goes():
    slabs = mixed_slabs(5, 12)
    charge = charged(slabs, height=0.33, must=("m3",))
    inside = {one.slab.name for layer in charge.layers for one in layer.slabs}
    assert len(charge.layers) == 3
    assert "m3" in inside
    assert {out.name for out in charge.left_out} == {slab.name for slab in slabs} - inside
    for layer in charge.layers:
        for one, other in combinations([Polygon(laid.ring) for laid in layer.slabs], 2):
            assert one.intersection(other).area < 1e-9


@pytest.mark.parametrize("seed", range(5))
def test_a_layer_is_as_high_as_its_own_thickest_slab(seed):
    # Too wide to share a layer, of one class: which go in is a knapsack, every choice of it tried.
    rng = np.random.default_rng(seed)
    slabs = [board(f"{n}", 4.0, rng.uniform(0.8, 1.3), t / 1000) for n, t in enumerate(range(78, 82))]
    height = float(rng.uniform(0.205, 0.32))
    tall = lambda some: sum(slab.thickness + STICKS.thickness for slab in some)  # noqa: E731
    wood = lambda some: sum(slab.area * slab.thickness for slab in some)  # noqa: E731
    every = [some for n in range(5) for some in combinations(slabs, n)]
    best = max(wood(some) for some in every if tall(some) <= height + 1e-9)
    charge = charged(slabs, height)
    inside = [laid.slab for layer in charge.layers for laid in layer.slabs]
    assert wood(inside) == pytest.approx(best, rel=1e-9)
    assert charge.short == (None if len(inside) == 4 else 0)
    assert charge.height == pytest.approx(tall(inside))


def test_a_layer_that_leaves_its_thickest_slab_behind_is_lower():
    thick, thin = board("thick", 4.0, 0.6, 0.082), board("thin", 4.0, 0.6, 0.080)
    both = charged([thick, thin])
    assert [layer.height for layer in both.layers] == [pytest.approx(0.107)]
    charge = charged([thick, thin], 0.1055)
    assert [(one.slab.name, layer.height) for layer in charge.layers for one in layer.slabs] == [
        ("thin", pytest.approx(0.105))
    ]
    assert [out.name for out in charge.left_out] == ["thick"]


# --- order, sticks, cost ---------------------------------------------------------------------------


def test_the_heaviest_layer_lies_lowest_though_one_slab_was_not_weighed():
    light = [board("a", 4.0, 1.2, mass=100.0), board("b", 4.0, 0.8, mass=66.0)]
    heavy = board("c", 4.0, 1.35)  # the most wood, and nobody weighed it
    charge = charged([*light, heavy])
    assert [[one.slab.name for one in layer.slabs] for layer in charge.layers] == [["c"], ["a"], ["b"]]
    assert [layer.slabs[0].slab.name for layer in heaviest_first(charge.layers[::-1])] == ["c", "a", "b"]


def test_thicknesses_that_differ_too_much_share_no_layer():
    slabs = [board(f"{n}", 1.0, 0.3, t) for n, t in enumerate((0.080, 0.078, 0.0765, 0.052, 0.0505))]
    assert thickness_classes(slabs, 0.003) == [[0, 1], [2], [3, 4]]
    charge = charged(slabs)
    for layer in charge.layers:
        thick = [one.slab.thickness for one in layer.slabs]
        assert max(thick) - min(thick) <= 0.003 + 1e-9
    assert [shelf.slabs for shelf in charge.shelves] == [2, 1, 2]


def test_the_sticks_reach_over_the_floor_no_further_apart_than_asked():
    charge = charged(mixed_slabs(3, 6))
    assert max(b - a for a, b in pairwise(charge.stickers.rows)) <= 0.42 + 0.032


def test_shares_add_up_and_a_slab_alone_in_its_layer_pays_for_the_air_beside_it():
    charge = charged([board("wide", 4.2, 0.7), board("beside", 4.2, 0.7), board("alone", 4.2, 0.71)])
    paid = {one.name: one for one in shared(charge, 300.0, 30.0)}
    assert sum(one.cost for one in paid.values()) == pytest.approx(300.0)
    assert paid["alone"].cost == pytest.approx(150.0)
    assert paid["wide"].cost == pytest.approx(75.0)
    assert paid["alone"].air_cost > paid["wide"].air_cost
    assert 0 < air_share(tuple(paid.values())) < 1
    # Half the days, half the weight of its room: 150 / (150 + 75 + 75 / 2).
    soon = {one.name: one.cost for one in shared(charge, 300.0, 30.0, {"beside": 15.0})}
    assert soon["alone"] == pytest.approx(300 * 150 / 262.5)


@pytest.mark.parametrize(
    ("slabs", "more", "said"),
    [
        ([board("1", 2, 0.5), board("1", 2, 0.5)], {}, "on one slab only"),
        ([board("1", 2, 0.5)], {"must": ("2",)}, "the name of a slab that is listed"),
        ([board("1", 5, 0.5)], {}, "within the kiln"),
        ([board("1", 2, 0.5), board("2", 5, 0.5)], {"must": ("2",)}, "longer than the kiln's room"),
        (
            [board("1", 4, 0.9), board("2", 4, 0.9)],
            {"wanted": {"1": -1.0, "2": 1.0}, "height": 0.12},
            "0 or more",
        ),
    ],
)
def test_what_cannot_be_is_refused(slabs, more, said):
    height = more.pop("height", 9.0)
    with pytest.raises(BadValue) as refused:
        charged(slabs, height, **more)
    assert said in str(refused.value)


def test_the_same_slabs_give_the_same_layers():
    slabs = mixed_slabs(9, 10)
    told = [
        [(one.slab.name, one.along, one.across) for layer in charged(slabs).layers for one in layer.slabs]
        for _ in range(2)
    ]
    assert told[0] == told[1]


def test_every_way_to_lie_is_on_the_floor():
    ways = profiles(mixed_slabs(4, 5), CART)
    assert set(ways.own.tolist()) == set(range(5))
    assert ways.cells.max() <= CART.cells
    assert ways.high.max() <= CART.grains

"""Ripping slabs into boards: against brute force, HiGHS, cutting-stock sums and shapely."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from pithline.errors import BadValue
from pithline.saw.aims import PithRule
from pithline.saw.model import prepare
from pithline.saw.rates import Step
from pithline.saw.rip.boards import Along, Boards, Cant
from pithline.saw.rip.cants import largest_square, strongest_beam, with_cants
from pithline.saw.rip.chain import with_rips
from pithline.saw.rip.ripped import boards_of, rip_log
from pithline.saw.rip.ripping import rip_outline, rip_values
from pithline.saw.rip.stock import stock_of
from pithline.saw.rows import rows
from pithline.saw.solution import solve
from pithline.slab.outline import SlabOutline
from tests.saw import beam
from tests.saw.beam import green, sawn
from tests.saw.test_planner_against_highs import by_lp, flow
from tests.strategies import case, cylinder

AIMS = replace(beam.AIMS, pith=PithRule.BOX)
MODEL = prepare(beam.beam(), beam.MILL, AIMS, beam.RATES, beam.TIMBER)
CLEAR = (False, -1.0)  # no pith in the slab


def slab(seed: int, stations: int = 5, width: float = 0.3) -> SlabOutline:
    """A slab with ragged edges; now and then a face runs out of the wood."""
    rng = np.random.default_rng(seed)
    z = np.linspace(0, rng.uniform(1.5, 3.0), stations)
    middle = np.cumsum(rng.uniform(-0.03, 0.03, stations))
    faces = []
    for _ in range(2):
        half = 0.5 * width * rng.uniform(0.5, 1.0, (stations, 2))
        faces.append(np.stack([middle - half[:, 0], middle + half[:, 1]], axis=1))
    if rng.random() < 0.2:
        faces[0][-1] = 0.0
    return SlabOutline(z, faces[0], faces[1], 0.1)


def plain(width: float, length: float) -> SlabOutline:
    """A slab that is already a rectangle."""
    face = np.tile([-0.5 * width, 0.5 * width], (2, 1))
    return SlabOutline(np.array([0.0, length]), face, face, 0.1)


def ripped(outline: SlabOutline, boards: Boards, pith: tuple[bool, float] = CLEAR, aims=AIMS):
    stock = stock_of(boards, MODEL.choices, aims, MODEL, float(outline.z[-1]))
    return rip_outline(outline, (float(outline.z[0]), float(outline.z[-1])), pith, boards, stock, 0)


def boards(*widths: float, **parts: object) -> Boards:
    """Boards at 1 for each tally unit, rips parallel to the pith."""
    return Boards(widths, **{"otherwise": 1000.0, "along": Along.PITH, "step": 0.01, "kerf": 0.01} | parts)


def clear_runs(outline: SlabOutline, left: float, right: float, gap: float) -> list[tuple[float, float]]:
    """Where a strip is clear, from the words of the model: piece by piece between stations."""
    low = np.maximum(outline.upper[:, 0], outline.lower[:, 0])
    high = np.minimum(outline.upper[:, 1], outline.lower[:, 1])
    there = (outline.upper_width > 0) & (outline.lower_width > 0)
    found: list[list[float]] = []
    for k in range(outline.z.size):
        if there[k] and low[k] <= left + 1e-9 and high[k] >= right - 1e-9:
            z = float(outline.z[k])
            if not (found and found[-1][1] >= z - 1e-9):
                found.append([z, z])
        if k + 1 == outline.z.size or not (there[k] and there[k + 1]):
            continue
        start, stop = 0.0, 1.0
        for a, b in ((left - low[k], left - low[k + 1]), (high[k] - right, high[k + 1] - right)):
            # a + t (b - a) >= 0
            if a < 0 and b < 0:
                start, stop = 1.0, 0.0
            elif a < 0:
                start = max(start, a / (a - b))
            elif b < 0:
                stop = min(stop, a / (a - b))
        # A run that holds no station is not looked for.
        if start < stop and (start < 1e-9 or stop > 1 - 1e-9):
            span = outline.z[k + 1] - outline.z[k]
            a, b = outline.z[k] + start * span, outline.z[k] + stop * span
            if found and found[-1][1] >= a - 1e-9:
                found[-1][1] = max(found[-1][1], b)
            else:
                found.append([a, b])
    # A cut across parts two runs, however near they are.
    for one, other in itertools.pairwise(found):
        other[0] = max(other[0], one[1] + gap)
    return [(a, b) for a, b in found if b >= a]


def run_value(length: float, width: float, wanted: Boards) -> float:
    """The best that a clear length can be cut into, by trying all."""
    rate = 0.1 * 1000  # 100 mm thick, by volume
    if not wanted.lengths:
        return rate * width * length if length >= wanted.least_length - 1e-9 else 0.0
    best = 0.0
    for size in wanted.lengths:
        if size <= length + 1e-9:
            rest = run_value(length - size - wanted.crosscut, width, wanted)
            best = max(best, rate * width * size - wanted.per_board + rest)
    return best


def strips_of(outline: SlabOutline, wanted: Boards) -> list[tuple[int, int, float]]:
    """First step, steps across, and value of every strip that is worth something."""
    edges = np.stack([outline.upper, outline.lower])
    step = wanted.step
    found = []
    for k in range(math.floor(edges.min() / step), math.ceil(edges.max() / step)):
        for width in wanted.widths:
            runs = clear_runs(outline, k * step, k * step + width, wanted.crosscut)
            # Lengths count in whole millimetres, as a person measures them.
            value = sum(run_value(math.floor(1000 * (b - a) + 1e-6) / 1000, width, wanted) for a, b in runs)
            if value > 0:
                found.append((k, round(width / step), value))
    return found


@given(st.integers(0, 2**32 - 1), st.booleans())
@settings(max_examples=40, deadline=None)
def test_the_best_rip_is_the_best_of_all(seed, lengths):
    outline = slab(seed, width=0.2)
    wanted = boards(
        0.06, 0.09, step=0.015, kerf=0.015, lengths=(0.5, 0.8) if lengths else (), least_length=0.6
    )
    strips = strips_of(outline, wanted)
    best = 0.0

    def go(at: int, so_far: float) -> None:
        nonlocal best
        best = max(best, so_far)
        for k, across, value in strips:
            if k >= at:
                go(k + across + 1, so_far + value)

    go(-(10**6), 0.0)
    found = ripped(outline, wanted)
    assert found.value == pytest.approx(best, rel=1e-9, abs=1e-9)
    assert sum(b.value for b in found.boards) == pytest.approx(found.value, abs=1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_highs_finds_the_same_rip(seed):
    """0 or 1 for every place and width; a place across the slab belongs to one strip and its kerf."""
    outline = slab(seed, stations=7, width=0.5)
    wanted = boards(0.05, 0.08, 0.12, 0.15, lengths=(0.6, 1.0, 1.4), per_board=0.2)
    strips = strips_of(outline, wanted)
    assert strips
    places = range(min(k for k, *_ in strips), max(k + w for k, w, _ in strips) + 1)
    cover = np.array([[k <= x < k + w + 1 for k, w, _ in strips] for x in places], dtype=float)
    gain = np.array([v for *_, v in strips])
    answer = milp(
        -gain,
        integrality=np.ones(gain.size),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(cover, ub=1),
        options={"mip_rel_gap": 0.0},
    )
    assert answer.status == 0, answer.message
    best = float(gain[answer.x > 0.5].sum())
    assert ripped(outline, wanted).value == pytest.approx(best, rel=1e-9)


@pytest.mark.parametrize("width", [0.41, 0.5, 0.637])
@pytest.mark.parametrize("length", [2.31, 3.0, 4.17])
def test_a_rectangle_is_the_cutting_stock_sum(width, length):
    """How many of each width side by side, of each length behind each other: two knapsacks by HiGHS."""
    wanted = boards(
        0.08, 0.11, 0.15, lengths=(0.7, 0.9, 1.3), crosscut=0.005, step=0.001, kerf=0.004, least_length=0.0,
        wide=(Step(0.11, 0.13), Step(0.15, 0.31)), long=(Step(0.9, 0.07), Step(1.3, 0.29)),
    )  # fmt: skip
    wide, long = {0.08: 0.0, 0.11: 0.13, 0.15: 0.31}, {0.7: 0.0, 0.9: 0.07, 1.3: 0.29}

    def knapsack(sizes: list[float], worth: list[float], room: float, gap: float) -> float:
        answer = milp(
            -np.array(worth),
            integrality=np.ones(len(sizes)),
            constraints=LinearConstraint(np.array([s + gap for s in sizes])[None, :], ub=room + gap + 1e-9),
        )
        return -float(answer.fun)

    along = knapsack(list(long), [n * (1 + p) for n, p in long.items()], length, 0.005)
    across = knapsack(list(wide), [w * (1 + p) for w, p in wide.items()], width, 0.004)
    assert ripped(plain(width, length), wanted).value == pytest.approx(100 * along * across, rel=1e-9)


@given(st.integers(0, 2**32 - 1), st.sampled_from(list(Along)))
@settings(max_examples=40, deadline=None)
def test_boards_lie_in_the_clear_wood(seed, along):
    """By shapely: every corner inside both faces, no two boards nearer than a kerf."""
    from shapely import Polygon

    outline = slab(seed, stations=6, width=0.5)
    if not ((outline.upper_width > 0) & (outline.lower_width > 0)).all():
        outline = SlabOutline(outline.z, outline.lower, outline.lower, 0.1)
    wanted = boards(0.05, 0.08, 0.12, along=along, step=0.002, kerf=0.004, least_length=0.4)
    found = ripped(outline, wanted)
    faces = [
        Polygon([*zip(outline.z, f[:, 0], strict=True), *zip(outline.z[::-1], f[::-1, 1], strict=True)])
        for f in (outline.upper, outline.lower)
    ]
    turn = math.atan(found.slope)
    drawn = []
    for b in found.boards:
        # A rectangle with square ends, its middle on the strip's middle line.
        z = 0.5 * (b.start + b.end)
        x = b.left + 0.5 * b.width + found.slope * (z - found.middle)
        u, v = np.array([math.cos(turn), math.sin(turn)]), np.array([-math.sin(turn), math.cos(turn)])
        corners = [
            np.array([z, x]) + 0.5 * i * b.length * u + 0.5 * j * b.width * math.cos(turn) * v
            for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        drawn.append(Polygon(corners))
    for board in drawn:
        for face in faces:
            assert face.buffer(1e-6).contains(board)
    for one, other in itertools.combinations(drawn, 2):
        assert one.distance(other) >= 0.004 * math.cos(turn) - 1e-6


# Beside the pith.


def test_a_strip_about_the_pith_is_left_out():
    outline = plain(0.5, 2.0)
    wanted = boards(0.1, pith_strip=0.03, step=0.005, kerf=0.005)
    without = ripped(outline, wanted)
    with_pith = ripped(outline, wanted, pith=(True, 0.05))
    assert len(without.boards) == 4
    assert len(with_pith.boards) == 4  # 220 mm on either side hold two each
    assert all(b.left >= 0.03 - 1e-9 or b.left + b.width <= -0.03 + 1e-9 for b in with_pith.boards)


@pytest.mark.parametrize(
    ("rule", "share"), [(PithRule.BOX, 1.0), (PithRule.FREE, 0.9), (PithRule.THROUGH, 0.0)]
)
def test_a_board_that_holds_the_pith_follows_the_rule(rule, share):
    aims = replace(AIMS, pith=rule, pith_deduction=0.1)
    found = ripped(plain(0.1, 2.0), boards(0.1), pith=(True, 0.05), aims=aims)
    assert found.value == pytest.approx(100 * 0.1 * 2.0 * share)


def test_a_heart_piece_holds_the_pith_and_stands_about_it():
    post = Cant("post", green(100), 0.2, 1.8, 50.0, margin=0.04)
    wanted = boards(0.1, cants=(post,), step=0.005, kerf=0.005)
    found = ripped(plain(0.5, 2.0), wanted, pith=(True, 0.05))
    hearts = [b for b in found.boards if b.cant]
    assert [(b.width, b.length) for b in hearts] == [(0.2, 1.8)]
    assert hearts[0].left == pytest.approx(-0.1, abs=0.005)
    # 145 mm are left on either side: one board each.
    assert found.value == pytest.approx(50 + 2 * 100 * 0.1 * 2.0)
    # Not where the pith lies nearer to a face than the margin, nor where there is none.
    for pith in ((True, 0.03), CLEAR):
        assert not any(b.cant for b in ripped(plain(0.5, 2.0), wanted, pith=pith).boards)


@pytest.mark.parametrize("ease", [-0.004, 0.004])
def test_the_largest_square_heart_of_a_round_log(ease):
    """Side d / root 2, from outside our planner: the square in a circle."""
    log, side = cylinder(0.3, 2.5, 720), largest_square(0.6) + ease
    rates = replace(beam.RATES, otherwise=1.0)
    depth = round(1000 * side)
    post = Cant("post", green(depth), depth / 1000, 2.0, 500.0)
    job = (log, beam.LIE, replace(beam.MILL, depth_max=0.6), replace(beam.AIMS, both_sides=True), rates)
    mixed = rip_log(*job, beam.TIMBER, Boards((0.1,), otherwise=0.0, cants=(post,), step=0.001))
    cut = [b.cant for s in mixed.slabs if s.ripped for b in s.rip.boards]
    assert cut == (["post"] if ease < 0 else [])


def test_the_strongest_beam_has_the_largest_section_modulus():
    from scipy.optimize import minimize_scalar

    best = minimize_scalar(lambda b: -b * (0.5**2 - b**2), bounds=(0.01, 0.49), method="bounded")
    width, depth = strongest_beam(0.5)
    assert width == pytest.approx(best.x, rel=1e-4)
    assert math.hypot(width, depth) == pytest.approx(0.5)
    assert depth / width == pytest.approx(math.sqrt(2))  # 7 : 5, as carpenters say
    with pytest.raises(BadValue, match="diameter"):
        strongest_beam(0.0)


def test_a_depth_that_is_not_sawn_otherwise_brings_nothing_as_a_slab():
    post = Cant("post", green(150), 0.2, 1.8, 50.0)
    aims, rates, made = with_cants(beam.AIMS, beam.RATES, Boards((0.1,), otherwise=9.0, cants=(post,)))
    assert [a.label for a in aims.thicknesses] == ["100 mm green", "150 mm green"]
    assert rates.rate("150 mm green") == 0
    assert made.rate("150 mm green") == 0
    assert made.rate("100 mm green") == 9


# In the plan.

WANTED = Boards((0.06, 0.1, 0.14), otherwise=5.0, along=Along.BEST, lengths=(0.6, 1.0, 1.5), per_board=0.3)


def jobs(count: int):
    """Drawn logs in which something can be sawn, boards priced about as slabs are."""
    for seed in range(200):
        job = case(seed, 0.004)
        model = job.model
        if model.pay.rounded or not (solution := solve(model, job.roll, job.pitch, job.ground)).slabs:
            continue
        wanted = replace(WANTED, otherwise=float(np.mean([c.rate for c in model.choices])))
        stock = stock_of(wanted, model.choices, job.aims, model, job.shape.length)
        yield job, model, solution, wanted, stock
        count -= 1
        if not count:
            return


def test_what_the_planner_counts_on_is_what_is_ripped():
    seen = 0
    for job, model, solution, wanted, stock in jobs(4):
        values = rip_values(model, wanted, stock, solution.tables, solution.first)
        for o, i in [(o, i) for o in range(len(values)) for i in range(0, values.shape[1], 9)]:
            t = int(model.pay.thick[o])
            if i < t:
                continue
            tables = solution.tables
            faces = [np.stack([tables.left[:, k], tables.right[:, k]], axis=1) for k in (i, i - t)]
            outline = SlabOutline(model.wood.z, faces[0], faces[1], t * model.reach.step)
            under, above = ((solution.first + k) * model.reach.step for k in (i - t, i))
            holds = under < tables.pith_high[0] - 1e-9 and above > tables.pith_low[0] + 1e-9
            depth = float(min(tables.pith_low[0] - under, above - tables.pith_high[0]))
            usable = (
                float(model.wood.z[model.wood.usable_from]),
                float(model.wood.z[model.wood.usable_to - 1]),
            )
            rip = rip_outline(outline, usable, (bool(holds), depth), wanted, stock, o)
            assert rip.value == pytest.approx(values[o, i], abs=1e-9)
            assert sum(b.value for b in rip.boards) == pytest.approx(rip.value, abs=1e-9)
            seen += rip.value > 0
        assert job.shape.length >= usable[1]
    assert seen > 20


@pytest.mark.parametrize("live", [True, False])
def test_highs_finds_the_same_net_with_rips(live):
    for _, model, solution, wanted, stock in jobs(6):
        worth = rip_values(model, wanted, stock, solution.tables, solution.first)
        rips = np.where(worth > 0, worth - model.pay.slab_cost, -np.inf)
        mixed = with_rips(model, solution, rips, live=live)
        gain, rule, most = flow(rows(mixed, model), model.reach.kerf)
        best = by_lp(gain, rule, most) if gain.size else 0.0
        assert mixed.net == pytest.approx(best, rel=1e-7, abs=1e-9)
        if live:
            assert mixed.net >= solution.net - 1e-9


def test_mixed_is_worth_no_less_than_either():
    made = sawn(beam.beam(0.4, 0.25))
    log = (beam.beam(0.4, 0.25), beam.LIE, beam.MILL, beam.AIMS, beam.RATES, beam.TIMBER)
    mixed = rip_log(*log, Boards((0.1, 0.15), otherwise=1200.0))
    nets = {w.name: w.net for w in mixed.ways}
    assert nets["slabs"] == pytest.approx(made.net)
    assert nets["mixed"] >= max(nets.values()) - 1e-9
    assert nets["slabs, ripped where it pays"] >= nets["slabs"] - 1e-9
    assert mixed.plan.net == pytest.approx(mixed.plan.value - mixed.plan.cost)
    # What a finished plan's slabs would be as boards is the same for the same slabs.
    again = boards_of(made, beam.TIMBER, Boards((0.1, 0.15), otherwise=1200.0))
    total = sum(max(s.rip.value, s.as_slab) for s in again) - made.cost
    assert total == pytest.approx(nets["slabs, ripped where it pays"])


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=25, deadline=None)
def test_more_to_choose_from_and_a_thinner_kerf_never_cost(seed):
    outline = slab(seed, width=0.5)
    few = ripped(outline, boards(0.08, 0.12, step=0.002, kerf=0.006)).value
    assert ripped(outline, boards(0.08, 0.1, 0.12, step=0.002, kerf=0.006)).value >= few - 1e-9
    assert ripped(outline, boards(0.08, 0.12, step=0.002, kerf=0.004)).value >= few - 1e-9
    assert ripped(outline, boards(0.08, 0.12, step=0.002, kerf=0.006, along=Along.BEST)).value >= few - 1e-9
    mirrored = SlabOutline(outline.z, -outline.upper[:, ::-1], -outline.lower[:, ::-1], 0.1)
    assert ripped(mirrored, boards(0.08, 0.12, step=0.002, kerf=0.006)).value == pytest.approx(few, abs=1e-9)


def test_nothing_to_rip_is_refused():
    with pytest.raises(BadValue, match=r"boards\.width .*at least one width"):
        stock_of(Boards(()), MODEL.choices, AIMS, MODEL, 2.0)

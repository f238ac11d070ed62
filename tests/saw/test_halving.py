"""Logs parted through the pith, against circles worked by hand, an independent clipper and the whole log."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from click.testing import CliRunner

from pithline.errors import BadValue
from pithline.log.shape import LogShape, polygon_areas
from pithline.saw.aims import Aims, PithRule
from pithline.saw.mill import Mill
from pithline.saw.parts.counted import Worth, counts_of, share_out
from pithline.saw.parts.halving import halve
from pithline.saw.parts.laid import Job, laid, most_slabs, planned
from pithline.saw.parts.parted import beyond, chords_at, clipped, passes_needed
from pithline.saw.parts.side_trims import trimmed, trims_needed
from pithline.saw.planning import plan
from pithline.saw.uses.use import Use
from tests.saw.beam import AIMS, LIE, RATES, TIMBER, green

RADIUS, LENGTH = 0.3, 2.0
SHORT = Mill(bar=0.5, bar_lost=0.1, kerf=0.010)
WIDE = replace(SHORT, bar=2.0)
FREE: Aims = replace(AIMS, thicknesses=(green(50),), both_sides=True)


def cylinder() -> LogShape:
    angle = np.linspace(0, 2 * math.pi, 360, endpoint=False)
    ring = RADIUS * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    return LogShape.of(np.array([0.0, LENGTH]), np.stack([ring, ring]), np.zeros(2))


@pytest.mark.parametrize("degrees", [0.0, 33.0, 90.0, 215.0])
def test_two_halves_and_the_kerf_are_the_whole_circle(degrees):
    # Strip of width k through the middle: k sqrt(r^2 - k^2/4) + 2 r^2 asin(k / 2r).
    roll, k = math.radians(degrees), 0.010
    parts = [beyond(cylinder(), roll + t, 0.5 * k) for t in (0.0, math.pi)]
    strip = k * math.sqrt(RADIUS**2 - k * k / 4) + 2 * RADIUS**2 * math.asin(k / (2 * RADIUS))
    wood = sum(float(polygon_areas(p.outlines)[0]) for p in parts) + strip
    assert wood == pytest.approx(math.pi * RADIUS**2, rel=1e-4)  # 360-gon: 5e-5 less than the circle
    assert chords_at(cylinder().outlines, roll, 0.0) == pytest.approx(2 * RADIUS, rel=1e-4)


def test_clipping_agrees_with_a_general_clipper():
    # The general alternative: polygon intersection in shapely. A lobed outline off the pith.
    from shapely import Polygon, box

    angle = np.linspace(0, 2 * math.pi, 72, endpoint=False)
    r = 0.3 + 0.03 * np.cos(3 * angle) + 0.02 * np.cos(7 * angle + 1)
    outline = np.stack([0.04 + r * np.cos(angle), -0.03 + r * np.sin(angle)], axis=1)
    for least in (-0.2, 0.0, 0.0451, 0.2):
        ours = float(polygon_areas(clipped(outline, 0.0, least)))
        assert ours == pytest.approx(Polygon(outline).intersection(box(-1, least, 1, 1)).area, abs=1e-12)


def test_passes_meet_at_twice_the_usable_bar():
    # 0.4 m usable, 20 mm clearance: up to 380 mm in one pass, up to 780 mm in two.
    widths = (0.38, 0.381, 0.78, 0.781)
    assert [passes_needed(w, SHORT) for w in widths] == [1, 2, 2, 0]


def test_halves_of_a_round_log_that_the_bar_cannot_span():
    made = halve(cylinder(), LIE, SHORT, FREE, RATES, TIMBER, rolls=np.array([0.0]))
    (cut,) = made.partings
    assert (cut.passes, cut.area) == (2, pytest.approx(2 * RADIUS * LENGTH, rel=1e-4))
    assert cut.minutes == pytest.approx(cut.area * 5 + 2 * 6)
    # Laid on edge no chord is wider than the radius less half a kerf: the bar reaches all of it.
    assert {p.lay for p in made.parts} == {"on edge"}
    widest = max(c.width for p in made.plans for c in p.cuts)
    assert widest <= RADIUS - 0.005 + 1e-9
    # The two halves are mirror images.
    assert made.plans[0].net == pytest.approx(made.plans[1].net, rel=1e-6)
    assert made.whole is not None
    assert made.net > made.whole.net


@pytest.mark.parametrize("roll", [0.0, 1.0])
def test_halves_sawn_along_the_first_cut_are_never_worth_more_than_an_unlimited_bar(roll):
    # Their cuts and the first cut together are one chain of the whole log, if the bar could reach.
    rates = replace(RATES, per_cut_area=2.0)
    rolls = np.array([roll])
    made = halve(cylinder(), LIE, WIDE, FREE, rates, TIMBER, lay="flat down", rolls=rolls)
    whole = plan(cylinder(), LIE, WIDE, replace(FREE, roll=roll), rates, TIMBER, compare=False)
    assert 0 < made.net <= whole.net + 1e-9
    assert made.partings[0].cost == pytest.approx(2.0 * made.partings[0].area)


def test_quarters_hold_no_more_than_the_halves_and_are_as_wide_as_a_radius():
    made = halve(cylinder(), LIE, SHORT, FREE, RATES, TIMBER, quarters=True, rolls=np.array([0.0]))
    assert len(made.parts) == 4
    assert [c.passes for c in made.partings] == [2, 1, 1]
    wood = sum(float(polygon_areas(p.shape.outlines)[0]) for p in made.parts)
    # Two strips of a kerf that cross in a square: circle - 2 (k 2 r) + k^2.
    assert wood == pytest.approx(math.pi * RADIUS**2 - 4 * 0.01 * RADIUS + 1e-4, rel=1e-4)
    nets = [p.net for p in made.plans]
    assert nets == pytest.approx([nets[0]] * 4, rel=1e-6)


def test_no_first_cut_without_bar_enough():
    with pytest.raises(BadValue, match="two passes from opposite sides"):
        halve(cylinder(), LIE, replace(SHORT, bar=0.3), FREE, RATES, TIMBER, rolls=np.array([0.0]))


def test_trimmed_sides_let_the_bar_through():
    # 0.5 m usable of a 0.6 m log: 0.48 m is kept, so the faces are 480 mm apart and each trim is a chord.
    mill, rates = replace(SHORT, bar=0.6), replace(RATES, per_cut_area=2.0)
    made = trims_needed(cylinder(), LIE, mill, FREE, rates, TIMBER)
    assert made.net_without < made.net <= made.net_unlimited
    faces = {c.side: c.face for c in made.cuts}
    assert faces
    if len(faces) == 2:
        assert faces["right"] - faces["left"] == pytest.approx(0.48)
    chords = sum(2 * math.sqrt(RADIUS**2 - f * f) for f in faces.values())
    assert made.area == pytest.approx(chords * LENGTH, rel=2e-3)
    assert made.minutes == pytest.approx(made.area * 5 + len(faces) * 6)
    # What the plan says of the log that is left, and the trims paid.
    left = trimmed(cylinder(), made, FREE)
    assert plan(left, LIE, mill, FREE, rates, TIMBER, compare=False).net - made.cost == pytest.approx(
        made.net
    )
    v = left.outlines[..., 0]
    assert v.max() - v.min() == pytest.approx(0.48)
    # A bar long enough already needs none.
    assert not trims_needed(cylinder(), LIE, replace(SHORT, bar=1.0), FREE, rates, TIMBER).cuts


def test_trims_cut_an_order_that_the_bar_could_not_reach():
    # A top 45 cm wide: where the bar cuts 400 less 20 mm no slab is so wide, and no trim makes it so. With
    # 480 mm the trimmed middle is.
    mill, rates = replace(SHORT, bar=0.6), replace(RATES, per_cut_area=2.0)
    top = Use("top", 0.45, 1.5, at_most=1, ordered=True, price=1.0)
    aims = replace(FREE, orders=(top,))
    made = trims_needed(cylinder(), LIE, mill, aims, rates, TIMBER)
    assert made.cuts
    got = plan(trimmed(cylinder(), made, aims), LIE, mill, aims, rates, TIMBER, compare=False)
    assert [o.cut for o in got.orders] == [1]
    assert got.net - made.cost == pytest.approx(made.net)


def test_an_order_is_shared_out_over_the_halves():
    # Every half has slabs for it, and together they fill it; by itself each would cut all of it.
    bench = Use("bench", 0.2, 1.5, at_most=3, ordered=True, price=1.0)
    rolls = np.array([0.0])
    made = halve(cylinder(), LIE, SHORT, replace(FREE, orders=(bench,)), RATES, TIMBER, rolls=rolls)
    assert [(o.name, o.wanted, o.cut) for o in made.orders] == [("bench", 3, 3)]
    cut = [p.orders[0].cut if p.orders else 0 for p in made.plans]
    assert sum(cut) == 3
    free = halve(cylinder(), LIE, SHORT, FREE, RATES, TIMBER, rolls=rolls)
    # A bench brings next to nothing: the order costs.
    assert made.net < free.net


def test_a_part_knows_what_it_is_worth_for_every_number_of_pieces():
    # Its tables, read once, against a plan for each number by itself.
    order = Use("bench", 0.2, 1.5, at_most=2, ordered=True, price=60.0)
    top = Use("top", 0.25, 1.5, at_most=3, price=300.0)
    aims = replace(FREE, orders=(order,), pith=PithRule.THROUGH)
    job = Job(LIE, SHORT, aims, replace(RATES, uses=(top,)), TIMBER)
    half = beyond(cylinder(), 0.0, 0.005)
    counted = counts_of(aims, job.rates, 2 * most_slabs(half, job))
    assert [(c.place, c.most) for c in counted] == [(0, 2), (1, 3)]
    (worth,) = laid(half, (1,), 0.0, job, counted).worths
    for counts in np.ndindex(3, 4):
        made = planned(half, 1, 0.0, job, counted, counts)
        assert made is not None
        assert worth.net[counts] == pytest.approx(made.net)
        assert worth.filled[counts] == sum(o.cut for o in made.orders)
    assert worth.net[0, 3] > worth.net[0, 0]


def test_counts_are_shared_out_as_by_trying_all():
    # Drawn tables of three parts that are worth more with more pieces; two counted uses.
    rng = np.random.default_rng(3)
    for _ in range(20):
        shape = (int(rng.integers(1, 4)), int(rng.integers(1, 5)))
        parts = []
        for _ in range(3):
            filled = np.minimum.outer(np.arange(shape[0]), np.full(shape[1], rng.integers(0, 3))).astype(
                float
            )
            net = rng.uniform(0, 9, shape)
            net = np.maximum.accumulate(np.maximum.accumulate(net, axis=0), axis=1)
            parts.append(Worth(filled, net))
        best = (-1.0, -math.inf)
        every = list(np.ndindex(shape))
        for counts in product(every, repeat=3):
            if all(sum(c[k] for c in counts) < shape[k] for k in (0, 1)):
                told = sum(p.filled[c] for p, c in zip(parts, counts, strict=True))
                best = max(best, (told, sum(p.net[c] for p, c in zip(parts, counts, strict=True))))
        filled, net, counts = share_out(parts)
        assert (filled, net) == pytest.approx(best)
        assert sum(p.net[c] for p, c in zip(parts, counts, strict=True)) == pytest.approx(net)
        assert all(sum(c[k] for c in counts) < shape[k] for k in (0, 1))


def test_a_cap_holds_over_both_halves():
    # One top at a price beyond all else: two halves sell one of it, not one each.
    top = Use("top", 0.2, 1.5, at_most=1, price=5000.0)
    rolls = np.array([0.0])
    made = halve(cylinder(), LIE, SHORT, FREE, replace(RATES, uses=(top,)), TIMBER, rolls=rolls)
    sold = [p for m in made.plans for s in m.slabs for p in s.pieces if p.use == "top"]
    assert len(sold) == 1
    free = halve(cylinder(), LIE, SHORT, FREE, RATES, TIMBER, rolls=rolls)
    assert free.net < made.net < free.net + 5000


def test_planes_to_avoid_are_kept_out_of_every_half():
    # A shake from 60 to 70 mm above the pith and one from 110 to 100 mm below: seen at 30 degrees.
    shakes = ((0.06, 0.07), (-0.11, -0.10))
    aims = replace(FREE, skips=shakes, roll=math.radians(30))
    made = halve(cylinder(), LIE, WIDE, aims, RATES, TIMBER)
    assert made.partings[0].roll == pytest.approx(math.radians(30))
    assert {p.lay for p in made.parts} <= {"flat down", "flat up"}
    assert sum(len(m.slabs) for m in made.plans) > 2
    for m in made.plans:
        up = 1 if math.cos(m.roll - aims.roll) > 0 else -1
        for s in m.slabs:
            low, high = sorted((up * s.lower, up * s.upper))
            assert all(high <= a + 1e-9 or low >= b - 1e-9 for a, b in shakes)
    with pytest.raises(BadValue, match="run through every slab"):
        halve(cylinder(), LIE, WIDE, aims, RATES, TIMBER, lay="on edge")


def test_the_command_sums_its_own_rows():
    from pithline.cli.halve import command

    ran = CliRunner().invoke(
        command, ["demo/hollow-oak.toml", "--bar", "60 cm", "--lay", "on edge", "--json"]
    )
    assert ran.exit_code == 0, ran.output
    told = json.loads(ran.stdout)
    parts, cuts = told["parts"], told["first_cuts"]
    assert len(parts) == 2
    assert told["parted"]["net"] == pytest.approx(sum(p["net"] for p in parts) - sum(c["cost"] for c in cuts))
    assert told["parted"]["cuts"] == sum(p["cuts"] for p in parts) + 1
    # Every part can be sawn by what is told of it.
    for part in parts:
        assert part["plan"]["totals"]["net_money"] == pytest.approx(part["net"])
        assert len(part["plan"]["cuts"]) == part["cuts"]


def test_the_command_tells_the_cuts_of_every_part_in_the_logs_units():
    from pithline.cli.halve import command

    log = [
        "--species",
        "red oak",
        "--length",
        "8 ft",
        "--butt",
        "34 in",
        "--top",
        "30 in",
        "--bearers",
        "12 in",
    ]
    words = [*log, "--bar", "30 in", "--lay", "on edge", "--thickness", "8/4", "--pith", "box"]
    told = json.loads(CliRunner().invoke(command, [*words, "--json"]).stdout)
    said = CliRunner().invoke(command, words).stdout
    assert " mm" not in said
    for part in told["parts"]:
        assert f"{part['name'].capitalize()}, on edge. Cuts, in the order of sawing" in said
    assert "Pith rule of the parts: through, not box" in said
    assert "wedge and chock both halves" in said


def test_the_command_tells_what_became_of_orders():
    from pithline.cli.halve import command

    words = ["demo/hollow-oak.toml", "--bar", "60 cm", "--lay", "on edge"]
    words += ["--order", "2 of bench: 20 cm x 1.5 m, 8/4, at 50"]
    told = json.loads(CliRunner().invoke(command, [*words, "--json"]).stdout)
    assert told["orders"] == [{"name": "bench", "wanted": 2, "cut": 2}]
    assert (
        "Order bench: 2 of 2 cut from the parts, 0 from the whole log."
        in CliRunner().invoke(command, words).stdout
    )


def test_the_command_trims_sides():
    from pithline.cli.halve import command

    ran = CliRunner().invoke(command, ["demo/hollow-oak.toml", "--bar", "75 cm", "--trim", "--json"])
    assert ran.exit_code == 0, ran.output
    told = json.loads(ran.stdout)
    assert told["trims"]
    assert told["whole"]["net"] < told["trimmed"]["net"] < told["bar_without_limit_net"]
    assert all(c["width_mm"] <= 1000 * (c["passes"] * (0.75 - 0.14) - 0.02) for c in told["trims"])
    refused = CliRunner().invoke(command, ["demo/hollow-oak.toml", "--trim", "--quarters"])
    assert refused.exit_code == 2
    assert "one piece" in refused.output

"""Logs parted through the pith, against circles worked by hand, an independent clipper and the whole log."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from click.testing import CliRunner

from pithline.errors import BadValue
from pithline.log.shape import LogShape, polygon_areas
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.parts.halving import halve
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

"""The forecast: its range, its milestones, what strains a slab; a yard at once."""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from pithline.dry.air import constant
from pithline.dry.coefficient import spread_of, wood_of
from pithline.dry.diffusion import course
from pithline.dry.forecast import forecast, many, start_draws
from pithline.dry.milestones import MILESTONES
from pithline.dry.months import place
from pithline.dry.phases import Phase, drawn_air
from pithline.dry.risk import check_index, strain_of
from pithline.errors import BadValue
from pithline.wood.density import green_moisture
from pithline.wood.estimate import Estimate
from pithline.wood.species import species

OAK = species("northern red oak")
APRIL = datetime.date(2026, 4, 1)
STAYS = [Phase("yard", 500, place("Pittsburgh")), Phase("shop", 200, temperature=20, emc=0.075)]


def made(thickness=0.0508, **more):
    return forecast(thickness, OAK, STAYS, APRIL, np.random.default_rng(5), draws=200, **more)


def test_a_forecast_is_ordered_and_repeats_itself():
    one, same = made(), made()
    assert one.mean == pytest.approx(same.mean)
    assert np.all(np.diff(one.mean, axis=0) >= 0)
    for ready in one.ready:
        assert ready.days[0] <= ready.days[1] <= ready.days[2]
    middles = [ready.days[1] for ready in one.ready]
    assert middles == sorted(middles)
    assert [ready.milestone.moisture for ready in one.ready] == [each.moisture for each in MILESTONES]
    # The course with every unknown at its middle is about the middle of the draws.
    assert one.middle.reached[1] == pytest.approx(one.ready[1].days[1], rel=0.15)
    assert abs(one.middle.balance) < 1e-9
    assert one.folk_days == pytest.approx(2 * 365.25)


def test_thick_slabs_are_marked_as_extrapolated():
    assert made(0.0762).extrapolated
    assert not made(0.0254).extrapolated


def test_a_known_start_narrows_the_range():
    known = Estimate(0.30, 0.30, 0.30, False)
    wide, narrow = made(), made(start=known)
    assert narrow.ready[1].days[1] < wide.ready[1].days[1]
    assert narrow.mean[2, 0] - narrow.mean[0, 0] == pytest.approx(0, abs=1e-12)


def test_start_draws_hold_their_range():
    start = Estimate(0.6, 0.8, 0.9, False)
    drawn = start_draws(start, 20_000, np.random.default_rng(3))
    # One in ten at either end: three standard errors of 20,000 draws are 0.6 %.
    assert (drawn < 0.6).mean() == pytest.approx(0.1, abs=0.007)
    assert (drawn > 0.9).mean() == pytest.approx(0.1, abs=0.007)


def test_a_yard_at_once_is_each_slab_alone():
    rng = np.random.default_rng(7)
    airs = drawn_air(STAYS, APRIL, 100, rng)
    slabs = [
        (thickness, wood_of(OAK), spread_of(OAK, thickness)[0], green_moisture(OAK))
        for thickness in (0.0254, 0.0508)
    ]
    told = []
    mean, reached = many(slabs, airs, np.array([100.0, 400]), [0.2], rng, told.append)
    assert told == [1, 2]
    alone = made(0.0508)
    # Another 100 draws of the same range: the middle of 100 days with a spread of a third.
    assert reached[1, 1, 0] == pytest.approx(alone.ready[1].days[1], rel=0.2)
    assert np.all(np.diff(mean, axis=1) >= 0)
    assert np.all(mean[0, 1] < mean[1, 1])


def test_hotter_and_drier_air_strains_a_slab_more():
    days = np.arange(0.0, 60)
    mild = course(0.05, constant("a", 15, 61, emc=0.16), days, 0.8)
    harsh = course(0.05, constant("a", 45, 61, emc=0.05), days, 0.8)
    a, b = strain_of(mild, 0.086), strain_of(harsh, 0.086)
    assert b.loss > 2 * a.loss
    assert b.index > a.index > 0


def test_the_check_index():
    # By hand: the face wants 0.086 (30 - 15) / 30 = 4.3 %, the wet core nothing.
    assert float(check_index(0.6, 0.15, 0.086)) == pytest.approx(0.043)
    assert float(check_index(0.6, 0.4, 0.086)) == 0
    assert float(check_index(0.1, 0.1, 0.086)) == 0


def test_refusals():
    with pytest.raises(BadValue, match="draws"):
        forecast(0.05, OAK, STAYS, APRIL, np.random.default_rng(1), draws=3)
    with pytest.raises(BadValue, match="phases"):
        forecast(0.05, OAK, [], APRIL, np.random.default_rng(1))

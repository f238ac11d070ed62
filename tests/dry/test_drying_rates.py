"""The calibrated rates against the printed air-drying times, and woods without one."""

from __future__ import annotations

import datetime
import math
from functools import cache

import numpy as np
import pytest

from pithline.dry.air import constant
from pithline.dry.calibrate import CLIMATES, fit, printed
from pithline.dry.coefficient import EXTRAPOLATED, rate_of, spread_of, wood_of
from pithline.dry.diffusion import course, courses
from pithline.dry.kiln.days import red_oak_days
from pithline.dry.months import place, through
from pithline.dry.printed import rows
from pithline.units import INCH
from pithline.wood.density import green_moisture
from pithline.wood.species import species
from tests.sources import table

WOODS = sorted({row["wood"] for row in printed()})


@cache
def airs(climate):
    south = {"warmest": 28.0, "coldest": 5.0} if climate == "south" else {}
    return [
        through(place(name, **south), datetime.date(2025, month, 1), 900)
        for name in CLIMATES[climate]
        for month in range(1, 13)
    ]


def stacked(wood, climate):
    """Days to 20 % of 1-inch stock stacked on the first of each month."""
    start, one = green_moisture(wood).mid, np.ones(1)
    return np.array(
        [
            courses(INCH, air, [0.0], one * start, one, wood=wood_of(wood), targets=[0.2]).reached[0, 0]
            for air in airs(climate)
        ]
    )


@pytest.mark.parametrize("name", WOODS)
def test_the_middle_month_falls_into_the_printed_range(name):
    # FPL-GTR-117 (1999), approximate air-drying periods (from memory). Woods printed twice, by heartwood and
    # sapwood or by region, have one rate here: it must lie in the span of both.
    own = [row for row in printed() if row["wood"] == name]
    least = min(float(row["days_least"]) for row in own)
    most = max(float(row["days_most"]) for row in own)
    days = stacked(species(name), own[0]["climate"])
    assert least <= np.median(days) <= most


def test_sugar_maple_dries_as_measured():
    # E. C. Peck 1957, FPL Report 2086, Upper Michigan (read): 40 to 205 days, 90 in the mean, 4/4 stock.
    # Chicago is the nearest place with known months; a calibration on another, remembered table.
    days = [d for d, air in zip(stacked(species("sugar maple"), "east"), airs("east"), strict=True)
            if "Chicago" in air.remarks[0]]  # fmt: skip
    assert min(days) > 40
    assert max(days) < 215
    assert np.mean(days) == pytest.approx(90, rel=0.4)


@pytest.mark.parametrize("name", ["oak, red, northern/upland", "walnut, black"])
def test_the_committed_rates_are_made_by_the_calibration(name):
    made = fit(next(row for row in printed() if row["printed_name"] == name))
    kept = next(row for row in rows("drying_rates.csv") if row["printed_name"] == name)
    # Written to four digits; the calibration has no chance in it.
    assert made.rate == pytest.approx(float(kept["rate"]), rel=1e-3)
    assert made.inside_after == pytest.approx(float(kept["inside_after"]), abs=1e-3)


def test_every_printed_wood_has_a_rate_and_no_other():
    assert [r["printed_name"] for r in rows("drying_rates.csv")] == [r["printed_name"] for r in printed()]


def test_how_many_printed_ranges_hold_before_and_after_calibration():
    # FPL-GTR-117 (1999), from memory: 50 rows, every wood of the printed table that grows here. As counted by
    # `python -m benchmarks.calibrate_drying`: the middle stacking month lies inside for 33 rows by density
    # alone and for 50 with the rates, 58 and 90 % of all stacking months. Here from the committed days.
    kept = rows("drying_rates.csv")

    def inside(when):
        return sum(
            float(row["least_days"]) <= float(row[f"{when}_middle"]) <= float(row["most_days"])
            for row in kept
        )

    # Whole days are kept: one of the 33 and 17 stands on its edge.
    assert (len(kept), inside("before") in (33, 34), inside("after")) == (50, True, 50)
    shares = [sum(float(row[f"inside_{when}"]) for row in kept) / 50 for when in ("before", "after")]
    assert shares == pytest.approx([0.58, 0.90], abs=0.006)


def test_a_wood_without_a_printed_time_is_a_guess_and_says_so():
    found = rate_of(species("European ash"))
    assert found.guess
    assert "guess" in found.basis[0]
    assert not rate_of(species("white ash")).guess
    assert found.low < rate_of(species("white ash")).mid < found.high


def test_thick_slabs_are_marked_and_have_a_wider_range():
    oak = species("northern red oak")
    thin, thick = spread_of(oak, 1 * INCH), spread_of(oak, 3 * INCH)
    assert thick[0] > 1.2 * thin[0]
    assert any("extrapolated" in remark for remark in thick[1])
    assert not any("extrapolated" in remark for remark in spread_of(oak, 0.99 * EXTRAPOLATED)[1])
    assert any("from memory" in remark for remark in thin[1])


@pytest.mark.parametrize("celsius", [16.0, 22, 30, 45])
@pytest.mark.parametrize("rest", [0.08, 0.12])
def test_red_oak_is_near_the_published_time_constant(celsius, rest):
    # Simpson and Tschernitz 1979 (read in secondary sources), moving air, 4/4, 80 to 20 %. Their time hangs
    # on the vapour pressure and a constant, ours on exp(5280/T): they cross near 22 °C; at 16 °C ours is
    # 1.4 times as long, at 45 °C half. In thickness theirs has the power 1.52.
    wood = wood_of(species("northern red oak"))
    ours = course(INCH, constant("a", celsius, 900, emc=rest), [0.0], 0.8, wood=wood, targets=[0.2]).reached[
        0
    ]
    theirs = red_oak_days(INCH, celsius, rest, 0.8, 0.2)
    assert 0.5 < ours / theirs < 2.0


def test_printed_thickness_factors_are_below_diffusion_and_near_a_slow_face():
    # E. M. Wengert (read): 6/4 takes 1.7 times 4/4's kiln time, 8/4 2.5 times, 12/4 4.38 times: power 1.3. A
    # face at equilibrium gives 2.25, 4 and 9: power 2. The least published film, 1e-8 m/s, holds thin up
    # and comes to 1.8, 2.8 and 5.6: near, and on the slow side. So thick slabs have a range that says so.
    air = constant("kiln", 45, 900, emc=0.08)

    def factors(film):
        wood = wood_of(species("northern red oak"))
        days = [
            course(
                n * INCH, air, [0.0], 0.8, wood=type(wood)(rate=wood.rate, film=film), targets=[0.12]
            ).reached[0]
            for n in (1, 1.5, 2, 3)
        ]
        return np.array(days[1:]) / days[0]

    slow, free = factors(1e-8), factors(math.inf)
    for row, a, b in zip(table("thickness_factors"), slow, free, strict=True):
        assert float(row["times_4_4"]) < 0.8 * b
        assert float(row["times_4_4"]) == pytest.approx(a, rel=0.25)

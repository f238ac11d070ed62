"""Months of places, phases by the calendar, and what a person writes of them."""

from __future__ import annotations

import datetime
import math

import numpy as np
import pytest

from pithline.dry.months import guessed, own, place, places, through
from pithline.dry.phases import Phase, air_through, drawn_air
from pithline.dry.printed import rows
from pithline.dry.written_drying import period, phase_words, read_months, read_phase
from pithline.errors import BadValue
from tests.sources import table

APRIL = datetime.date(2026, 4, 15)


@pytest.mark.parametrize("row", table("outdoor_moisture_computed"))
def test_outdoor_moisture_of_the_shipped_places(row):
    # Computed elsewhere with the same equation and printed to 0.1: half a digit and its input's rounding.
    found = place(row["place"]).emc[int(row["month"]) - 1] * 100
    assert found == pytest.approx(float(row["moisture_percent"]), abs=0.08)


def test_seven_places_have_temperatures_and_others_ask_for_them():
    assert len(places()) == 7
    with pytest.raises(BadValue, match="only its outdoor moisture is known"):
        place("Little Rock")
    found = place("Little Rock", 28, 5)
    assert found.guess
    assert "from memory" in found.basis[0]
    assert (found.temperature.max(), found.temperature.min()) == pytest.approx((28, 5))
    with pytest.raises(BadValue, match="Did you mean Pittsburgh"):
        place("Pitsburgh (Allegheny)")


def test_a_guess_has_a_wider_range_than_a_known_place():
    rng = np.random.default_rng(2)
    spread = [
        np.std([m.drawn(12, rng)[0].mean() for _ in range(400)]) for m in (guessed(22, -2), place("Chicago"))
    ]
    assert spread[0] > 2 * spread[1]
    assert guessed(25, 5, south=True).temperature.argmax() == 0


def test_a_stay_outdoors_follows_the_calendar():
    months = own("here", range(12), [0.7] * 12)
    air = through(months, APRIL, 60)
    assert air.ends.tolist() == [16, 47, 60]
    assert air.temperature.tolist() == [3, 4, 5]
    leap = through(months, datetime.date(2028, 2, 1), 40)
    assert leap.ends.tolist() == [29, 40]


def test_phases_follow_each_other():
    months = place("Pittsburgh")
    stay = [Phase("yard", 200, months), Phase("kiln", 60, temperature=45, emc=0.06, until=0.08)]
    air = air_through(stay, APRIL)
    assert air.days == pytest.approx(260)
    assert air.names == ("yard", "kiln")
    with pytest.raises(BadValue, match="before every phase that ends at a moisture"):
        air_through([*stay, Phase("yard again", 30, months)], APRIL)
    drawn = drawn_air(stay, APRIL, 300, np.random.default_rng(1))
    mean = np.mean([each.temperature for each in drawn], axis=0)
    # 300 draws of 1.6 K: four standard errors.
    assert mean == pytest.approx(air.temperature, abs=0.37)


@pytest.mark.parametrize(
    ("text", "days"), [("18 months", 547.875), ("3 weeks", 21), ("540 days", 540), ("1.5 years", 547.875)]
)
def test_a_period(text, days):
    assert period(text, "time") == pytest.approx(days)


@pytest.mark.parametrize("text", ["18", "0 days", "30 years", 18, "18 moons"])
def test_what_is_no_period(text):
    with pytest.raises(BadValue, match="18 months"):
        period(text, "time")


def test_phases_as_written():
    shop = read_phase(phase_words("shop: 20 C, 45 %, 6 months"), None)
    assert (shop.name, shop.temperature, shop.days) == ("shop", 20, pytest.approx(182.625))
    assert shop.emc == pytest.approx(0.0853, abs=5e-4)  # Wood Handbook Table 4-2 between 40 and 50 %, 70 F
    kiln = read_phase(phase_words("kiln: 113 F, rest 6 %, 30 days, until 8 %"), None)
    assert (kiln.temperature, kiln.emc, kiln.until) == (
        pytest.approx(45),
        pytest.approx(0.06),
        pytest.approx(0.08),
    )
    yard = read_phase(phase_words("outdoors: 18 months"), place("Chicago"))
    assert yard.months is not None


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ("18 months", "a name, a colon"),
        ("shop: 20 C, 6 months", "either a humidity or the rest"),
        ("shop: 20 C, 45 %, rest 8 %, 6 months", "either a humidity or the rest"),
        ("shop: 20 C, 45 %", "time is missing"),
        ("shop: warm, 45 %, 6 months", '"warm" is none of them'),
        ("shop: 20 C, 21 C, 45 %, 6 months", "told once about its temperature"),
        ("outdoors: 18 months", "months are known"),
    ],
)
def test_what_is_no_phase(text, match):
    with pytest.raises(BadValue, match=match):
        read_phase(phase_words(text), None)


def test_own_months_as_written():
    found = read_months(
        {"name": "hollow", "temperature": [f"{t} C" for t in range(12)], "humidity": ["70 %"] * 12}
    )
    assert found.temperature.tolist() == list(range(12))
    assert not found.guess
    assert read_months({"warmest": "22 C", "coldest": "-2 C"}).guess
    with pytest.raises(BadValue, match="twelve"):
        read_months({"temperature": ["5 C"] * 11, "humidity": ["70 %"] * 12})
    with pytest.raises(BadValue, match="warmest"):
        read_months({"name": "hollow"})


def test_every_shipped_place_has_twelve_sane_months():
    for name in places():
        assert len([row for row in rows("months.csv") if row["place"] == name]) == 12
    for row in rows("outdoor_emc.csv"):
        assert all(2 < float(value) < 25 for key, value in row.items() if key not in ("place", "region"))
        assert math.isfinite(float(row["jan"]))

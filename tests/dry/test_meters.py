"""Readings of moisture meters against the handbook, the published equation and the resistance table."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.dry.learning.meters import Meter, Pins, Scale, by_equation, by_rule, corrected
from pithline.dry.learning.resistance import for_wood, reading_for
from pithline.errors import BadValue
from pithline.wood.species import species
from tests.sources import table

OAK = species("northern red oak")
FIR = species("Douglas-fir, coast")
readings = st.floats(0.061, 0.299)
temperatures = st.floats(-20, 50)


@pytest.mark.parametrize(
    ("reading", "celsius", "expected"),
    [(14.0, 0, 15.8), (14.0, 20, 14.0), (14.0, 40, 12.2), (22.0, -5, 24.2)],
)
def test_rule_of_thumb(reading, celsius, expected):
    # Wood Handbook FPL-GTR-190 (2010), Ch. 13: 0.5 % per 5.6 °C. Worked out to one decimal.
    assert by_rule(reading / 100, celsius) * 100 == pytest.approx(expected, abs=0.06)


@pytest.mark.parametrize("row", table("meter_temperature_computed"))
def test_equation(row):
    for column, expected in row.items():
        if column.startswith("at_"):
            celsius = float(column.removeprefix("at_").removesuffix("_c").replace("minus_", "-"))
            found = by_equation(float(row["reading_percent"]) / 100, celsius) * 100
            assert found == pytest.approx(float(expected), abs=0.051)  # one decimal


@pytest.mark.parametrize("row", table("meter_species_computed"))
def test_species_from_the_resistance_table(row):
    moisture = float(row["moisture_percent"]) / 100
    for wood, shown in row.items():
        if wood != "moisture_percent":
            assert reading_for(moisture, wood) * 100 == pytest.approx(float(shown), abs=0.051)  # one decimal


def test_the_wood_of_the_scale_needs_no_correction():
    for percent in range(7, 26):
        assert for_wood(percent / 100, FIR).moisture == pytest.approx(percent / 100, abs=1e-12)


@pytest.mark.parametrize("wood", ["oak, northern red", "walnut, black", "maple, sugar", "ash, white"])
def test_there_and_back(wood):
    # Ash stops at 23 %: its last resistances are printed alike.
    for percent in range(9, 23):
        shown = reading_for(percent / 100, wood)
        assert shown < 0.25
        assert for_wood(shown, species(wood)).moisture == pytest.approx(percent / 100, abs=1e-9)


@given(reading=readings, celsius=temperatures)
def test_cold_wood_holds_more_than_shown(reading, celsius):
    warm, cold = (corrected(reading, Meter(), t, FIR) for t in (celsius + 5, celsius))
    assert cold.moisture >= warm.moisture


@given(low=readings, high=readings, celsius=temperatures)
def test_a_higher_reading_never_says_drier(low, high, celsius):
    low, high = sorted((low, high))
    one, other = (corrected(r, Meter(), celsius, OAK) for r in (low, high))
    assert one.moisture <= other.moisture + 1e-12


def test_nothing_is_added_where_the_maker_says_so():
    meter = Meter(calibrated_at=26.7)
    assert corrected(0.14, meter, 26.7, FIR).moisture == pytest.approx(0.14, abs=1e-12)


def test_above_30_percent_it_says_only_wet():
    # Wood Handbook, Ch. 13: usable from about 6 to 30 %.
    found = corrected(0.55, Meter(), 22.7, OAK)
    assert found.wet
    assert found.moisture <= 0.30
    assert corrected(0.29, Meter(), -10, OAK).wet  # corrected for the cold it is above 30 %
    assert not corrected(0.25, Meter(), 22.7, OAK).wet


def test_wet_in_hot_wood_proves_less_than_30_percent():
    # 30 % on the dial in wood of 50 °C is well under 30 % in the wood: no more may be claimed.
    assert corrected(0.40, Meter(), 50, FIR).moisture == pytest.approx(by_equation(0.30, 50), abs=0.002)


def test_under_6_percent_it_says_only_dry():
    found = corrected(0.04, Meter(scale=Scale.OWN, warm_itself=True), 20, OAK)
    assert found.dry
    assert found.moisture == pytest.approx(0.06)


def test_a_wood_that_is_not_printed_has_more_doubt_and_says_so():
    printed, kin, none = (
        corrected(0.15, Meter(), 22.7, wood) for wood in (OAK, species("white oak"), species("teak"))
    )
    assert printed.bias < kin.bias < none.bias
    assert any("stands in" in remark for remark in kin.remarks)
    assert any("not printed" in remark for remark in none.remarks)
    assert all("from memory" in " ".join(each.remarks) for each in (printed, kin, none))


def test_a_meter_set_to_the_wood_that_warms_itself_is_believed():
    assert corrected(0.143, Meter(scale=Scale.OWN, warm_itself=True), 3, OAK).moisture == 0.143


def test_without_pins_the_gravity_set_counts():
    # The field answers to the mass of water: set too light, it shows too much.
    light = corrected(0.12, Meter(Pins.PINLESS, gravity_set=0.45), 20, OAK)
    own = corrected(0.12, Meter(Pins.PINLESS, gravity_set=OAK.sg_12.value), 20, OAK)
    assert light.moisture < own.moisture == pytest.approx(0.12)
    assert light.bias > own.bias


@pytest.mark.parametrize(
    ("reading", "celsius", "told"),
    [(14, 20, 'Write "14 %"'), (0.14, 95, "Temperature of the wood"), (float("nan"), 20, "reading")],
)
def test_refused(reading, celsius, told):
    with pytest.raises(BadValue, match=told):
        corrected(reading, Meter(), celsius, OAK)

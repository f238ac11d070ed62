"""Equilibrium moisture and moisture from weights, against the printed tables."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.errors import BadValue
from pithline.wood.moisture import dry_mass, emc, humidity_for, moisture_from_weights
from tests.sources import table

EMC_TABLE = [
    ((float(row["temp_f"]) - 32) / 1.8, float(name.removeprefix("rh_")) / 100, float(cell))
    for row in table("emc_table_4_2.csv")
    for name, cell in row.items()
    if name.startswith("rh_")
]


def test_emc_agrees_with_every_cell_of_the_printed_table():
    # Wood Handbook FPL-GTR-190 (2010), Table 4-2, 16 rows of 19 humidities. Printed to 0.1 %, so half of
    # that is rounding; the table was made with slightly other temperatures: one hundredth more.
    temperature, humidity, printed = np.array(EMC_TABLE).T
    assert len(printed) == 16 * 19
    assert emc(temperature, humidity) * 100 == pytest.approx(printed, abs=0.06)


def test_a_coefficient_ten_times_too_small_would_be_noticed():
    # A transcription that goes round has the square term of K as -0.000000273. It passes at
    # room temperature and is off by 1.9 % moisture at 200 °F and 95 %: only hot cells catch it.
    def with_slip(t: float, h: float) -> float:
        w = 349 + 1.29 * t + 0.0135 * t**2
        k = 0.805 + 0.000736 * t - 0.000000273 * t**2
        k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
        k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
        x = k * h
        return 18 / w * (x / (1 - x) + (k1 * x + 2 * k1 * k2 * x**2) / (1 + k1 * x + k1 * k2 * x**2))

    room, hot = (70 - 32) / 1.8, (200 - 32) / 1.8
    assert with_slip(room, 0.65) == pytest.approx(0.120, abs=0.0006)
    assert with_slip(hot, 0.95) - emc(hot, 0.95) == pytest.approx(0.019, abs=0.001)


@pytest.mark.parametrize(
    ("celsius", "humidity", "percent"),
    [((70 - 32) / 1.8, 0.65, 12.0), (60.0, 0.50, 7.7), ((40 - 32) / 1.8, 0.80, 16.5), (20.0, 0.65, 12.0)],
)
def test_emc_where_people_look_first(celsius, humidity, percent):
    # Wood Handbook, Table 4-2; 20 °C and 65 % is the usual standard climate of 12 %.
    assert emc(celsius, humidity) * 100 == pytest.approx(percent, abs=0.06)


@pytest.mark.parametrize(
    ("celsius", "humidity"), [(200.0, 0.5), (float("nan"), 0.5), (20.0, 1.2), (20.0, 65.0)]
)
def test_impossible_air_is_refused(celsius, humidity):
    with pytest.raises(
        BadValue, match=r"temperature is .* -40 to 132 °C|humidity is .* a fraction from 0 to 1"
    ):
        emc(celsius, humidity)


@given(st.floats(-40, 132), st.floats(0.0, 0.999), st.floats(0.001, 1.0))
def test_damper_air_never_means_drier_wood(celsius, drier, damper):
    drier, damper = sorted((drier, damper))
    assert emc(celsius, drier) <= emc(celsius, damper) + 1e-12


@given(st.floats(-40, 132), st.floats(0.01, 0.99))
def test_humidity_is_found_back_from_the_moisture(celsius, humidity):
    assert humidity_for(celsius, float(emc(celsius, humidity))) == pytest.approx(humidity, abs=1e-9)


def test_air_cannot_keep_wood_wetter_than_saturated_air_does():
    with pytest.raises(BadValue, match="which saturated air of 20 °C gives"):
        humidity_for(20.0, 0.5)


@pytest.mark.parametrize("row", table("moisture_from_weights.csv"))
def test_moisture_from_weights(row):
    # Briggs 1994, Ch. 1; printed to whole percent.
    moisture = moisture_from_weights(float(row["wet"]), float(row["dry"]))
    assert moisture * 100 == pytest.approx(float(row["moisture_pct"]), abs=0.5)
    assert dry_mass(float(row["wet"]), moisture) == pytest.approx(float(row["dry"]))


@pytest.mark.parametrize(
    ("wet", "dry"), [(19.4, 40.0), (10.0, 0.0), (float("nan"), 10.0), (10.0, float("nan"))]
)
def test_impossible_weights_are_refused(wet, dry):
    with pytest.raises(BadValue, match="weight is"):
        moisture_from_weights(wet, dry)

"""Measures as written by hand.

Sources: NIST Special Publication 811 (2008), appendix B.8: 1 in = 25.4 mm, 1 ft = 0.3048 m and
1 lb = 0.45359237 kg, all exact; 1 ft3 = 0.02831685 m3; 1 lb/ft3 = 16.01846 kg/m3;
board foot = 144 cubic inches. Clock positions: 12 is up seen from the butt (our convention).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline import units
from pithline.errors import BadValue


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("80 mm", 0.080),
        ("80mm", 0.080),
        ("8 cm", 0.080),
        ("2.4 m", 2.4),
        (".5 m", 0.5),
        ("2 m 40 cm", 2.4),
        ("3 in", 0.0762),
        ('3"', 0.0762),
        ('3 1/8"', 0.079375),
        ("3-1/8 in", 0.079375),
        ('3½"', 0.0889),
        ("1/2 in", 0.0127),
        ("8 ft", 2.4384),
        ("8'", 2.4384),
        ("8'6\"", 2.5908),
        ("8'6", 2.5908),
        ("8’ 6½”", 2.6035),
        ("8 ft 6 1/2 in", 2.6035),
        ("12/4", 0.0762),
        ("5/4", 0.03175),
        ("  80  MM ", 0.080),
    ],
)
def test_lengths_as_people_write_them(text: str, metres: float) -> None:
    assert units.length(text) == pytest.approx(metres, rel=1e-15)


@pytest.mark.parametrize(
    "text",
    ["80", 80, 2.4, "3 1/8", "3.", math.nan, math.inf, True, None, ["80 mm"], "", "mm", "80 mn", "nan mm",
     "inf m", "1e3 mm", "2,4 m", "1,250 mm", "1/0 in", "3/0", "6 in 8 ft", "8' 14\"", "8 ft 6 cm", "3 m m",
     "80 mm/m", "5 min", "80 mm?", "--3 mm", "9" * 500 + " m"],
)  # fmt: skip
def test_a_length_that_cannot_be_read_is_refused_with_the_way_to_write_it(text: object) -> None:
    with pytest.raises(BadValue) as refusal:
        units.length(text, "log.length")
    message = str(refusal.value)
    assert message.startswith("log.length is ")
    assert "a length with its unit" in message
    assert 'Write "80 mm", "2.4 m", \'3 1/8"\'' in message


def test_a_bare_number_is_refused_because_it_could_be_any_unit() -> None:
    for bare in (80, "80", 3.125):
        with pytest.raises(BadValue, match="A number alone could be any unit"):
            units.length(bare)


def test_a_decimal_comma_is_pointed_out() -> None:
    with pytest.raises(BadValue, match="Use a point for decimals"):
        units.length("2,4 m")


def test_an_unknown_unit_gets_the_list_of_units() -> None:
    with pytest.raises(BadValue, match=r"\(mm, cm, m, in, ft\)"):
        units.length("80 mn")


def test_a_minus_is_refused_unless_the_caller_allows_it() -> None:
    with pytest.raises(BadValue, match="zero or more"):
        units.length("-3 mm")
    assert units.length("-3 mm", signed=True) == -0.003
    assert units.length("−3 1/8 in", signed=True) == pytest.approx(-0.079375)
    assert units.length("-0 mm") == 0


@pytest.mark.parametrize(
    ("text", "expected"),
    [("12/4", 12), (" 8 / 4 ", 8), ("5/4", 5), ("12/4 in", None), ("3 in", None), ("0/4", None), (12, None)],
)
def test_trade_thickness_names(text: object, expected: int | None) -> None:
    assert units.quarters(text) == expected


@pytest.mark.parametrize(
    ("parse", "text", "value"),
    [
        (units.mass, "71 lb", 32.20505827),
        (units.mass, "32 kg", 32.0),
        (units.mass, "1.2 t", 1200.0),
        (units.mass, "2 lb 8 oz", 1.133980925),
        (units.angle, "30 deg", math.pi / 6),
        (units.angle, "-30°", -math.pi / 6),
        (units.slope, "12 mm/m", 0.012),
        (units.slope, "3 %", 0.03),
        (units.slope, "45 deg", 1.0),
        (units.slope, "1/4 in/ft", 1 / 48),
        (units.share, "8 %", 0.08),
        (units.share, "171 %", 1.71),
        (units.temperature, "21 C", 21.0),
        (units.temperature, "70 °F", 21.0 + 1 / 9),
        (units.temperature, "-40 F", -40.0),
        (units.temperature, "273.15 K", 0.0),
        (units.area, "20 ft2", 1.8580608),
        (units.volume, "1 ft3", 0.028316846592),
        (units.volume, "12 bf", 0.028316846592),
        (units.volume, "0.15 m³", 0.15),
        (units.density, "1 lb/ft3", 16.01846337),
        (units.duration, "1 h 30 min", 90.0),
        (units.duration, "45 s", 0.75),
        (units.pace, "5 min/m2", 5.0),
        (units.clock, "3 o'clock", 0.0),
        (units.clock, "12 o'clock", math.pi / 2),
        (units.clock, "9:00", math.pi),
        (units.clock, "6 o’clock", 1.5 * math.pi),
        (units.clock, "1:30", math.pi / 4),
        (units.clock, "12:30", math.radians(75)),
    ],
)
def test_other_measures(parse, text: str, value: float) -> None:  # type: ignore[no-untyped-def]
    assert parse(text) == pytest.approx(value, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(
    ("parse", "text", "message"),
    [
        (units.mass, "2 tons", r'mass is "2 tons"; it must be a mass with its unit \(kg, g, t, lb, oz\)'),
        (
            units.share,
            8,
            "share is 8; it must be a share with its unit. A number alone could be any unit.",
        ),
        (units.temperature, "-300 C", "above absolute zero"),
        (units.slope, "95 deg", "less steep than 90 deg"),
        (units.clock, "13:00", "a place on the clock face"),
        (units.clock, 3, 'Write "3 o\'clock"'),
        (units.clock, "99999999999999999999 o'clock", "a place on the clock face"),
        (units.duration, "30 min 1 h", "a duration with its unit"),
    ],
)
def test_other_refusals_name_field_value_and_rule(parse, text: object, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(BadValue, match=message):
        parse(text)


@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        (units.show_length(0.08), "80 mm"),
        (units.show_length(0.0796, fine=True), "79.6 mm"),
        (units.show_length(-0.0001), "0 mm"),
        (units.show_length(2.4, kind="long"), "2.40 m"),
        (units.show_length(0.079375, "inch"), '3 1/8"'),
        (units.show_length(0.0, "inch"), '0"'),
        (units.show_length(0.0127, "inch"), '1/2"'),
        (units.show_length(0.0254 * 33 / 32, "inch", fine=True), '1 1/32"'),
        (units.show_length(2.5908, "inch", "long"), "8' 6\""),
        (units.show_length(2.4384, "inch", "long"), "8'"),
        (units.show_length(0.30479, "inch", "long"), "1'"),
        (units.show_mass(32.2), "32 kg"),
        (units.show_mass(32.2, up=True), "33 kg"),
        (units.show_mass(32.0, up=True), "32 kg"),
        (units.show_mass(3.21), "3.2 kg"),
        (units.show_mass(1234.0), "1.23 t"),
        (units.show_mass(1234.0, up=True), "1.24 t"),
        (units.show_mass(32.205, "inch"), "71 lb"),
        (units.show_volume(0.1534), "0.153 m³"),
        (units.show_volume(0.1534, "bf"), "65 bf"),
        (units.show_volume(0.1534, "ft3"), "5.4 ft³"),
        (units.show_area(1.8580608, "inch"), "20.0 ft²"),
        (units.show_density(980.4), "980 kg/m³"),
        (units.show_density(980.4, "inch"), "61.2 lb/ft³"),
        (units.show_angle(math.pi / 6), "30.0°"),
        (units.show_slope(-0.0145), "14.5 mm/m"),
        (units.show_slope(0.0145, "inch"), "0.17 in/ft"),
        (units.show_clock(0.0), "3:00"),
        (units.show_clock(math.pi / 2), "12:00"),
        (units.show_share(0.083), "8.3 %"),
        (units.show_temperature(21.11, "inch"), "70 °F"),
    ],
)
def test_what_people_read(shown: str, expected: str) -> None:
    assert shown == expected


LENGTHS = st.floats(min_value=-30, max_value=30, allow_nan=False)


@given(LENGTHS, st.sampled_from(["metric", "inch"]), st.sampled_from(["thickness", "long"]), st.booleans())
def test_a_length_shown_can_be_read_back(metres: float, system: units.System, kind, fine: bool) -> None:  # type: ignore[no-untyped-def]
    # Half of the last digit shown: 1 mm, 10 mm or 1/16 in; a tenth, a tenth and a half of it when fine.
    step = 0.0254 / (32 if fine else 16)
    if system == "metric":
        step = {"thickness": 0.001, "long": 0.01}[kind] / (10 if fine else 1)
    shown = units.show_length(metres, system, kind, fine)
    read = units.length(shown, signed=True)
    assert read == pytest.approx(metres, abs=step / 2 + 1e-12)
    assert units.show_length(read, system, kind, fine) == shown


@given(kilograms=st.floats(min_value=0, max_value=20_000), system=st.sampled_from(["metric", "inch"]))
def test_a_load_is_never_shown_lighter_than_it_is(kilograms: float, system: units.System) -> None:
    assert units.mass(units.show_mass(kilograms, system, up=True)) >= kilograms - 1e-6


@given(hour=st.integers(0, 143))
def test_a_clock_position_can_be_read_back(hour: int) -> None:
    text = f"{hour // 12 or 12}:{hour % 12 * 5:02d}"
    assert units.show_clock(units.clock(text)) == text


@given(text=st.text(max_size=80))
def test_any_text_is_read_or_refused(text: str) -> None:
    for parse in (units.length, units.mass, units.slope, units.clock, units.temperature):
        try:
            value = parse(text)
        except BadValue:
            continue
        assert math.isfinite(value)

"""Single sums, against published figures and figures that can be worked out on paper."""

from __future__ import annotations

import json

import pytest

AT = ("--at", "0 m: 5 x 4 cm", "--at", "1 m: 5 x 4 cm")


@pytest.fixture
def figures(pithline):
    """The JSON of one sum."""

    def call(*words: str) -> dict[str, object]:
        answer = pithline("sum", *words, "--json")
        assert answer.code == 0, answer.err
        return json.loads(answer.out)

    return call


@pytest.mark.parametrize(
    ("words", "key", "value"),
    [
        # By definition: the inch is 25.4 mm, the pound 0.45359237 kg (NIST SP 811, 2008, appendix B.8).
        (['3 1/8"'], "length_m", 0.079375),
        (["12/4"], "length_m", 0.0762),
        (["8'6\""], "length_m", 2.5908),
        (["71 lb", "--as", "mass"], "mass_kg", 71 * 0.45359237),
        (["60 bf", "--as", "volume"], "volume_m3", 60 * 144 * 0.0254**3),
        (["1/4 in/ft", "--as", "slope"], "slope_m_per_m", 1 / 48),
        (["70 F", "--as", "temperature"], "temperature_c", 190 / 9),
        (["12 o'clock", "--as", "clock"], "clock_rad", 1.5707963267948966),
    ],
)
def test_a_size_in_si(figures, words, key, value):
    assert figures("size", *words)[key] == pytest.approx(value)


def test_volumes_from_two_and_three_widths(figures):
    # Ends of 1 and 4 dm2 in area, 1 m: Smalian 25 dm3; cone (1 + 2 + 4)/3 = 23.333 dm3. A middle of 1.5 times
    # the small width has 2.25 dm2: Huber 22.5 dm3, Newton (1 + 9 + 4)/6 = 23.333 dm3.
    small = 0.112837916709551  # diameter of a circle of 1 dm2
    words = (
        "--length",
        "1 m",
        "--butt",
        f"{2 * small} m",
        "--top",
        f"{small} m",
        "--middle",
        f"{1.5 * small} m",
    )
    found = figures("volume", *words)
    assert found["smalian_m3"] == pytest.approx(0.025)
    assert found["cone_m3"] == pytest.approx(0.07 / 3)
    assert found["huber_m3"] == pytest.approx(0.0225)
    assert found["newton_m3"] == pytest.approx(0.07 / 3)


def test_log_scales_of_a_log_that_every_handbook_has(figures):
    # 20 in x 16 ft: Doyle ((20 - 4) / 4)^2 x 16 = 256; International table 290; Scribner Decimal C 28 tens.
    found = figures("scale", "--diameter", "20 in", "--length", "16 ft 4 in")
    assert (found["diameter_in"], found["length_ft"]) == (20, 16)
    assert found["doyle_bf"] == pytest.approx(256)
    assert round(found["international_quarter_inch_bf"] / 5) * 5 == 290
    assert found["scribner_decimal_c_bf"] == 280


def test_hoppus_feet_by_the_rule(figures):
    # Girth 72 in: a quarter is 18 in; 18^2 x 10 ft / 144 = 22.5.
    assert figures("scale", "--girth", "72 in", "--length", "10 ft")["hoppus_feet"] == pytest.approx(22.5)


def test_green_thickness_of_twelve_quarters(figures):
    # Red oak shrinks 4.0 % radially and 8.6 % tangentially to oven dry (Wood Handbook 2010, Table 4-3, from
    # memory); to 8 % of 30 that is 22/30 of their mean, 4.62 %: 76.2 / 0.9538 + 1 = 80.9 mm, 81 on the
    # mill.
    found = figures("thickness", "12/4", "--species", "northern red oak", "--moisture", "8 %")
    assert found["shrinkage_fraction"] == pytest.approx(0.063 * 22 / 30, abs=1e-9)
    assert found["green_exact_m"] == pytest.approx(0.0762 / (1 - 0.0462) + 0.001)
    assert found["green_m"] == pytest.approx(0.081)
    assert found["sold_as_quarters"] == 12


def test_green_thickness_of_a_finished_size(figures):
    # A face whose edges lie 0.1 m left and right at the pith's height is quarter all over, so it shrinks
    # tangentially: 8.6 % x 22/30 = 6.307 %; 200 mm wide wants 5 mm of flattening. (50 + 5) / 0.93693 + 1.
    words = ("thickness", "50 mm finished", "--species", "northern red oak")
    found = figures(*words, "--left", "0.1 m", "--right", "0.1 m", "--height", "0 mm")
    assert found["green_exact_m"] == pytest.approx(0.055 / (1 - 0.086 * 22 / 30) + 0.001)


def test_grain_of_a_face_beside_the_pith(figures):
    # 100 mm above the pith, rings meet the face at 45 degrees 100 mm to the side: half of a face from 0 to
    # 200 mm is below 45 degrees.
    words = ("--left", "0 mm", "--right", "200 mm", "--height", "100 mm")
    found = figures("grain", *words, "--flat-below", "45 deg", "--quarter-above", "45 deg")
    assert (found["flat_fraction"], found["quarter_fraction"]) == pytest.approx((0.5, 0.5))
    assert found["rift_fraction"] == pytest.approx(0, abs=1e-12)


def test_a_slab_counted_by_each_rule(figures):
    # Faces 500 and 400 mm wide all along 3 m, 80 mm thick.
    words = (
        "tally",
        "--thickness",
        "80 mm",
        "--unit",
        "m3",
        "--at",
        "0 m: 50 x 40 cm",
        "--at",
        "3 m: 50 x 40 cm",
    )
    for rule, width in (("narrow face", 0.4), ("mean of faces", 0.45), ("wide face", 0.5)):
        found = figures(*words, "--rule", rule)
        assert found["tally_m3"] == pytest.approx(0.08 * width * 3)
        assert found["mean_width_m"] == pytest.approx(width)


def test_a_slab_counted_at_its_nominal_thickness(figures):
    # 17 in in the mean x 8 ft / 12 = 11.33, so 11 square feet, times 3 in.
    words = ("tally", "--thickness", "12/4", "--unit", "bf nominal", "--at", "0 ft: 20 x 18 in")
    assert figures(*words, "--at", "8 ft 9 in: 16 x 14 in")["tally_bf"] == pytest.approx(33)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["size", "3"], 'TEXT is "3"; it must be a length with its unit'),
        (["volume", "--length", "3 m", "--butt", "40 cm"], "--butt and --top, or --middle"),
        (["scale", "--length", "3 m"], '--diameter or --girth is "missing"'),
        (["thickness", "60 mm finished", "--species", "red oak"], "given for a finished size. Say --left"),
        (["thickness", "60 mm", "--species", "red oak"], 'SIZE is "60 mm"; it must be a thickness that says'),
        (["grain", "--left", "-3 cm", "--right", "3 cm", "--height", "1 cm"], "a width between them"),
        (["tally", "--thickness", "80 mm", "--at", "0 m: 52"], 'Write "0 m: 52 x 46 cm"'),
        (
            ["tally", "--thickness", "80 mm", "--at", "0 m: 5 x 4 cm"],
            "at two places or more",
        ),
        (["tally", "--thickness", "80 mm", "--rule", "thin", "--at", "0 m: 5 x 4 cm"], "aims.tally"),
        (
            [
                "tally",
                "--thickness",
                "80 mm",
                "--unit",
                "bf nominal",
                "--at",
                "0 m: 5 x 4 cm",
                "--at",
                "1 m: 5 x 4 cm",
            ],
            "counted at a nominal thickness. Give one such as 12/4",
        ),
    ],
)
def test_a_sum_that_cannot_be_is_refused(pithline, words, told):
    answer = pithline("sum", *words)
    assert answer.code == 2
    assert answer.out == ""
    assert told in answer.err

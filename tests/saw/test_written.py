"""Mill, aims and rates as people write them."""

from __future__ import annotations

import json
import math
import tomllib
from dataclasses import asdict

import pytest

from pithline.errors import BadValue
from pithline.fields import read
from pithline.saw.aims import Aims, BarkWay, Following, PithRule
from pithline.saw.mill import Mill
from pithline.saw.rates import Rates, Step
from pithline.saw.written.back import aims_table, mill_table, rates_table
from pithline.saw.written.inputs import read_aims, read_mill, read_rates, schema, with_options
from pithline.saw.written.uses import USE, read_uses, short_row, use_row
from pithline.slab.tally import TallyRule, TallyUnit

# 1 m3 is 423.776 bf (published with the unit), 1 bf 0.00235974 m3.
BF_PER_M3 = 423.776

WHOLE = tomllib.loads("""
[mill]
bar = "42 in"
bar_lost = "6 in"
clearance = "1 in"
kerf = '3/8"'
depth_min = "1/2 in"
depth_max = "13 in"
step = '1/32"'
rail = "14 ft"
overrun = "1 ft"
below_bar = "6 cm"
screw_low = "1 in"
screw_high = "4 in"
pace = "0.5 min/ft2"
per_cut = "8 min"
per_turn = "25 min"

[aims]
thickness = ["12/4", "80 mm green", "60 mm finished"]
moisture = "10 %"
tally = "narrow face"
unit = "bf as sawn"
least_width = "8 in"
least_length = "4 ft"
sealed = false
trim_top = "2 in"
pith = "box"
pith_deduction = "20 %"
pitch = "-3 mm/m"
roll = "free"
both_sides = true
alternate = true
bark = "stripped"
least_waste = "15 mm"
sawing_variation = "2 mm"
flat_below = "45 deg"
quarter_above = "75 deg"
[[aims.flattening]]
up_to = "40 cm"
allowance = "6 mm"
[[aims.flattening]]
allowance = "12 mm"

[rates]
currency = "usd"
rate = ["9.50 per bf", "12/4: 11 per bf"]
figure = "40 %"
cut_cost = "12 per m2 of cut"
slab_cost = "8 per slab"
[[rates.width]]
from = "90 cm"
premium = "30 %"
[[rates.width]]
from = "60 cm"
premium = "15 %"
[[rates.length]]
from = "3 m"
premium = "10 %"
""")


def test_everything_written_is_understood():
    mill = read_mill(WHOLE["mill"])
    assert mill.assumed == ()
    expected = {
        "bar": 42 * 0.0254,
        "bar_lost": 6 * 0.0254,
        "clearance": 0.0254,
        "kerf": 0.375 * 0.0254,
        "depth_min": 0.0127,
        "depth_max": 13 * 0.0254,
        "step": 0.0254 / 32,
        "rail": 14 * 0.3048,
        "overrun": 0.3048,
        "below_bar": 0.06,
        "screw_low": 0.0254,
        "screw_high": 0.1016,
        "minutes_per_area": 0.5 / 0.3048**2,
        "minutes_per_cut": 8.0,
        "minutes_per_turn": 25.0,
    }
    assert asdict(mill.value) == pytest.approx(expected)
    aims = read_aims(WHOLE["aims"])
    assert aims.assumed == ()
    assert [a.label for a in aims.value.thicknesses] == ["12/4", "80 mm green", "60 mm finished"]
    assert (aims.value.tally, aims.value.unit) == (TallyRule.NARROW, TallyUnit.BF_SAWN)
    assert (aims.value.moisture, aims.value.pith_deduction) == (0.1, 0.2)
    # common practice, no source: 150 mm of an end that is not sealed.
    assert (aims.value.trim_butt, aims.value.trim_top) == (0.15, pytest.approx(0.0508))
    assert (aims.value.pith, aims.value.bark) == (PithRule.BOX, BarkWay.STRIPPED)
    assert (aims.value.follow, aims.value.pitch) == (Following.GIVEN, -0.003)
    assert (aims.value.roll, aims.value.roll_free, aims.value.both_sides) == (0.0, True, True)
    assert aims.value.alternate
    assert (aims.value.least_waste, aims.value.sawing_variation) == (0.015, 0.002)
    assert aims.value.flattening == ((0.4, 0.006), (math.inf, 0.012))
    assert math.degrees(aims.value.flat_below) == pytest.approx(45)
    assert read_rates(WHOLE["rates"], aims.value).value == Rates(
        currency="USD",
        by_thickness=(
            ("12/4", pytest.approx(11)),
            ("80 mm green", pytest.approx(9.5)),
            ("60 mm finished", pytest.approx(9.5)),
        ),
        otherwise=0.0,
        width=(Step(0.6, 0.15), Step(0.9, 0.30)),
        length=(Step(3.0, 0.1),),
        figure=0.4,
        per_cut_area=12.0,
        per_slab=8.0,
    )


def test_nothing_written_takes_the_defaults_and_says_so():
    assert read_mill(None).value == Mill()
    aims = read_aims({})
    assert aims.value == Aims(thicknesses=aims.value.thicknesses, crotch_plane=True)
    assert [a.label for a in aims.value.thicknesses] == ["8/4", "12/4"]
    rates = read_rates({}, aims.value)
    assert rates.value == Rates()
    named = {a.field: a for written in (read_mill({}), aims, rates) for a in written.assumed}
    assert named["mill.kerf"].text == "9 mm"
    assert named["aims.thickness"].text == "8/4, 12/4"
    assert "common practice" in named["aims.flattening"].why
    assert "plan saws for the most of them" in named["rates.rate"].why
    # Nothing is assumed twice, and nothing without a reason.
    assert len(named) == sum(len(w.assumed) for w in (read_mill({}), aims, rates))
    assert all(a.why for a in named.values())


def test_what_is_given_is_not_called_assumed():
    fields = {a.field for a in read_aims({"end_trim": "10 cm", "pitch": "0 %"}).assumed}
    assert not fields & {"aims.sealed", "aims.follow"}
    assert {a.field for a in read_mill({"usable": "76 cm"}).assumed}.isdisjoint({"mill.bar", "mill.bar_lost"})


def test_usable_width_may_be_given_instead_of_the_loss():
    assert read_mill({"bar": "90 cm", "usable": "75 cm"}).value.usable == pytest.approx(0.75)
    assert read_mill({"usable": "76 cm"}).value.usable == pytest.approx(0.76)


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (
            {"bar": "30 cm", "bar_lost": "35 cm"},
            'mill.bar is "30 cm"; it must be longer than bar_lost, 35 cm',
        ),
        ({"bar": "20 cm", "bar_lost": "19 cm"}, "clearance, 20 mm, together. Measure the bar again."),
        ({"kerf": "0 mm"}, 'mill.kerf is "0 mm"; it must be at least 1 mm'),
        ({"kerf": 9}, "A number alone could be any unit"),
        ({"kerf": math.nan}, "mill.kerf is nan"),
        ({"kerf": "9 cm"}, "at most 25 mm"),
        ({"depth_min": "40 cm"}, "less than mill.depth_max, 33 cm. Look whether the two are swapped."),
        ({"screw_low": "10 cm"}, "less than mill.screw_high, 9 cm"),
        ({"rail": "60 cm"}, "longer than the overrun at both ends"),
        ({"kerv": "9 mm"}, "Did you mean kerf?"),
        ({"pace": "5 min"}, 'mill.pace is "5 min"'),
        ({"pace": "500 min/m2"}, "at most 120 min/m2"),
        ({"usable": "1 m", "bar": "90 cm"}, "at most the bar, 90 cm"),
        ({"usable": "70 cm", "bar_lost": "14 cm"}, "Keep one of the two"),
        ("90 cm", "Write its fields below a line [mill]"),
        ([], "Write its fields below a line [mill]"),
    ],
)
def test_an_impossible_mill_is_refused(raw, says):
    with pytest.raises(BadValue) as refused:
        read_mill(raw)
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        ({"thickness": "80 mm"}, 'aims.thickness[1] is "80 mm"'),
        ({"thickness": []}, "at least one thickness"),
        ({"moisture": "80 %"}, "at most 30 %"),
        ({"tally": "widest"}, '"narrow face", "mean of faces", "wide face", "true volume"'),
        ({"tally": "true volume", "unit": "bf nominal"}, 'Write unit = "bf as sawn"'),
        ({"pith": "avoid"}, '"through", "box", "free"'),
        ({"flat_below": "70 deg"}, "less than aims.quarter_above, 60 deg"),
        ({"roll": "sideways"}, "aims.roll"),
        ({"sealed": "yes"}, "true or false"),
        ({"alternate": True}, "--both-sides"),
        ({"flattening": [{"allowance": "5 mm"}, {"up_to": "30 cm", "allowance": "8 mm"}]}, "rising in up_to"),
        ({"flattening": [{"up_to": "30 cm"}]}, "aims.flattening[1].allowance"),
    ],
)
def test_impossible_aims_are_refused(raw, says):
    with pytest.raises(BadValue) as refused:
        read_aims(raw)
    assert says in str(refused.value)


def test_one_thickness_written_two_ways_is_one():
    aims = read_aims({"thickness": ["80 mm green", "8 cm green", "12/4", "3 in rough dry"]}).value
    assert [a.label for a in aims.thicknesses] == ["80 mm green", "12/4"]


def test_a_single_step_of_flattening_holds_for_every_width():
    aims = read_aims({"flattening": [{"up_to": "30 cm", "allowance": "5 mm"}]}).value
    assert aims.flattening == ((0.3, 0.005), (math.inf, 0.005))


AIMS = read_aims({"thickness": ["12/4", "8/4"]}).value
IN_BF = read_aims({"thickness": ["12/4", "8/4"], "unit": "bf as sawn"}).value


def test_a_rate_in_another_unit_than_the_tally_is_converted_and_said():
    # Tolerance: the published conversion has six digits.
    read = read_rates({"currency": "EUR", "rate": "9.50 per bf"}, AIMS)
    assert read.value.rate("12/4") == pytest.approx(9.50 * BF_PER_M3, rel=1e-6)
    assert read.remarks == ("9.50 per bf is 4025.87 per m3, the unit of the tally.",)
    read = read_rates({"rate": "EUR 4200 per m3"}, IN_BF)
    assert read.value.rate("8/4") == pytest.approx(4200 / BF_PER_M3, rel=1e-6)
    assert read_rates({"rate": "EUR 1200 per 1000 bf"}, IN_BF).value.rate("8/4") == pytest.approx(1.2)
    assert read_rates({"rate": "9.50 USD/bf"}, IN_BF).remarks == ()


def test_the_closest_rate_holds():
    raw = {
        "currency": "EUR",
        "rate": ["10 per bf", "8/4: 12 per bf"],
        "by": [
            {"species": "black walnut", "rate": "30 per bf"},
            {"species": "walnut, black", "thickness": "8/4", "rate": "33 per bf"},
        ],
    }

    def rates(wood: str) -> list[float]:
        read = read_rates(raw, IN_BF, wood).value
        return [round(read.rate(label), 9) for label in ("12/4", "8/4")]

    assert rates("Northern red oak") == [10, 12]
    assert rates("Black walnut") == [30, 33]


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        ({"rate": "9.50"}, 'Write "9.50 per bf" or "4200 per m3".'),
        ({"rate": 9.5}, 'Write "9.50 per bf"'),
        ({"rate": "nan per bf"}, "an amount per m3 or bf"),
        ({"rate": "-3 per bf"}, "an amount per m3 or bf"),
        ({"rate": "9,50 per bf"}, "Use a point for decimals"),
        ({"rate": "9.50 per m2"}, "an amount per m3 or bf"),
        ({"rate": "9.50 per 0 bf"}, "an amount per m3 or bf"),
        ({"rate": "99999999 per bf"}, "at most ten million"),
        ({"rate": "9.50 per bf"}, 'Add currency = "EUR"'),
        ({"rate": "9.50 USD per bf", "currency": "EUR"}, "EUR, USD"),
        ({"currency": "euros"}, "a three-letter code"),
        ({"currency": "EUR", "rate": "16/4: 9 per bf"}, 'Add "12/4: 11 per bf", or one rate for all'),
        ({"currency": "EUR", "rate": "80 mm: 9 per bf"}, "a thickness that says which one it is"),
        ({"currency": "EUR", "cut_cost": "12 per m2"}, "A cost in money needs a rate"),
        ({"currency": "EUR", "cut_cost": "12 per m"}, 'Write "12 per m2"'),
        ({"currency": "EUR", "slab_cost": "8"}, 'Write "8 per slab"'),
        ({"by": [{"species": "blck walnut", "rate": "1 per bf"}]}, "rates.by[1].species"),
        ({"width": [{"from": "60 cm"}]}, "rates.width[1].premium"),
        (
            {"width": [{"from": "60 cm", "premium": "9 %"}, {"from": "90 cm", "premium": "5 %"}]},
            "A large slab can be sold as a smaller one",
        ),
        ({"width": [{"from": "60 cm", "premium": "9 %"}] * 2}, "named once"),
    ],
)
def test_impossible_rates_are_refused(raw, says):
    with pytest.raises(BadValue, match="rates") as refused:
        read_rates(raw, AIMS)
    assert says in str(refused.value)


def test_options_take_the_same_way_as_a_file():
    options = {
        "mill.bar": "1 m",
        "mill.kerf": None,
        "aims.thickness": ("8/4",),
        "rates.rate": ("EUR 9 per bf",),
        "rates.width": ("60 cm: 15 %",),
        "rates.length": (),
    }
    tables = with_options({"mill": {"bar": "90 cm", "kerf": "8 mm"}, "log": {"name": "x"}}, options)
    assert tables["log"] == {"name": "x"}
    mill, aims = read_mill(tables["mill"]).value, read_aims(tables["aims"]).value
    assert (mill.bar, mill.kerf) == (1.0, 0.008)
    assert [a.label for a in aims.thicknesses] == ["8/4"]
    assert read_rates(tables["rates"], aims).value.width == (Step(0.6, 0.15),)
    with pytest.raises(BadValue, match='Write "60 cm: 15 %"'):
        with_options({}, {"rates.width": ("60 cm",)})
    with pytest.raises(BadValue, match=r"Write its fields below a line \[mill\]"):
        with_options({"mill": "big"}, {"mill.bar": "1 m"})


def test_options_leave_the_tables_of_the_file_alone():
    file = {"mill": {"bar": "90 cm"}}
    with_options(file, {"mill.bar": "1 m"})
    assert file == {"mill": {"bar": "90 cm"}}


def test_what_is_written_back_reads_the_same():
    mill, aims = read_mill(WHOLE["mill"]).value, read_aims(WHOLE["aims"]).value
    rates = read_rates(WHOLE["rates"], aims).value
    # To the last digit but for the pace, which was written per square foot.
    assert asdict(read_mill(mill_table(mill)).value) == pytest.approx(asdict(mill), rel=1e-12)
    again = read_aims(aims_table(aims))
    assert again.value == aims
    assert again.assumed == ()
    assert read_rates(rates_table(rates, aims.unit), aims).value == rates
    # Also the defaults, and without money.
    assert read_mill(mill_table(Mill())).value == Mill()
    plain = read_aims({}).value
    assert read_aims(aims_table(plain)).value == plain
    assert read_rates(rates_table(Rates(), plain.unit), plain).value == Rates()


def test_the_schema_accepts_the_whole_file_and_refuses_a_slip():
    jsonschema = pytest.importorskip("jsonschema")
    ours = schema()
    jsonschema.Draft202012Validator.check_schema(ours)
    jsonschema.validate(json.loads(json.dumps(WHOLE)), ours)
    jsonschema.validate({"mill": mill_table(Mill()), "aims": aims_table(read_aims({}).value)}, ours)
    for wrong in ({"mill": {"kerv": "9 mm"}}, {"aims": {"pith": "avoid"}}, {"rates": {"by": [{}]}}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(wrong, ours)


@pytest.mark.parametrize(
    ("words", "may"),
    [
        ("6 a year", 6), ("6 a year, 4 made", 2), ("6 a year, 9 made", None), ("0 a year", None),
    ],
)  # fmt: skip
def test_a_log_may_give_what_is_left_of_the_year(words, may):
    told = read(USE, use_row(f"bench: 38 cm x 1.5 m, at 180, {words}"))
    uses = read_uses((told,))
    assert [u.at_most for u in uses] == ([] if may is None else [may])
    few = read_uses((read(USE, use_row(f"3 of bench: 38 cm x 1.5 m, at 180, {words}")),))
    assert [u.at_most for u in few] == ([] if may is None else [min(may, 3)])
    assert use_row(short_row(use_row(f"bench: 38 cm x 1.5 m, at 180, {words}")))["a_year"] == int(words[0])


def test_what_is_made_needs_the_number_of_a_year():
    with pytest.raises(BadValue, match=r"made_this_year.*4.*a_year"):
        read_uses((read(USE, use_row("bench: 38 cm x 1.5 m, at 180, 4 made")),))

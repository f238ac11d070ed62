"""Log records: from what was written to the shape, the lie and what was assumed."""

from __future__ import annotations

import copy
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.errors import BadValue, Question, Refused
from pithline.fields import parse_toml
from pithline.log.declared import RECORD
from pithline.log.options import size_from_text
from pithline.log.outline import mean_diameter
from pithline.log.volume import volume_by_integration
from pithline.log.written import from_options, from_table

HERE = Path(__file__).parent
MEASURED = parse_toml((HERE / "measured.toml").read_text(), "measured.toml")
LEAST = {"species": "red oak", "length": "4.2 m", "butt": "82 cm", "top": "64 cm"}


def record(**changes):
    return from_options(**{**LEAST, **changes})


def edited(*path, value):
    """The measured log with one entry changed."""
    document = copy.deepcopy({name: MEASURED[name] for name in ("log", "lie")})
    place = document
    for key in path[:-1]:
        place = place.setdefault(key, {}) if isinstance(place, dict) else place[key]
    place[path[-1]] = value
    return document


def test_a_measured_log_keeps_every_reading():
    log = from_table(MEASURED)
    shape = log.to_shape()
    butt, top = shape.outlines[0], shape.outlines[-1]
    # Readings survive but for the swelling of the polygon, 2.3e-4 of them.
    assert butt[:, 1].max() == pytest.approx(0.395, rel=3e-4)
    assert butt[:, 0].max() == pytest.approx(0.418, rel=3e-4)
    # The top was measured from the top: its right is the butt's left.
    assert top[:, 0].min() == pytest.approx(-0.326, rel=3e-4)
    assert top[:, 0].max() == pytest.approx(0.318, rel=3e-4)
    # Everything was measured, so nothing is assumed and nothing asked.
    assert log.assumptions == ()
    assert log.questions() == []
    assert log.felled.isoformat() == "2025-11-08"


def test_a_width_over_bark_between_the_ends():
    log = from_table(MEASURED)
    at = int(np.argmin(abs(log.to_shape().z - 0.9)))
    wide = np.ptp(log.to_shape().outlines[at][:, 0])
    # 745 mm over bark, bark 20 to 14 mm over 4.2 m: 18.714 mm there.
    assert wide == pytest.approx(0.745 - 2 * 0.0187143, rel=3e-4)


def test_sweep_is_largest_at_mid_length_and_nought_at_the_marks():
    straight = from_table(edited("log", "sweep", value={"amount": "0 mm", "towards": "2 o'clock"}))
    swept = from_table(MEASURED)
    z = np.array([0.0, 2.1, 4.2])
    moved = (swept.to_shape().at(z).outlines - straight.to_shape().at(z).outlines).mean(axis=1)
    assert moved[0] == pytest.approx((0, 0), abs=1e-12)
    assert moved[2] == pytest.approx((0, 0), abs=1e-12)
    # 2 o'clock is 30 degrees above the right.
    want = (0.035 * math.cos(math.radians(30)), 0.035 * math.sin(math.radians(30)))
    assert moved[1] == pytest.approx(want, abs=1e-9)
    # Sliding sections sideways changes no volume.
    assert volume_by_integration(swept.to_shape()) == pytest.approx(
        volume_by_integration(straight.to_shape()), rel=1e-12
    )


def test_zones_sit_on_the_edge_at_their_clock_or_along_the_pith():
    metal, figure = from_table(MEASURED).to_shape().zones
    assert (metal.start, metal.end, metal.radius) == (0.55, 0.70, 0.06)
    # 9 o'clock is to the left; the section there is some 35 cm that way.
    assert metal.x == pytest.approx(-0.35, abs=0.02)
    assert abs(metal.y) < 0.02
    assert figure.x < 0 < figure.y
    centred = from_table(edited("log", "zones", 0, "clock", value="centre")).to_shape().zones[0]
    # The grown pith has left the marked line by the sweep there: 4 s t (1 - t), t = 0.625/4.2.
    assert math.hypot(centred.x, centred.y) == pytest.approx(4 * 0.035 * 0.1488 * 0.8512, abs=1e-4)


def test_a_crotch_has_two_piths():
    fork = {"from": "3 m", "right": "12 cm", "up": "0 mm", "seen_from": "butt"}
    shape = from_table(edited("log", "second_pith", value=fork)).to_shape()
    assert np.isnan(shape.second_pith[shape.z < 3 - 1e-9]).all()
    assert shape.second_pith[-1] == pytest.approx((0.12, 0.0))
    begin = shape.second_pith[np.argmin(abs(shape.z - 3.0))]
    assert np.isfinite(begin).all()
    # Measured from the top, right becomes left.
    fork.pop("seen_from")
    assert from_table(edited("log", "second_pith", value=fork)).to_shape().second_pith[-1][
        0
    ] == pytest.approx(-0.12)


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("64 cm", {"diameter": "64 cm"}),
        ("82 x 76 cm", {"across": "82 cm", "tall": "76 cm"}),
        ('32 x 30 1/2"', {"across": '32 "', "tall": '30 1/2"'}),
        ("820 mm × 30 in", {"across": "820 mm", "tall": "30 in"}),
        ("girth 2.1 m over bark", {"girth": "2.1 m", "bark": "over"}),
        (
            "up 40 cm, down 38 cm left 16 in; right 39 cm",
            {"up": "40 cm", "down": "38 cm", "left": "16 in", "right": "39 cm"},
        ),
    ],
)
def test_a_size_in_one_text(text, fields):
    assert size_from_text(text, "log.butt") == fields


def test_every_way_of_taping_a_round_log_gives_the_same_log():
    ways = [
        "64 cm",
        "64 x 64 cm",
        f"girth {math.pi * 0.64} m",
        "up 32 cm, down 32 cm, left 32 cm, right 32 cm",
    ]
    areas = [volume_by_integration(record(top=way).to_shape()) for way in ways]
    assert areas == pytest.approx([areas[0]] * 4, rel=1e-12)


def test_least_input_says_everything_that_it_assumed():
    log = record()
    said = {a.field for a in log.assumptions}
    assert said == {
        "log.bark", "log.butt.bark", "log.top.bark", "log.form", "log.pith", "log.stations", "log.sweep",
        "lie",
    }  # fmt: skip
    tried = {a.field: (low, high) for a, low, high in log.variants()}
    assert set(tried) == said
    here = volume_by_integration(log.to_shape())
    for low, high in tried.values():
        for changed in (low, high):
            changed.lie()
            assert volume_by_integration(changed.to_shape()) == pytest.approx(here, rel=0.2)
    # Over bark means less wood; thicker bark takes none from ends taped under it.
    assert volume_by_integration(tried["log.butt.bark"][0].to_shape()) < here
    assert volume_by_integration(tried["log.bark"][1].to_shape()) == pytest.approx(here, rel=1e-12)


def test_what_is_said_is_no_longer_assumed():
    log = record(
        butt="82 x 76 cm under bark", bark="18 mm", sweep="30 mm towards 6 o'clock", bearers="20 cm",
        stations=["0.9 m: 70 cm over bark"],
    )  # fmt: skip
    assert {a.field for a in log.assumptions} == {"log.top.bark", "log.form", "log.pith"}


def test_mirrored_top_is_tried_where_the_end_was_not_said():
    log = record(top="up 32 cm, down 32 cm, left 30 cm, right 34 cm")
    tried = {a.field: (low, high) for a, low, high in log.variants()}
    low, high = (r.to_shape().outlines[-1][:, 0].max() for r in tried["log.top.seen_from"])
    assert low == pytest.approx(0.30, rel=3e-4)
    assert high == pytest.approx(0.34, rel=3e-4)


def test_texts_follow_the_units_that_the_person_uses():
    log = record(length="13 ft 10 in", butt="32 in", top="25 in")
    assert '"' in {a.field: a.value for a in log.assumptions}["log.bark"]
    assert "foot" in log.questions()[0]


def test_a_log_at_rest_lies_on_the_ground():
    lie = record().lie()
    shape = record().to_shape()
    assert lie.bearer_butt == pytest.approx(0, abs=1e-9)
    assert lie.pith_butt == pytest.approx(0.41 + shape.bark[0], rel=5e-4)
    assert lie.pith_top == pytest.approx(0.32 + shape.bark[-1], rel=5e-4)


def test_a_log_swept_downwards_rests_on_its_belly():
    log = record(sweep="60 mm towards 6 o'clock", butt="66 cm")
    shape, lie = log.to_shape(), log.lie()
    line = lie.pith_butt + (lie.pith_top - lie.pith_butt) * shape.z / shape.length
    under = line + shape.over_bark()[..., 1].min(axis=1)
    # On the ground somewhere, nowhere in it.
    assert under.min() == pytest.approx(0, abs=1e-9)
    assert log.questions() == []


def test_bearers_lift_the_log():
    lie = record(bearers="20 cm").lie()
    assert (lie.bearer_butt, lie.bearer_top) == pytest.approx((0.2, 0.2))
    assert lie.pith_butt == pytest.approx(record().lie().pith_butt + 0.2)


def test_a_belly_in_the_ground_is_asked_about():
    log = record(sweep="20 cm towards 6 o'clock", bearers="5 cm", butt="66 cm")
    assert any("dip" in q for q in log.questions())


def test_a_wider_top_is_a_question_with_its_option():
    with pytest.raises(Question, match="wider than the butt") as asked:
        record(butt="60 cm")
    assert asked.value.option == "--top-is-wider"
    assert record(butt="60 cm", confirm={"--top-is-wider"}).length == 4.2


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        (
            {"butt": "up 40 cm, down 38 cm, left 41 cm, right -3 cm"},
            r"right is \"-30 mm\".*inside the outline",
        ),
        ({"butt": "up 40 cm, down 38 cm, left 41 cm"}, r"log\.butt\.right is missing"),
        ({"bark": "50 cm"}, r"log\.butt bark is \"500 mm\"; it must be thinner than the least radius"),
        ({"top": "64 cm over bark", "bark": "33 cm"}, r"log\.top bark is \"330 mm\""),
        ({"length": "4.2"}, r"log\.length is \"4\.2\".*unit"),
        ({"length": "-4 m"}, r"log\.length is \"-4 m\""),
        ({"length": "nan m"}, r"log\.length is \"nan m\""),
        ({"length": "inf m"}, r"log\.length is \"inf m\""),
        ({"length": "31 m"}, r"at least 30 cm and at most 30 m"),
        ({"butt": "5 cm"}, r"at least 6 cm and at most 5 m"),
        ({"butt": "up 1 cm, down 1 cm, left 1 cm, right 1 cm"}, r"log\.butt, left \+ right is \"2 cm\""),
        ({"stations": ["5 m: 61 cm"]}, r"log\.stations\[1\]\.at is \"5 m\"; it must be between the ends"),
        ({"stations": ["1 m: 61 cm", "1 m: 62 cm"]}, r"said once"),
        ({"stations": ["61 cm"]}, r'Write "0\.9 m: 61 cm"'),
        ({"sweep": "35 mm"}, r"towards 2 o'clock"),
        ({"species": "red oka"}, r"log\.species is \"red oka\".*[Rr]ed oak"),
        ({"top": ""}, r"log\.top is missing"),
    ],
)
def test_refusals_name_field_value_and_rule(changes, said):
    with pytest.raises(Refused, match=said):
        record(**changes)


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("log", "lenght"), "4 m", r"log\.lenght is .*Did you mean length\?"),
        (
            ("mil",),
            {},
            r"mil is .*one of the fields of the file. Did you mean mill\? Known here: log, lie, mill, ",
        ),
        (("log", "butt", "diameter"), "80 cm", r"log\.butt is .*measured one way"),
        (("log", "butt", "pith_up"), "2 cm", r"left out beside readings"),
        (("log", "top"), {"across": "60 cm"}, r"log\.top\.tall is missing"),
        (
            ("log", "top"),
            {"across": "60 cm", "tall": "60 cm", "pith_up": "40 cm"},
            r"top pith is .*inside the",
        ),
        (("log", "bark", "thickness"), "2 cm", r"said one way"),
        (("log", "bark"), {"butt": "2 cm"}, r"log\.bark is missing"),
        (
            ("log", "zones", 0, "to"),
            "0.4 m",
            r"zones\[1\]\.to is \"0\.4 m\".*beyond its from",
        ),
        (("log", "zones", 0, "to"), "4.3 m", r"log\.zones\[1\]\.to .*on the log"),
        (("log", "zones", 0, "kind"), "nail", r"log\.zones\[1\]\.kind is \"nail\"; it must be one of"),
        (("log", "zones", 0, "clock"), "13 o'clock", r"clock"),
        (("log", "second_pith"), {"from": "5 m", "right": "1 cm", "up": "0 mm"}, r"log\.second_pith\.from"),
        (
            ("log", "second_pith"),
            {"from": "3 m", "right": "50 cm", "up": "0 mm"},
            r"inside the top's outline",
        ),
        (("log", "felled"), "yesterday", r"log\.felled is \"yesterday\"; it must be a date"),
        (("lie", "pith_butt"), "20 cm", r"lie\.pith_butt is .*reach below"),
        (("lie", "bearers"), "20 cm", r"pith heights beside bearers"),
        (("lie",), {"pith_butt": "60 cm"}, r"lie\.pith_top is missing"),
        (("lie", "slope"), "steep", r"lie\.slope is \"steep\""),
    ],
)
def test_refusals_of_a_file(path, value, said):
    with pytest.raises(BadValue, match=said):
        from_table(edited(*path, value=value))


def test_a_record_fits_the_published_schema():
    jsonschema = pytest.importorskip("jsonschema")
    from pithline.field_schema import schema

    document = {name: MEASURED[name] for name in ("log", "lie")}
    document["log"] = {**document["log"], "felled": str(document["log"]["felled"])}
    jsonschema.validate(document, schema(RECORD, "pithline/log-record/1"))


def test_an_uneven_station_keeps_form_and_pith():
    log = record(
        butt="up 40 cm, down 36 cm, left 44 cm, right 38 cm",
        top="up 32 cm, down 30 cm, left 34 cm, right 31 cm",
        stations=["2.1 m: girth 2.1 m under bark"], sweep="0 mm towards 3 o'clock",
    )  # fmt: skip
    shape = log.to_shape()
    middle = shape.outlines[1]
    assert mean_diameter(middle) == pytest.approx(2.1 / math.pi, rel=1e-12)
    mean = (shape.outlines[0] + shape.outlines[2]) / 2
    assert middle / mean_diameter(middle) == pytest.approx(mean / mean_diameter(mean), abs=1e-12)


CROTCH = [
    {"clock": f"{hour} o'clock", "out": f"{out} cm"}
    for hour, out in ((12, 24), (1, 27), (3, 48), (5, 28), (6, 25), (7, 28), (9, 31), (11, 27))
]


def test_a_crotch_taped_all_round():
    log = from_table(edited("log", "top", value={"around": CROTCH, "bark": "under"}))
    top = log.to_shape().outlines[-1]
    # Seen from the top the long side is to the right: from the butt it is to the left.
    assert top[:, 0].min() == pytest.approx(-0.48, rel=2e-3)
    assert top[:, 0].max() == pytest.approx(0.31, rel=2e-3)
    assert {a.field for a in log.assumptions} == {"log.top.seen_from"}
    over = from_table(edited("log", "top", value={"around": CROTCH, "bark": "over"})).to_shape()
    assert over.outlines[-1][:, 0].min() == pytest.approx(-0.48 + 0.014, rel=2e-3)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (CROTCH[:3], r"top\.around is \"3 readings, .*four or more"),
        (CROTCH[:5], r"nowhere more than 4 hours apart"),
        ([*CROTCH, CROTCH[0]], r"four or more different directions"),
        (
            [*CROTCH, {"clock": "2 o'clock", "out": "-1 cm"}],
            r"around\[9\]\.out is \"-10 mm\".*inside the outline",
        ),
    ],
)
def test_refusals_of_readings_all_round(rows, said):
    with pytest.raises(BadValue, match=said):
        from_table(edited("log", "top", value={"around": rows}))


def test_the_document_names_every_field():
    text = (HERE.parents[1] / "docs" / "log.md").read_text(encoding="utf-8")

    def names(declared):
        for entry in declared.fields:
            yield entry.name
            if hasattr(entry, "fields"):
                yield from names(entry)

    assert {name for name in names(RECORD) if f"`{name}`" not in text and f"[{name}]" not in text} == set()


@st.composite
def records(draw):
    """Any log that a tape might describe, within reason."""

    def size(metres):
        way = draw(st.sampled_from(["diameter", "pair", "girth", "readings"]))
        off = st.floats(0.85, 1.15)
        match way:
            case "diameter":
                return {"diameter": f"{metres:.6f} m"}
            case "pair":
                return {"across": f"{metres * draw(off):.6f} m", "tall": f"{metres * draw(off):.6f} m"}
            case "girth":
                return {"girth": f"{math.pi * metres:.6f} m"}
            case _:
                return {name: f"{metres / 2 * draw(off):.6f} m" for name in ("up", "down", "left", "right")}

    length = draw(st.floats(1.0, 8.0))
    top = draw(st.floats(0.2, 1.0))
    butt = top * draw(st.floats(1.0, 1.5))
    inside = st.floats(0.1, 0.9)
    woods = ["northern red oak", "black walnut", "Douglas-fir, coast", "sweetgum"]
    side = st.sampled_from(["under", "over"])
    return {
        "log": {
            "species": draw(st.sampled_from(woods)),
            "length": f"{length:.6f} m",
            "butt": size(butt) | {"bark": draw(side)},
            "top": size(top) | {"bark": draw(side), "seen_from": "butt"},
            "stations": [
                {"at": f"{length * draw(inside):.6f} m", **size((butt + top) / 2), "bark": draw(side)}
            ],
            "sweep": {"amount": f"{draw(st.floats(0, 100)):.0f} mm", "towards": "1 o'clock"},
        }
    }


def mirrored(document):
    """The same log seen in a looking glass."""
    other = copy.deepcopy(document)
    for place in (other["log"]["butt"], other["log"]["top"], *other["log"]["stations"]):
        if "left" in place:
            place["left"], place["right"] = place["right"], place["left"]
    other["log"]["sweep"]["towards"] = "11 o'clock"
    return other


@given(records())
def test_a_mirrored_record_is_the_mirrored_log(document):
    confirm = {"--top-is-wider"}
    log, other = from_table(document, confirm), from_table(mirrored(document), confirm)
    here, there = log.to_shape(), other.to_shape()
    assert there.outlines[..., 0].max(axis=1) == pytest.approx(-here.outlines[..., 0].min(axis=1), abs=1e-9)
    assert volume_by_integration(there) == pytest.approx(volume_by_integration(here), rel=1e-9)
    assert other.lie().pith_butt == pytest.approx(log.lie().pith_butt, abs=1e-9)
    # Bark only adds, and every assumption has two possible logs.
    assert volume_by_integration(here, over_bark=True) > volume_by_integration(here)
    assert {a.field for a, _, _ in log.variants()} <= {a.field for a in log.assumptions}


@given(records())
def test_a_log_at_rest_touches_level_ground_and_nothing_is_in_it(document):
    log = from_table(document, {"--top-is-wider"})
    shape, lie = log.to_shape(), log.lie()
    line = lie.pith_butt + (lie.pith_top - lie.pith_butt) * shape.z / shape.length
    under = line + shape.over_bark()[..., 1].min(axis=1)
    assert under.min() == pytest.approx(0, abs=1e-9)
    # Two points carry it, one on either side of its middle.
    assert (abs(under) < 1e-9).sum() >= 2


def test_the_demo_log_is_measured_throughout():
    demo = parse_toml((HERE.parents[1] / "demo" / "hollow-oak.toml").read_text(), "hollow-oak.toml")
    log = from_table(demo)
    assert (log.assumptions, log.questions()) == ((), [])

"""Declared tables: what is read, what is refused and with which words, and the schema."""

from __future__ import annotations

import datetime

import pytest

from pithline.errors import BadFile, BadValue
from pithline.field_schema import schema
from pithline.fields import Field, Quantity, Table, defaulted, parse_toml, read

INNER = Table("inner", "Inside.", (Field("size", Quantity.LENGTH, "A size.", required=True),))
ROWS = Table("rows", "Several.", (Field("share", Quantity.SHARE, "Part."),), many=True)
SAW = Table(
    "saw",
    "A saw.",
    (
        Field("kerf", Quantity.LENGTH, "Width of cut.", default="9 mm", least="1 mm", most="20 mm"),
        Field("make", Quantity.TEXT, "Who made it.", choices=("own", "bought")),
        Field("bought", Quantity.DATE, "When."),
        Field("chains", Quantity.COUNT, "How many.", least="0"),
        Field("wet", Quantity.FLAG, "Water on the bar."),
        Field("sizes", Quantity.LENGTH, "Some.", many=True),
        Field("side", Quantity.CLOCK, "Where.", words=("centre",)),
        Field("pay", Quantity.NUMBER, "Plain."),
        INNER,
        ROWS,
    ),
)


def test_everything_is_read_into_si():
    values = read(
        SAW,
        {
            "kerf": '3/8"',
            "make": "Bought",
            "bought": datetime.date(2025, 2, 14),
            "chains": 3,
            "wet": True,
            "sizes": "80 mm",
            "side": "Centre",
            "pay": 2,
            "inner": {"size": "2.4 m"},
            "rows": [{"share": "8 %"}, {}],
        },
    )
    assert values["kerf"] == pytest.approx(0.009525)
    assert (values["make"], values["side"], values["pay"]) == ("bought", "centre", 2.0)
    assert values["sizes"] == (0.08,)
    assert values["inner"] == {"size": 2.4}
    assert values["rows"] == ({"share": 0.08}, {"share": None})
    assert values["bought"] == datetime.date(2025, 2, 14)


def test_what_is_left_out_has_its_default_and_is_named():
    assert read(SAW, {})["kerf"] == 0.009
    assert read(SAW, {})["sizes"] == () == read(SAW, {})["rows"]
    assert [path for path, _ in defaulted(SAW, {})] == ["saw.kerf"]
    assert defaulted(SAW, {"kerf": "8 mm"}) == []


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        ({"kref": "9 mm"}, r"saw\.kref is \"9 mm\".*Did you mean kerf\?.*Known here: kerf, make"),
        ({"kerf": 9}, r"saw\.kerf is 9; .*unit.*80 mm"),
        ({"kerf": "9"}, r"saw\.kerf is \"9\".*unit"),
        ({"kerf": "30 mm"}, r"saw\.kerf is \"30 mm\"; it must be at least 1 mm and at most 20 mm"),
        ({"kerf": "nan mm"}, r"saw\.kerf is \"nan mm\""),
        ({"kerf": "-9 mm"}, r"saw\.kerf is \"-9 mm\""),
        ({"kerf": True}, r"saw\.kerf is True; it must be a length with its unit"),
        ({"kerf": ["9 mm"]}, r"saw\.kerf is .*unit"),
        ({"make": "ownn"}, r"one of \"own\", \"bought\"\. Did you mean \"own\"\?"),
        ({"make": 3}, r"saw\.make is 3; it must be a text"),
        ({"bought": "14.2.2025"}, r"year-month-day"),
        ({"chains": 2.5}, r"a whole number"),
        ({"chains": -1}, r"at least 0"),
        ({"wet": "yes"}, r"true or false"),
        ({"pay": "2"}, r"a plain number"),
        ({"side": "noon"}, r"saw\.side is \"noon\".*, or \"centre\"\."),
        ({"pay": float("nan")}, r"a finite number"),
        ({"sizes": ["80 mm", "5"]}, r"saw\.sizes\[2\] is \"5\""),
        ({"inner": {}}, r"saw\.inner\.size is missing; it must be given"),
        ({"inner": 5}, r"saw\.inner is 5; it must be a table"),
        ({"rows": {"share": "8 %"}}, r"Head each of them with \[\[saw\.rows\]\]"),
        ({"rows": [{}, {"share": 8}]}, r"saw\.rows\[2\]\.share is 8"),
    ],
)
def test_a_refusal_names_field_value_and_remedy(raw, said):
    with pytest.raises(BadValue, match=said):
        read(SAW, raw)


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ('[log]\nname = "a\n', "line 2, column 10"),
        ("[log]\nlength = 4.2 m\n", "line 2, column 14"),
        ("[log\n", "line 1, column 5"),
        ("[log]\na = 1\na = 2", "line 3"),
    ],
)
def test_broken_toml_names_line_and_column(text, where):
    with pytest.raises(BadFile, match=where) as refused:
        parse_toml(text, "my.toml")
    assert str(refused.value).startswith("my.toml, line ")


def test_the_schema_says_what_is_read():
    described = schema(SAW, "saw/1")
    kerf = described["properties"]["kerf"]
    assert kerf["type"] == "string"
    assert kerf["default"] == "9 mm"
    assert "at least 1 mm; at most 20 mm" in kerf["description"]
    assert described["properties"]["make"]["enum"] == ["own", "bought"]
    assert described["properties"]["inner"]["required"] == ["size"]
    assert described["properties"]["rows"]["type"] == "array"
    assert described["additionalProperties"] is False


def test_the_schema_is_valid_and_agrees_with_reading():
    jsonschema = pytest.importorskip("jsonschema")
    check = jsonschema.Draft202012Validator(schema(SAW, "saw/1"))
    jsonschema.Draft202012Validator.check_schema(check.schema)
    for good in ({}, {"kerf": "9 mm", "sizes": ["1 m", "2 m"]}, {"inner": {"size": "1 m"}}):
        read(SAW, good)
        assert check.is_valid(good)
    for bad in ({"kref": "9 mm"}, {"kerf": 9}, {"make": "ownn"}, {"inner": {}}, {"chains": 2.5}):
        with pytest.raises(BadValue):
            read(SAW, bad)
        assert not check.is_valid(bad)

"""The table of woods, and finding one in it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.errors import BadValue
from pithline.wood.facts import rows
from pithline.wood.species import all_species, find, species


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("Northern red oak", "Northern red oak"),
        ("NORTHERN  red-oak", "Northern red oak"),
        ("red oak", "Northern red oak"),
        ("oak, red", "Northern red oak"),
        ("Quercus rubra", "Northern red oak"),
        ("quercus alba", "White oak"),
        ("oak white", "White oak"),
        ("western red cedar", "Western redcedar"),
        ("Thuja plicata", "Western redcedar"),
        ("honey locust", "Honeylocust"),
        ("tulip poplar", "Yellow-poplar (tuliptree)"),
        ("tuliptree", "Yellow-poplar (tuliptree)"),
        ("Oregon myrtle", "California laurel (Oregon myrtle)"),
        ("robinia", "Black locust"),
        ("hard maple", "Sugar maple"),
        ("sitka", "Sitka spruce"),
        ("coast douglas fir", "Douglas-fir, coast"),
        ("Bald Cypress", "Baldcypress"),
        ("teak", "Teak"),
        ("apple", "Apple"),
    ],
)
def test_a_wood_is_found_by_what_people_call_it(written, meant):
    assert species(written).name == meant


@pytest.mark.parametrize(
    ("written", "candidates"),
    [
        ("walnut", ["Black walnut", "European walnut"]),
        ("soft maple", ["Red maple", "Silver maple"]),
        ("sycamore", ["American sycamore", "Sycamore maple"]),
        ("redwood", ["Redwood, old-growth", "Redwood, young-growth"]),
        ("Douglas fir", ["Douglas-fir, coast", "Douglas-fir, UK-grown"]),
        ("oak", ["Black oak", "and 13 more"]),
    ],
)
def test_a_name_of_several_woods_is_refused_with_all_of_them(written, candidates):
    with pytest.raises(BadValue, match="one wood; this could be") as refusal:
        species(written)
    for candidate in candidates:
        assert candidate in str(refusal.value)
    assert "Give the full name" in str(refusal.value)


@pytest.mark.parametrize(
    ("written", "suggestion"),
    [
        ("black wallnut", 'Did you mean "Black walnut"?'),
        ("walnutt", 'Did you mean "Black walnut" or "European walnut"?'),
        ("Northern Red Oack", 'Did you mean "Northern red oak"?'),
        ("oack", 'Did you mean "oak"?'),
        ("Quercus rubbra", "Northern red oak"),
    ],
)
def test_a_misspelled_wood_is_refused_with_what_was_meant(written, suggestion):
    with pytest.raises(BadValue) as refusal:
        species(written, "log.species")
    message = str(refusal.value)
    assert message.startswith(f'log.species is "{written}"; it must be a wood that is known here.')
    assert suggestion in message


@pytest.mark.parametrize("written", ["", "   ", "123", None, 7, ["oak"]])
def test_what_is_no_name_is_refused(written):
    with pytest.raises(BadValue, match="the name of a wood"):
        species(written)


@given(st.text(max_size=40))
def test_any_text_is_a_wood_or_refused(text):
    try:
        found = species(text)
    except BadValue:
        return
    assert found in all_species()


@given(st.sampled_from(all_species()), st.randoms())
def test_every_wood_is_found_by_its_own_name_in_any_order(wood, random):
    words = wood.name.replace("(", " ").replace(")", " ").replace(",", " ").split()
    assert species(wood.name) is wood
    random.shuffle(words)
    assert species(" ".join(words).upper()) is wood


def test_finding_by_beginnings_of_words():
    assert [wood.name for wood in find("waln")] == ["Butternut", "Black walnut", "European walnut"]
    assert find("xyzzy") == ()
    assert find("") == all_species()


def test_every_alias_names_a_wood_of_the_table():
    names = {wood.name for wood in all_species()}
    assert {row["common_name"] for row in rows("aliases.csv")} <= names


def test_every_number_has_a_citation_and_a_mark():
    woods = all_species()
    assert len(woods) == 216
    assert len({wood.name for wood in woods}) == 216
    numbers = 0
    for wood in woods:
        for _, fact in wood.facts():
            assert fact.source, wood.name
            assert fact.mark in {"read", "from memory", "derived"}, wood.name
            numbers += 1
    assert numbers > 1000
    used = {fact.key for wood in woods for _, fact in wood.facts()}
    assert used == {row["key"] for row in rows("sources.csv")}


def test_marks_are_kept_where_they_belong():
    # Which rows of Table 4-3 were read ends at pignut hickory in its left column; red oak comes after it.
    assert species("black ash").shrink_radial.mark == "read"
    assert species("northern red oak").shrink_radial.mark == "from memory"
    assert species("northern red oak").ct.mark == "read"
    assert "from memory" in species("redwood, old-growth").fsp.cited()


@pytest.mark.parametrize(
    ("name", "field", "value"),
    [
        # Wood Handbook FPL-GTR-190 (2010), Tables 5-3a, 4-1, 4-3, 13-5.
        ("White oak", "sg_basic", 0.60),
        ("White oak", "mc_heartwood", 0.64),
        ("White oak", "mc_sapwood", 0.78),
        ("White oak", "shrink_tangential", 0.105),
        ("Black walnut", "shrink_volumetric", 0.128),
        ("Black ash", "shrink_volumetric", 0.152),
        ("White fir", "ct", 0.00245),
        ("Red alder", "ct", 0.00256),
        # FIA species reference table, whole-wood green moisture of northern red oak.
        ("Northern red oak", "mc_whole", 0.831),
    ],
)
def test_figures_spot_checked_against_their_tables(name, field, value):
    assert getattr(species(name), field).value == pytest.approx(value)


def test_figures_are_possible():
    for wood in all_species():
        facts = {field: fact.value for field, fact in wood.facts()}
        assert 0.2 < facts.get("sg_basic", 0.5) < 1.0, wood.name
        if "sg_12" in facts and "sg_basic" in facts:
            assert facts["sg_12"] > facts["sg_basic"], wood.name
        if "shrink_tangential" in facts and "shrink_radial" in facts:
            assert 0.01 < facts["shrink_radial"] < facts["shrink_tangential"] < 0.15, wood.name
        if "ct" in facts and "cr" in facts:
            assert 0.0005 < facts["cr"] < facts["ct"] < 0.006, wood.name
        for field in ("mc_heartwood", "mc_sapwood", "mc_whole"):
            assert 0.2 < facts.get(field, 1.0) < 2.6, wood.name

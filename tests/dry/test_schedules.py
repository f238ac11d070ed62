"""Published schedule codes: the steps, and which wood has which."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.dry.kiln.codes import KINDS, choose, codes_of, density_class, quarters_for
from pithline.dry.kiln.schedules import drying_force, fahrenheit, schedule
from pithline.dry.printed import rows
from pithline.errors import BadValue
from pithline.units import length
from pithline.wood.facts import all_species
from pithline.wood.species import species
from tests.sources import table

codes = st.builds(
    lambda t, c, n: f"T{t}-{c}{n}", st.integers(1, 14), st.sampled_from("ABCDEF"), st.integers(1, 8)
)


def test_a_code_spells_out_as_put_together_by_hand():
    printed = table("kiln_t4_d2")
    steps = schedule("T4-D2").steps
    assert len(steps) == len(printed)
    for step, row in zip(steps, printed, strict=True):
        assert min(step.upper * 100, 999) == pytest.approx(float(row["above_percent"]))
        assert step.lower * 100 == pytest.approx(float(row["to_percent"]))
        assert step.dry_bulb == pytest.approx(fahrenheit(float(row["dry_bulb_f"])))
        assert step.wet_bulb == pytest.approx(fahrenheit(float(row["wet_bulb_f"])))
        # Half of the last digit given.
        assert step.humidity * 100 == pytest.approx(float(row["humidity_percent"]), abs=0.5)
        assert step.emc * 100 == pytest.approx(float(row["emc_percent"]), abs=0.051)


@given(code=codes)
def test_every_schedule_grows_hotter_and_drier_as_the_wood_dries(code):
    steps = schedule(code).steps
    assert steps[0].upper == float("inf")
    assert steps[-1].lower == 0
    for before, after in pairwise(steps):
        assert before.lower == after.upper
        assert after.dry_bulb >= before.dry_bulb
        assert after.listed_depression >= before.listed_depression
    # FPL-GTR-57, introduction (read): the wet bulb is kept at 90 °F or more.
    assert all(step.wet_bulb >= fahrenheit(90) - 1e-9 or not step.held for step in steps)


@given(heat=st.integers(1, 14), kind=st.sampled_from("ABCDEF"), number=st.integers(1, 7))
def test_a_higher_depression_number_never_draws_less(heat, kind, number):
    milder, harder = schedule(f"T{heat}-{kind}{number}"), schedule(f"T{heat}-{kind}{number + 1}")
    assert drying_force(milder) <= drying_force(harder)


@pytest.mark.parametrize("code", ["T0-A1", "T15-A1", "T4-G2", "T4-D9", "T4", "", "T4-D22"])
def test_a_code_that_is_not_one_is_refused(code):
    with pytest.raises(BadValue, match='Write it like "T4-D2"'):
        schedule(code)


@pytest.mark.parametrize(
    ("name", "thickness", "kind", "printed"),
    [
        ("sugar maple", "4/4", "usual", "T8-C3"),  # Forest Products Journal 54(12), 2004, abstract
        ("sugar maple", "4/4", "for white colour", "T3-C5"),  # the same
        ("northern red oak", "4/4", "milder finish", "T3-D2"),  # E. M. Wengert, article
        ("white ash", "4/4", "for white colour", "T5-B5"),  # E. M. Wengert, 2010
        ("white ash", "12/4", "usual", "T3-B2"),  # an operator's published question, 2010
    ],
)  # fmt: skip
def test_the_codes_that_were_read(name, thickness, kind, printed):
    choice = choose(species(name), length(thickness), kind)
    assert (choice.code, choice.own, choice.row.mark) == (printed, True, "read")


def test_every_printed_code_spells_out_and_says_whether_it_was_read():
    for row in rows("kiln_codes.csv"):
        assert schedule(row["code"]).steps
        assert row["mark"] in ("read", "from memory")
        assert row["kind"] in KINDS


def test_thicker_stock_is_never_dried_harder():
    for wood in all_species():
        usual = {q: c.code for c in codes_of(wood) if c.kind == "usual" for q in c.quarters}
        forces = [drying_force(schedule(choose(wood, q * 0.00635).code)) for q in sorted(usual)]
        assert forces == sorted(forces, reverse=True), wood.name


def test_a_green_slab_belongs_to_the_thickness_it_is_named_after():
    assert quarters_for(length("12/4")) == 12
    assert quarters_for(length("81 mm")) == 12  # 12/4 red oak as sawn green
    assert quarters_for(length("83 mm")) == 16
    assert quarters_for(length("120 mm")) is None
    with pytest.raises(BadValue):
        quarters_for(float("nan"))


@pytest.mark.parametrize("thickness", ["4/4", "8/4", "12/4", "16/4"])
def test_no_code_is_invented_for_a_wood_without_one(thickness):
    printed = {row["code"] for row in rows("kiln_codes.csv")}
    without = [wood for wood in all_species() if not codes_of(wood)]
    assert len(without) > 50  # all of Europe's woods and the softwoods
    for wood in without:
        choice = choose(wood, length(thickness))
        assert choice.code in printed
        assert not choice.own
        assert any("no code is known" in told and "a guess" in told for told in choice.remarks)


def test_the_lent_code_is_the_most_careful_of_its_density_class():
    wood = species("pedunculate oak")
    assert density_class(wood) == "dense"
    lent = choose(wood, length("4/4"))
    for other in all_species():
        own = [c for c in codes_of(other) if 4 in c.quarters and c.kind == "usual"]
        if own and density_class(other) == "dense":
            assert schedule(lent.code).steps[0].dry_bulb <= schedule(own[0].code).steps[0].dry_bulb


def test_a_thicker_slab_than_any_code_says_so():
    choice = choose(species("red oak"), length("130 mm"))
    assert not choice.own
    assert "thicker than any published schedule" in choice.remarks[0]


def test_a_kind_that_is_not_printed_is_refused():
    with pytest.raises(BadValue, match="Known at this thickness: usual"):
        choose(species("red oak"), length("12/4"), "for white colour")

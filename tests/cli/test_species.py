"""``pithline species``, ``shrink`` and ``emc`` as a person and as a program meets them."""

from __future__ import annotations

import json

import pytest


def test_the_card_shows_every_number_with_mark_and_source(pithline):
    code, out, _ = pithline("species", "red oak", "--moisture", "8 %")
    assert code == 0
    words = " ".join(out.split())
    assert "Northern red oak (Quercus rubra)" in words
    assert "8.6 % from memory" in words  # tangential shrinkage, Wood Handbook Table 4-3
    assert "0.00369 read" in words  # CT, Wood Handbook Table 13-5
    assert "Green density 907 kg/m³ 1008 kg/m³ 1109 kg/m³" in words
    assert "Shrinkage to 8.0 %, tangential 5.1 % 6.3 % 7.5 %" in words
    assert "Bark at 508 mm" in words
    assert "Table 13-5" in words


def test_the_card_in_inches(pithline):
    _, out, _ = pithline("species", "red oak", "--units", "inch")
    assert "62.9 lb/ft³" in out
    assert 'Bark at 20"' in out


def test_a_card_says_what_is_guessed_and_from_what(pithline):
    _, out, _ = pithline("species", "monkeypod", "--moisture", "10 %")
    words = " ".join(out.split())
    assert "a guess" in words
    assert "as full as those of 103 hardwoods" in words
    assert "26.5 times basic specific gravity" in words


def test_a_wood_without_specific_gravity_shows_what_is_known(pithline):
    code, out, _ = pithline("species", "limba", "--moisture", "8 %")
    assert code == 0
    assert "Shrinkage to 8.0 %, tangential" in out
    assert "kg/m³" not in out


def test_json_has_its_schema_and_units_in_the_keys(pithline):
    code, out, err = pithline("species", "white oak", "--moisture", "12 %", "--json")
    assert (code, err) == (0, "")
    card = json.loads(out)
    assert card["schema"] == "pithline/species/1"
    assert card["published"]["shrinkage_tangential_percent"]["value"] == 10.5
    assert card["published"]["shrinkage_tangential_percent"]["mark"] == "read"
    # Own chain from Wood Handbook Tables 4-3 and 5-3: 744.8 kg/m3 at 12 %.
    assert card["reckoned"]["density_kg_m3"]["mid"] == pytest.approx(744.8, abs=0.05)
    assert card["reckoned"]["shrinkage_tangential_percent"]["mid"] == pytest.approx(6.3)
    assert card["moisture_percent"] == 12


def test_listing_and_searching(pithline):
    code, out, err = pithline("species", "--find", "waln")
    assert code == 0
    assert "Black walnut" in out
    assert "red oak" not in out
    assert "3 woods" in err
    everything = json.loads(pithline("species", "--json")[1])
    assert everything["schema"] == "pithline/species-list/1"
    assert len(everything["species"]) == 216


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["species", "oack"], 'species is "oack"; it must be a wood that is known here. Did you mean "oak"?'),
        (["species", "walnut"], "this could be Black walnut; European walnut"),
        (["species", "--find", "xyzzy"], "part of the name of a wood"),
        (["species", "teak", "--find", "oak"], "used without NAME"),
        (["species", "teak", "--moisture", "8"], "--moisture is"),
        (["species", "teak", "--moisture", "900 %"], "all that Teak can hold"),
        (["shrink", "red oak", "--size", "600", "--to", "8 %"], "--size is"),
        (["shrink", "red oak", "--size", "600 mm", "--to", "nan %"], "--to is"),
        (["shrink", "teak", "--size", "6 cm", "--to", "8 %", "--direction", "radial", "--ring-angle", "9°"],
         "given without --direction"),
        (["emc", "--temperature", "70 F"], "given, one of the two"),
        (["emc", "--temperature", "70", "--humidity", "65 %"], "--temperature is"),
        (["emc", "--temperature", "21 C", "--humidity", "165 %"], "a fraction from 0 to 1"),
        (["emc", "--temperature", "21 C", "--moisture", "60 %"], "saturated air of 21 °C"),
    ],
)  # fmt: skip
def test_refusals_exit_2_and_say_what_to_do(pithline, words, message):
    code, out, err = pithline(*words)
    assert (code, out) == (2, "")
    assert message in " ".join(err.split())
    assert "Traceback" not in err


def test_shrink_tells_size_and_range(pithline):
    # Own, from Wood Handbook Table 4-3 (8.6 % tangential): 600 mm green to 8 % is 562.2 mm.
    code, out, _ = pithline("shrink", "red oak", "--size", "600 mm", "--to", "8 %")
    assert code == 0
    assert "600.0 mm green becomes 562.2 mm at 8.0 % (554.9 mm to 569.4 mm)." in out


def test_shrink_json(pithline):
    words = ["--size", "9.15 in", "--from", "8 %", "--to", "11 %", "--json"]
    card = json.loads(pithline("shrink", "white fir", *words)[1])
    assert card["schema"] == "pithline/shrink/1"
    # Own, Wood Handbook Eq. 13-3 with S = 7.0 %: 9.15 in. grows by 0.0675 in.
    assert (card["size_after_m"]["mid"] - card["size_before_m"]) / 0.0254 == pytest.approx(
        0.0675, abs=0.00005
    )
    turned = json.loads(pithline("shrink", "white fir", *words, "--direction", "radial")[1])
    assert turned["shrinkage_total_percent"] == pytest.approx(3.3)


def test_shrink_from_kin_says_that_it_guesses(pithline):
    code, _, err = pithline("shrink", "swamp white oak", "--size", "80 mm", "--to", "8 %")
    assert code == 0
    assert "A guess: mean of 17 other woods of genus Quercus." in err


def test_emc_both_ways(pithline):
    # Wood Handbook Table 4-2: 70 °F and 65 % give 12.0 %.
    _, out, _ = pithline("emc", "--temperature", "70 F", "--humidity", "65 %")
    assert "comes to rest at 12.0 % moisture" in out
    air = json.loads(pithline("emc", "--temperature", "70 F", "--moisture", "12 %", "--json")[1])
    assert air["schema"] == "pithline/emc/1"
    assert air["humidity_percent"] == pytest.approx(65, abs=0.3)

"""`pithline price`: every example runs; what is shown is what was reckoned."""

from __future__ import annotations

import io
import json
import math
import shlex
import shutil
from pathlib import Path

import pypdfium2
import pytest

from pithline.cli.price import command as price
from tests.test_docs import examples

ROOT = Path(__file__).parents[2]
LINES = [line for each in price.commands.values() for line in examples(each)]
SLAB = ("--species", "red oak", "--thickness", "80 mm", "--width", "62 cm", "--length", "3.1 m")
DRY = ("--dried", "kiln dried", "--flattened", "--use", "table")


@pytest.fixture
def ask(pithline, monkeypatch):
    """The JSON of one asking price by the demo's invented sales."""
    monkeypatch.chdir(ROOT)

    def call(*words: str) -> dict:
        answer = pithline("price", "ask", "demo/sales.toml", *SLAB, *words, "--json")
        assert answer.code == 0, answer.err
        return json.loads(answer.out)

    return call


@pytest.mark.parametrize("line", LINES)
def test_every_example_runs(pithline, line, monkeypatch, tmp_path):
    shutil.copytree(ROOT / "demo", tmp_path / "demo")  # one writes a sheet where it runs
    monkeypatch.chdir(tmp_path)
    answer = pithline(*shlex.split(line)[1:])
    assert answer.code == 0, answer.err
    assert answer.out.strip()


def test_there_is_an_example_of_each():
    assert {line.split()[2] for line in LINES} == set(price.commands)


def test_the_reasons_multiply_to_the_price(ask):
    found = ask(*DRY)
    assert found["basis"] == "fit"
    product = math.prod(line["factor"] for line in found["reasons"])
    middle = found["brings_money"]["p50"]
    assert product * found["tally_bf"] == pytest.approx(middle)
    assert found["brings_money"]["p10"] < middle < found["brings_money"]["p90"]
    # 5 % of room, then to the nearest 50 of a shop price.
    assert abs(found["asking_money"] - 1.05 * middle) <= 25
    assert found["fit"]["look_again"] == ["to a friend"]


def test_a_place_forecasts_the_days_that_argue(ask, pithline):
    found = ask(*DRY, "--dries-at", "Pittsburgh", "--rent", "0.35")
    said = ask(*DRY, "--days", "35 months", "--thin-days", "4 months", "--rent", "0.35")
    # Red oak of 80 mm there: about 35 months, an inch about 4 (tests/money/test_drying_time.py).
    factors = found["thickness_factor_by_drying"], said["thickness_factor_by_drying"]
    assert factors[0] == pytest.approx(factors[1], rel=0.1)


def test_few_like_sales_are_shown_not_fitted(ask):
    found = ask()
    assert found["basis"] == "sales"
    assert 0 < len(found["like"]) == found["like_sales"] < 10
    assert "fit" not in found
    assert found["reasons"] == []


def test_plain_lumber_beside_it(ask):
    found = ask(*DRY)["plain_lumber"]
    feet = 0.080 * 0.62 * 3.1 * 423.7760006578631
    assert found["price_money"] == pytest.approx(feet * 0.7 * 7.40)
    mine = ask(*DRY, "--lumber", "6 per bf", "--edged", "60 %")["plain_lumber"]
    assert mine["price_money"] == pytest.approx(feet * 0.6 * 6)


def test_the_listings_say_what_brings_most(ask):
    assert ask(*DRY)["hold"] is None
    held = ask(*DRY, "--holding", "6")["hold"]
    assert held["months"]["p10"] < held["months"]["p50"] < held["months"]["p90"]


def test_thickness_is_argued_from_drying_too(ask):
    words = ("--days", "26 months", "--thin-days", "5 months", "--rent", "0.35")
    found = ask(*DRY, *words)
    green = found["reasons"][0]["factor"]
    # By hand: stickers of 25 mm, 70 % of a layer wood; days x space x rent over 423.776 bf a m3.
    bills = [
        days * 30.4375 * (t + 25) / (t * 0.7) * 0.35 / 423.7760006578631 for days, t in ((26, 80), (5, 25.4))
    ]
    assert found["thickness_factor_by_drying"] == pytest.approx((green + bills[0]) / (green + bills[1]))
    assert ask(*DRY)["thickness_factor_by_drying"] is None


def test_a_floor_is_kept_and_said(pithline, monkeypatch):
    monkeypatch.chdir(ROOT)
    answer = pithline("price", "ask", "demo/sales.toml", *SLAB, *DRY, "--floor", "2000")
    assert "Ask 2000 USD" in answer.out
    assert "(the floor)" in answer.out
    assert "no tax, legal or investment advice" in answer.err


def test_build_up_and_markup_from_the_notes(pithline):
    words = (
        "--volume",
        "40 bf",
        "--base",
        "7",
        *(w for f in (1.3, 1.2, 1.5, 1.1, 1, 0.9) for w in ("--factor", f)),
    )
    assert json.loads(pithline("price", "build", *words, "--json").out)["price_money"] == pytest.approx(
        648.648
    )
    found = json.loads(pithline("price", "markup", "--cost", "400", "--share", "40 %", "--json").out)
    assert found["price_at_margin_money"] == pytest.approx(666.6667, abs=1e-4)
    assert found["price_at_markup_money"] == pytest.approx(560)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--width", "62"), "A number alone"),
        (("--dried", "green", "--species", "white ash"), "Note a comparable"),
        (("--rate", "4 EUR per bf"), "in USD, the currency of the file"),
        (("--floor", "300 EUR"), "in USD"),
        (("--rate", "0 per bf"), "rate is 0.0; it must be more than 0"),
        (("--figure", "120 %"), "at most 100 %"),
        (("--days", "2 years", "--rent", "0.4"), "Say all of --days, --thin-days, --rent"),
        (("--days", "2 years", "--thin-days", "5 months", "--rent", "0.4"), "no rate to argue from"),
    ],
)
def test_wrong_words_are_refused(pithline, monkeypatch, words, said):
    monkeypatch.chdir(ROOT)
    answer = pithline("price", "ask", "demo/sales.toml", *SLAB, *words)
    assert answer.code == 2
    assert said in answer.err


def test_a_factor_of_nothing_is_refused(pithline):
    for factor in ("0", "-1", "nan", "1e300"):
        answer = pithline("price", "build", "--volume", "40 bf", "--base", "7", "--factor", factor)
        assert answer.code == 2
        assert "at most 1000" in answer.err


def test_too_few_prices_give_no_premiums(pithline, tmp_path):
    file = tmp_path / "few.toml"
    file.write_text('currency = "USD"\n')
    answer = pithline("price", "premiums", file)
    assert answer.code == 2
    assert "10 or more before anything is fitted" in answer.err


def test_the_sellers_sheet_says_what_was_asked(pithline, tmp_path):
    sheet = tmp_path / "price.pdf"
    words = ("price", "ask", ROOT / "demo" / "sales.toml", *SLAB, *DRY, "--floor", "480", "--holding", "6")
    said = pithline(*words, "--sheet", sheet, "--paper", "us-letter", "--units", "inch")
    assert said.code == 0, said.err
    assert f"Wrote {sheet}" in said.err
    with pypdfium2.PdfDocument(io.BytesIO(sheet.read_bytes())) as paper:
        assert len(paper) == 1
        assert paper[0].get_size() == pytest.approx((612, 792))  # US Letter
        text = " ".join(paper[0].get_textpage().get_text_bounded().split())
    made = json.loads(pithline(*words, "--json").out)
    for told in (
        f"Ask {made['asking_money']:.0f} USD", "For the seller's eyes", "Floor, as you said 480",
        "As plain lumber", '24 7/16"', "Sold within 12 months", "No tax, legal or investment advice",
        *(line["words"] for line in made["reasons"]),
    ):  # fmt: skip
        assert told in text
    refused = pithline(*words, "--sheet", tmp_path)
    assert refused.code == 2
    assert "--sheet" in refused.err

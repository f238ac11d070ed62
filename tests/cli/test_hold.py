"""`pithline hold`: every example runs, figures agree with the notes, wrong words are refused."""

from __future__ import annotations

import json
import shlex
from pathlib import Path

import pytest

from pithline.cli.hold import command as hold
from tests.test_docs import examples

ROOT = Path(__file__).parents[2]
LINES = [line for each in hold.commands.values() for line in examples(each)]
COMMON = ("--buyers", "2 per month", "--pays", "400 USD")


@pytest.fixture
def figures(pithline):
    """The JSON of one command."""

    def call(*words: str) -> dict:
        answer = pithline("hold", *words, "--json")
        assert answer.code == 0, answer.err
        return json.loads(answer.out)

    return call


@pytest.mark.parametrize("line", LINES)
def test_every_example_runs(pithline, line, monkeypatch):
    monkeypatch.chdir(ROOT)
    answer = pithline(*shlex.split(line)[1:])
    assert answer.code == 0, answer.err
    assert answer.out.strip()


def test_there_is_an_example_of_each():
    assert {line.split()[2] for line in LINES} == set(hold.commands)


def test_figures_agree_with_the_computed_cases(figures):
    # P1 and H1 of tests/sources/pricing_computed.csv, from the words a person types.
    found = figures("price", *COMMON, "--holding", "20")
    assert found["best_price_money"] == pytest.approx(1475.5517816)
    assert found["worth_money"] == pytest.approx(1075.5517816)
    assert found["months_mean"] == pytest.approx(20)
    assert found["chance_sold_percent"] == pytest.approx(45.11883639)
    assert found["currency"] == "USD"
    words = ("--holding", "20", "--months", "1 year", "--salvage", "100", "--every", "3 months")
    found = figures("deadline", *COMMON, *words)
    assert found["worth_money"] == pytest.approx(797.5537345)
    path = [step["price_money_by_count_left"][0] for step in found["path"]]
    assert path[:3] == pytest.approx([1197.5537345, 1126.6521679, 1024.5303766])
    assert found["worth_stepped_money"] < found["worth_money"]


def test_interest_is_taken_by_the_year(figures):
    # exp(0.12) - 1 a year is 1 % a month, continuous: case P2 and S1.
    yearly = "12.749685157938 %"
    found = figures("price", *COMMON, "--holding", "6", "--at-sale", "25", "--interest", yearly)
    assert found["best_price_money"] == pytest.approx(1537.60452382809)
    found = figures("offer", *COMMON, "--holding", "6", "--interest", yearly, "--offer", "1500")
    assert found["least_offer_money"] == pytest.approx(1463.1224238796)
    assert found["accept"] is True
    found = figures("wait", "--now", "500", "--later", "700", "--holding", "6", "--interest", yearly)
    assert found["months"] == pytest.approx(16.705408466)


def test_lognormal_limits_by_a_spread(figures):
    words = (
        "--buyers",
        "2 per month",
        "--pays",
        "500",
        "--spread",
        "0.5",
        "--at-sale",
        "25",
        "--holding",
        "6",
    )
    found = figures("price", *words, "--interest", "12.749685157938 %")
    assert found["best_price_money"] == pytest.approx(1299.1417425)  # P4


def test_steps_as_one_writes_them(figures):
    found = figures(
        "steps", *COMMON, "--holding", "6", "--interest", "12.749685157938 %",
        "--step", "1200 for 6 months", "--step", "900 USD",
    )  # fmt: skip
    assert found["worth_money"] == pytest.approx(930.1948964987)  # M1


def test_a_day_says_what_a_time_says(figures):
    words = ("price", *COMMON, "--holding", "20", "--today", "2025-11-20")
    by_day = figures(*words, "--within", "2026-11-20")
    # 365 days of a year of 365.25.
    assert by_day["chance_sold_percent"] == pytest.approx(
        figures(*words, "--within", "365 days")["chance_sold_percent"]
    )
    # By hand: (1000 - 700)/20 = 15 months of 30.4375 days, 456 days.
    assert figures(*words, "--asked", "1000", "--spent", "700")["loses_from"] == "2027-02-19"


def test_never_is_null_in_json(figures):
    assert figures("wait", "--now", "500", "--later", "700")["months"] is None


def test_learning_from_the_demo(figures, monkeypatch):
    monkeypatch.chdir(ROOT)
    found = figures("learn", "demo/sales.toml", "--reference", "900 USD", "--holding", "6")
    assert found["sold"] == 13
    low, mid, high = (found["best_price_money"][key] for key in ("p10", "p50", "p90"))
    assert low < mid < high
    assert found["limits"] in ("exponential", "lognormal")
    assert found["limits_odds"] >= 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("price", *COMMON), "no price is too high"),
        (("price", *COMMON, "--holding", "6 EUR"), "in USD as the other amounts"),
        (("price", "--buyers", "2", "--pays", "400", "--holding", "6"), '"2 per month"'),
        (("price", *COMMON, "--holding", "6", "--interest", "8"), "8 %"),
        (("price", *COMMON, "--holding", "6", "--chance", "100 %"), "between 0 % and 100 %"),
        (("price", "--buyers", "2 per month", "--pays", "0", "--holding", "6"), "more than 0"),
        (("deadline", *COMMON, "--holding", "6", "--months", "12"), '"18 months"'),
        (("deadline", *COMMON, "--holding", "6", "--months", "1 year", "--count", "0"), "1 to 200"),
        (("price", *COMMON, "--holding", "6", "--within", "2020-01-01"), "Say a day to come"),
        (("price", *COMMON, "--holding", "6", "--today", "tomorrow"), "2025-11-20"),
        (("steps", *COMMON, "--holding", "6", "--step", "900", "--step", "800"), "only the last for ever"),
        (("lot", *COMMON, "--holding", "6", "--share", "0 %", "--premium", "10 %"), "more than 0 %"),
        (
            (
                "green",
                *COMMON,
                "--dry-pays",
                "500",
                "--holding",
                "6",
                "--months",
                "1 year",
                "--lost",
                "100 %",
            ),
            "under 100 %",
        ),
        (("price", *COMMON, "--holding", "6", "--spread", "30"), "at most 3"),
        (("wait", "--now", "1,500", "--later", "700"), "no mark between thousands"),
    ],
)
def test_wrong_words_are_refused(pithline, words, said):
    answer = pithline("hold", *words)
    assert answer.code == 2
    assert said in answer.err

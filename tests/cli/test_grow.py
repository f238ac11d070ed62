"""``pithline grow``: what it prints is what the functions reckon, and what it refuses."""

from __future__ import annotations

import json

import pytest

B1 = ("grow", "invest", "--flow", "-20000,4500,5600,5600,5600,10600", "--rate", "10 %")


@pytest.fixture
def figures(pithline):
    def call(*words: str) -> dict:
        answer = pithline(*words, "--json")
        assert answer.code == 0, answer.err
        return json.loads(answer.out)

    return call


def test_a_step_and_its_rate(figures, pithline):
    # Case B1 of tests/sources/growth_computed.csv.
    made = figures(*B1)
    assert made["npv_money"] == pytest.approx(3333.0125239831155)
    assert made["irr_percent"] == pytest.approx(15.56034157)
    assert made["discounted_payback_years"] == pytest.approx(4.4935990567)
    assert "earns a year" in pithline(*B1).out
    twice = figures("grow", "invest", "--flow", "-100,250,-155", "--rate", "5 %")
    assert twice["irr_percent"] is None
    assert figures("grow", "invest", "--flow", "-100,5", "--rate", "5 %")["payback_years"] is None


def test_the_years_to_keep_a_machine(figures):
    # Case B2: six years.
    made = figures(
        "grow", "keep", "--price", "18000 USD", "--operating", "1200,1400,1700,2100,2600,3200,3900,4800",
        "--resale", "13000,10500,8500,7000,5600,4400,3400,2600", "--rate", "8 %",
    )  # fmt: skip
    assert made["economic_life_years"] == 6
    assert made["kept"][5]["money_per_year"] == pytest.approx(5238.6775085)


def test_what_pays_the_year(figures):
    # Case V1.
    made = figures("grow", "even", "--fixed", "14000", "--price", "9", "--variable", "4", "--target", "26000",
                   "--sold", "5000 bf")  # fmt: skip
    assert made["break_even_bf_per_year"] == pytest.approx(2800)
    assert made["target_bf_per_year"] == pytest.approx(8000)
    assert made["margin_of_safety_percent"] == pytest.approx(44)


def test_stock_kiln_and_stages(figures):
    # Cases L2, K1, K2, K3: 29 days a load.
    yard = figures("grow", "yard", "--green", "500 bf", "--drying", "18 months", "--cost", "4", "--interest",
                   "10 %")  # fmt: skip
    assert (yard["stock_bf"], yard["tied_up_money"], yard["yard_m2"]) == pytest.approx((9000, 36000, 300))
    assert yard["carrying_money_per_bf"] == pytest.approx(0.6)
    kiln = figures("grow", "kiln", "--charge", "600 bf", "--days", "27", "--demand", "6000 bf")
    assert kiln["capacity_bf_per_year"] == pytest.approx(7241.3793103)
    assert kiln["in_the_kiln_bf"] == pytest.approx(497.142857)
    half = figures("grow", "kiln", "--charge", "580 bf", "--days", "27", "--demand", "3500 bf")
    assert half["wait_days"] == pytest.approx(14.5)
    made = figures("grow", "stages", "--stage", "mill: 7200 bf", "--stage", "sell: 5000 bf")
    assert (made["bottleneck"], made["throughput_bf_per_year"]) == ("sell", pytest.approx(5000))


def test_what_the_sums_leave_open_is_said(pithline):
    falling = (
        "grow",
        "keep",
        "--price",
        "140",
        "--operating",
        "8,8,8",
        "--resale",
        "0,0,0",
        "--rate",
        "10 %",
    )
    out = pithline(*falling).out
    # Nothing but the price: each year longer is cheaper, so three years were not enough to tell.
    assert "cheapest kept  3 years, the last that you told: longer may be cheaper" in out
    assert "kept 1 year " in out
    told = ("grow", "keep", "--price", "18000", "--operating", "1200,1400,1700,2100,2600,3200,3900",
            "--resale", "13000,10500,8500,7000,5600,4400,3400", "--rate", "8 %")  # fmt: skip
    assert "may be cheaper" not in pithline(*told).out  # case B2: six of seven years
    tied = pithline("grow", "stages", "--stage", "a: 5 bf", "--stage", "b: 5 bf", "--stage", "c: 6 bf").out
    assert "a and b hold it up alike" in tied


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("invest", "--flow", "", "--rate", "10 %"), "--flow"),
        (("invest", "--flow", "-100", "--rate", "10 %"), "laid out today"),
        (("invest", "--flow", "100,5", "--rate", "10 %"), "laid out today"),
        (("invest", "--flow", "-100,nan", "--rate", "10 %"), "numbers of at most"),
        (("invest", "--flow", "-100,x", "--rate", "10 %"), "numbers parted by commas"),
        (("invest", "--flow", "-100,50", "--rate", "10"), "--rate"),
        (("keep", "--price", "-1", "--operating", "1", "--resale", "0", "--rate", "8 %"), "--price"),
        (
            ("keep", "--price", "9", "--operating", "1,2", "--resale", "0", "--rate", "8 %"),
            "one for each year",
        ),
        (("even", "--fixed", "9", "--price", "4", "--variable", "4"), "Ask more"),
        (("even", "--fixed", "9 USD", "--price", "9 EUR", "--variable", "4"), "--price"),
        (("even", "--fixed", "9", "--price", "9", "--variable", "4", "--sold", "0 bf"), "sold"),
        (("yard", "--green", "0 bf", "--drying", "9 months", "--cost", "4"), '--green is "0 bf"'),
        (("yard", "--green", "9 bf", "--drying", "nan", "--cost", "4"), "--drying"),
        (("yard", "--green", "9 bf", "--drying", "9 months", "--cost", "4", "--aisles", "nan"), "--aisles"),
        (("kiln", "--charge", "600 bf", "--days", "0"), "--days"),
        (("kiln", "--charge", "600 bf", "--days", "27", "--turn-round", "-2"), "--turn-round"),
        (
            ("yard", "--green", "9 bf", "--drying", "9 months", "--cost", "4", "--interest", "200 %"),
            "--interest",
        ),
        (("keep", "--price", "9", "--operating", "-1", "--resale", "0", "--rate", "8 %"), "--operating"),
        (("kiln", "--charge", "600 bf", "--days", "inf"), "--days"),
        (("kiln", "--charge", "600 bf", "--days", "27", "--demand", "9000 bf"), "--demand"),
        (("kiln", "--charge", "600 bf", "--days", "27", "--operating", "400"), "366"),
        (("stages", "--stage", "mill"), "a colon"),
        (("stages", "--stage", "mill: 0 bf"), "mill"),
        (("stages", "--stage", "mill: 5 bf", "--stage", "mill: 6 bf"), "told once"),
    ],
)
def test_what_cannot_be_meant_is_refused(pithline, words, told):
    answer = pithline("grow", *words)
    assert answer.code == 2, answer.err
    assert told in answer.err
    assert answer.out == ""

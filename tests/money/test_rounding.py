"""Cents: rounding and splitting against hand-worked cases."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pithline.errors import BadValue
from pithline.money.rounding import HALF_EVEN, HALF_UP, decimals, round_money, split_money
from pithline.money.tax import discounted, net_of_gross, price_for_margin, tax_each_line, tax_on_sum
from tests.sources import table

ROWS = table("money_rounding")
D = Decimal


def reckoned(case: str, inputs: str, rule: str) -> str:
    match case:
        case "round 2 places":
            return str(round_money(D(inputs), 2, HALF_EVEN if rule == "ROUND_HALF_EVEN" else HALF_UP))
        case "binary float trap":  # what a float would do, and why floats are refused
            with pytest.raises(BadValue, match="Decimal"):
                round_money(float(inputs))
            return str(round(float(inputs), 2))
        case "zero-decimal currency":
            amount, code = inputs.split()
            return str(round_money(D(amount), decimals(code)))
        case "tax per line" | "tax per invoice":
            count, net = {"3": (3, "33.33"), "7": (7, "10.03")}[inputs[0]]
            tax = tax_each_line if case == "tax per line" else tax_on_sum
            return str(tax([D(net)] * count, D("0.21")))
        case "gross to net":
            net, tax = net_of_gross(D("950.00"), D("0.21"))
            return f"net {net} tax {tax}"
        case "split without losing cents":
            total, weights = (
                (D("100.00"), [1, 1, 1]) if inputs.startswith("100") else (D(inputs.split()[0]), [1, 1, 1])
            )
            return " / ".join(str(share) for share in split_money(total, weights))
        case "markup and margin":
            return str(price_for_margin(D(400), D("0.40")))
        case "discount before tax":
            return str(discounted(D("1000.00"), D("0.05"), D("0.21")))
    raise AssertionError(case)


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['case']}: {r['inputs']}")
def test_hand_worked_cases(row):
    assert reckoned(row["case"], row["inputs"], row["rule"]) == row["value"]


def test_the_log_of_five_slabs_splits_without_a_cent_lost():
    # taxes_money.md 1: 560.00 by 30, 55, 60, 40, 15.
    assert split_money(D("560.00"), [30, 55, 60, 40, 15]) == (84, 154, 168, 112, 42)


def test_three_decimal_currencies_keep_three():
    # 12.3455 KWD is 12.346 (half up).
    assert round_money(D("12.3455"), decimals("KWD")) == D("12.346")


@settings(max_examples=40)
@given(st.integers(0, 10**9), st.lists(st.integers(0, 10**6), min_size=1, max_size=12).filter(any))
def test_no_cent_is_lost_or_made(cents, weights):
    total = D(cents).scaleb(-2)
    shares = split_money(total, weights)
    assert sum(shares) == total
    whole = sum(weights)
    for share, weight in zip(shares, weights, strict=True):
        # Largest remainder: never a whole cent away from the exact share.
        assert abs(share - total * weight / whole) < D("0.01")


@settings(max_examples=40)
@given(st.integers(1, 10**8), st.integers(0, 99))
def test_net_and_tax_add_up_to_the_gross(cents, percent):
    gross = D(cents).scaleb(-2)
    net, tax = net_of_gross(gross, D(percent).scaleb(-2))
    assert net + tax == gross
    assert 0 <= net <= gross


def test_an_amount_finer_than_a_cent_is_not_split():
    with pytest.raises(BadValue, match="Round it first"):
        split_money(D("1.005"), [1, 1])

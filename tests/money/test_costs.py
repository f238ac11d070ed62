"""From five answers to an hour, a kilometre and a month."""

from __future__ import annotations

import pytest

from pithline.errors import BadValue
from pithline.fields import Field
from pithline.money.cost.per import per_cubic_metre_month, per_day, per_km, per_litre
from pithline.money.cost.written import COSTS, FIVE, WHY, read_costs

FIVE_ANSWERS = {
    "saw": "1900 USD",
    "chain": "38 USD",
    "fuel": "2.00 per l",
    "km": "0.60 per km",
    "wage": "240 per day",
}


def test_five_answers_are_enough_and_every_default_is_told_with_its_reason():
    written = read_costs(FIVE_ANSWERS)
    told = {a.field.removeprefix("costs.") for a in written.assumed}
    behind = {f.name for f in COSTS.fields if f.name not in FIVE}
    assert told == behind
    assert all(isinstance(f, Field) and f.required == (f.name in FIVE) for f in COSTS.fields)
    for name, why in WHY.items():
        assert name in behind
        assert why


def test_an_hour_by_hand():
    # 1900 with 20 % left over 1,000 h: 1.52 an hour; fuel 6 x 0.7 x 0.45/0.74 l at 2.00; oil 45 % of it;
    # repair as much as depreciation; chains 38/15 h and half as much for bars.
    costs = read_costs(FIVE_ANSWERS).value
    rate = costs.saw_rate
    fuel = 6 * 0.7 * 0.45 / 0.74 * 2
    assert rate.depreciation / rate.hours == pytest.approx(1900 * 0.8 / 1000)
    assert rate.operating == pytest.approx(fuel * 1.45 + 1.52 + 38 / 15 * 1.5)
    assert costs.wage == pytest.approx(240 / 8 * 1.2)
    assert (costs.currency, costs.per_km, costs.overhead, costs.space) == ("USD", 0.60, 0.0, 0.0)


@pytest.mark.parametrize("missing", FIVE)
def test_each_of_the_five_is_asked_for(missing):
    with pytest.raises(BadValue, match=missing):
        read_costs({k: v for k, v in FIVE_ANSWERS.items() if k != missing})


@pytest.mark.parametrize(
    ("wrong", "rule"),
    [
        ({"chain": "38 EUR"}, "as the other amounts"),
        ({"km": "0.60"}, "per"),
        ({"wage": "240 per hour"}, "day"),
        ({"fuel": "2,00 per l"}, "point for decimals"),
        ({"working": "0 %"}, "at least"),
        ({"sawlife": "10 h"}, "saw_life"),
        ({"power": "6"}, "kW"),
    ],
)
def test_what_cannot_be_meant_is_refused(wrong, rule):
    with pytest.raises(BadValue, match=rule):
        read_costs(FIVE_ANSWERS | wrong)


def test_money_per_something_in_other_units():
    # 1 mile is 1.609344 km, 1 US gallon 3.785411784 l, 1 cubic foot 0.028316846592 m3 (NIST SP 811).
    assert per_km("0.80 USD per mile", "km").value == pytest.approx(0.80 / 1.609344)
    assert per_litre("7 per gallon", "fuel").value == pytest.approx(7 / 3.785411784)
    assert per_cubic_metre_month("0.10 per ft3 and month", "space").value == pytest.approx(
        0.10 / 0.028316846592
    )
    assert per_day("EUR 240/day", "wage").code == "EUR"


def test_money_without_a_code_stays_without_one():
    bare = FIVE_ANSWERS | {"saw": "1900", "chain": "38"}
    assert read_costs(bare).value.currency == ""

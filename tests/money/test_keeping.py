"""Waiting, overhead, one slab's floor and full cost, and what a log really cost."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pithline.errors import BadValue
from pithline.money.cost.costs import OverheadKey
from pithline.money.cost.keeping import month_cost, room_cost, share_load, tied_up
from pithline.money.cost.log_cost import Work, log_cost
from pithline.money.cost.overhead import Bearer, share_overhead
from pithline.money.cost.slab_cost import slab_cost
from tests.money.offers_at_hand import costs_of


def test_money_tied_up_for_a_year_and_for_half_a_year():
    # By hand: 8 % of 1,000 is 80; for half a year the square root of 1.08 less 1.
    assert tied_up(1000, 0.08, 12) == pytest.approx(80)
    assert tied_up(1000, 0.08, 6) == pytest.approx(39.2304845)


def test_room_and_a_month_by_hand():
    assert room_cost(0.15, 18, 4.0) == pytest.approx(10.8)
    assert month_cost(480, 0.15, 0.10 / 12, 6.0) == pytest.approx(4.0 + 0.9)


def test_a_kiln_load_is_shared_by_room_and_days():
    # 0.15 m3 for 21 days and 0.18 m3 for 28: 3.15 to 5.04 m3 days.
    assert share_load(180, [0.15, 0.18], [21, 28]) == pytest.approx((180 * 3.15 / 8.19, 180 * 5.04 / 8.19))


@settings(max_examples=40)
@given(st.lists(st.tuples(st.floats(0.01, 2), st.floats(0.5, 90)), min_size=1, max_size=9), st.floats(0, 1e4))
def test_a_load_that_is_half_empty_is_paid_by_those_in_it(slabs, cost):
    assert sum(share_load(cost, *zip(*slabs, strict=True))) == pytest.approx(cost)


@pytest.mark.parametrize("key", list(OverheadKey))
def test_overhead_is_shared_wholly_by_every_key(key):
    bearers = [Bearer("oak", 22, 1.2, 3000, 7, 1.0), Bearer("ash", 8, 0.8, 900, 5, 0.5)]
    shares = share_overhead(90, key, bearers)
    assert sum(shares) == pytest.approx(90)
    assert shares[0] > shares[1]
    by_hand = {"hours": 66.0, "volume": 54.0, "value": 90 * 3000 / 3900, "slabs": 52.5}
    assert shares[0] == pytest.approx(by_hand.get(key.value, 90 * 1.2 / 1.6))


def test_overhead_that_nothing_bears_is_refused():
    with pytest.raises(BadValue, match="another key"):
        share_overhead(90, OverheadKey.HOURS, [Bearer("oak")])


def test_floor_and_full_cost_by_hand():
    made = slab_cost(
        {"log": 96, "drying": 14},
        {"flattening": 40},
        {"plain lumber": 55, "firewood": 4},
        volume=0.15,
        fee=0.04,
        month_share=0.01,
        per_volume_month=6.0,
        worth=480,
        months=5,
    )
    # A month: 4.80 on its worth and 0.90 for room. Floor: 40 and five months, and the lumber forgone.
    assert made.so_far == 110
    assert made.per_month == pytest.approx(5.7)
    assert made.to_spend == pytest.approx(68.5)
    assert made.other_use == ("plain lumber", 55)
    assert made.floor == pytest.approx((68.5 + 55) / 0.96)
    assert made.full == pytest.approx((110 + 68.5) / 0.96)


@settings(max_examples=40)
@given(st.floats(0, 5000), st.floats(0, 500))
def test_what_was_spent_never_moves_the_floor(spent, still):
    first = slab_cost({"log": spent}, {"work": still}, {}, volume=0.1, worth=300)
    assert first.floor == pytest.approx(still)
    assert first.full == pytest.approx(spent + still)


def test_another_use_that_only_costs_is_left_alone():
    made = slab_cost({}, {"work": 30}, {"burn it": -5}, volume=0.1)
    assert made.other_use == ("left lying", 0.0)
    assert made.floor == 30


@pytest.mark.parametrize("wrong", [{"fee": 1.0}, {"fee": -0.1}])
def test_a_fee_of_the_whole_price_is_refused(wrong):
    with pytest.raises(BadValue, match="under 100 %"):
        slab_cost({}, {}, {}, volume=0.1, **wrong)


def test_a_log_s_real_cost_by_hand():
    costs = costs_of()  # wage 36 an hour, 0.60 a km, fuel 2.00 a litre and 45 % of it for oil
    rate = costs.saw_rate
    work = [
        Work.of("cutting", 6, 2, saw_hours=3, litres=8),
        Work.of("drive", 1.5, 2, distance=76),
    ]
    made = log_cost(work, {"log": 150}, costs)
    lines = dict(made.lines)
    assert lines["labour: cutting"] == pytest.approx(432)
    assert lines["labour: drive"] == pytest.approx(108)
    assert lines["driving"] == pytest.approx(45.6)
    assert lines["saw: fuel and oil"] == pytest.approx(8 * 2 * 1.45)
    # 1.52 depreciation, as much repair, 38/15 x 1.5 for chains and bars; interest and insurance besides.
    per_hour = 1.52 + 1.52 + 3.8 + (rate.interest + rate.insurance) / rate.hours
    assert lines["saw: wear, repair, chains"] == pytest.approx(3 * per_hour)
    assert made.total == pytest.approx(sum(lines.values()))
    assert (made.hours, made.guesses) == (15, ())


def test_reckoned_saw_hours_and_fuel_are_one_rate_and_are_called_a_guess():
    costs = costs_of()
    rate = costs.saw_rate
    by_hours = log_cost([Work.of("cutting", 5, saw_hours=2)], {}, costs)
    by_fuel = log_cost([Work.of("cutting", 5, litres=2 * rate.litres)], {}, costs)
    assert by_hours.total == pytest.approx(5 * costs.wage + 2 * rate.per_productive)
    assert by_fuel.total == pytest.approx(by_hours.total)
    assert (len(by_hours.guesses), len(by_fuel.guesses)) == (1, 1)

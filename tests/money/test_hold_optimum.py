"""The best price against numeric search and drawn buyers; waiting, offers, deadlines, lots."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize_scalar
from scipy.special import lambertw
from scipy.stats import lognorm

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers, Exponential, Lognormal
from pithline.money.hold.clockwork import most_possible
from pithline.money.hold.deadline import Deadline, by_equation, path_price, path_worth, price_steps
from pithline.money.hold.offers import (
    mean_accepted,
    months_to_accepted,
    reservation_by_deadline,
    reservation_price,
)
from pithline.money.hold.posted import (
    Terms,
    best_price,
    chance_sold,
    discount_of,
    expected_months,
    expected_profit,
    price_for_chance,
)
from pithline.money.hold.steady import product_log
from pithline.money.hold.steps import Step, clearance, steps_worth
from pithline.money.hold.together import sell_apart, sell_together
from pithline.money.hold.waiting import TwoStates, green_or_dry, months_until_loss, worth_later, worth_waiting

laws = st.one_of(
    st.builds(Exponential, st.floats(50, 5000)),
    st.builds(Lognormal, st.floats(50, 5000), st.floats(0.2, 1.2)),
)
streams = st.builds(Buyers, st.floats(0.05, 20), laws)
terms = st.builds(Terms, st.floats(0, 100), st.floats(0.1, 30), st.floats(0, 0.03), st.floats(0, 0.005))


@given(buyers=streams, costs=terms)
@settings(max_examples=60, deadline=None)
def test_no_other_price_brings_more(buyers, costs):
    price = best_price(buyers, costs)
    best = expected_profit(price, buyers, costs)
    size = buyers.limits.mean if isinstance(buyers.limits, Exponential) else buyers.limits.median
    tried = np.geomspace(0.02 * size, 60 * size, 400)
    others = [expected_profit(float(p), buyers, costs) for p in tried]
    assert best >= max(others) - 1e-9 * abs(best)
    if best <= 0:
        return  # not worth holding: the best may be a gift, which the search below does not reach
    near = minimize_scalar(
        lambda p: -expected_profit(p, buyers, costs), bounds=(0.8 * price, 1.25 * price), method="bounded"
    )
    # A flat top: the search stops where the gain is lost in rounding, about the root of it.
    assert near.x == pytest.approx(price, rel=1e-4)


@pytest.mark.parametrize("limits", [Exponential(400), Lognormal(500, 0.5)])
def test_drawn_buyers_bring_what_was_foretold(limits):
    """Buyers drawn one by one: they arrive, look, and buy or go."""
    buyers, costs = Buyers(2, limits), Terms(25, 6, 0.01)
    price = best_price(buyers, costs)
    rng = np.random.default_rng(20)
    count = 20_000
    sold_at = np.full(count, np.nan)
    clock = np.zeros(count)
    while np.isnan(sold_at).any():
        waiting = np.isnan(sold_at)
        clock[waiting] += rng.exponential(1 / buyers.per_month, int(waiting.sum()))
        buys = np.zeros(count, dtype=bool)
        buys[waiting] = limits.drawn(rng, int(waiting.sum())) >= price
        sold_at[buys] = clock[buys]
    faded = np.exp(-0.01 * sold_at)
    profit = faded * (price - 25) - 6 * (1 - faded) / 0.01
    for drawn, foretold in (
        (profit, expected_profit(price, buyers, costs)),
        (sold_at, expected_months(price, buyers)),
        (sold_at <= 12, chance_sold(price, buyers, 12)),
    ):
        assert abs(drawn.mean() - foretold) < 4 * drawn.std() / math.sqrt(count)


@pytest.mark.parametrize("k", [-300.0, -20.0, -1.0, 0.0, 1.0, 3.0, 50.0])
def test_product_log_against_scipy(k):
    # scipy 1.x has lambertw; exp(k) still fits a float here.
    assert product_log(k) == pytest.approx(float(lambertw(math.exp(k)).real), rel=1e-12)


def test_product_log_where_its_argument_overflows():
    y = product_log(5000.0)
    assert y + math.log(y) == pytest.approx(5000.0, rel=1e-14)


@pytest.mark.parametrize("price", [50.0, 500.0, 2000.0])
def test_lognormal_limits_against_scipy(price):
    ours, theirs = Lognormal(500, 0.5), lognorm(0.5, scale=500)
    assert ours.survival(price) == pytest.approx(float(theirs.sf(price)), rel=1e-12)
    assert ours.mills(price) == pytest.approx(float(theirs.sf(price) / theirs.pdf(price)), rel=1e-9)
    assert ours.excess(price) == pytest.approx(quad(theirs.sf, price, 50_000, limit=200)[0], rel=1e-6)


def test_small_interest_tends_to_none():
    buyers, none = Buyers(2, Exponential(400)), Terms(0, 20)
    for interest in (1e-7, 1e-12, 1e-200):
        some = Terms(0, 20, interest)
        # What interest takes off: about the months it runs, 20, times the rate.
        assert best_price(buyers, some) == pytest.approx(best_price(buyers, none), rel=30 * interest + 1e-12)
        least = reservation_price(buyers, some)
        assert least == pytest.approx(reservation_price(buyers, none), rel=60 * interest + 1e-12)
    # Both ways of solving meet where one takes over from the other.
    below, above = (best_price(buyers, Terms(0, 20, 0.05 / 1e6 * part)) for part in (0.999999, 1.000001))
    assert below == pytest.approx(above, rel=1e-9)


def test_waiting_for_nothing_has_no_best_price():
    with pytest.raises(BadValue, match="no price is too high"):
        best_price(Buyers(2, Exponential(400)), Terms(25))
    with pytest.raises(BadValue, match="no offer is high enough"):
        reservation_price(Buyers(2, Exponential(400)), Terms(25))


@given(buyers=streams, chance=st.floats(0.05, 0.9), months=st.floats(1, 60))
@settings(max_examples=50, deadline=None)
def test_the_price_for_a_chance_gives_that_chance(buyers, chance, months):
    if -math.expm1(-buyers.per_month * months) <= chance:
        with pytest.raises(BadValue, match="no more buyers come"):
            price_for_chance(chance, months, buyers)
        return
    price = price_for_chance(chance, months, buyers)
    assert chance_sold(price, buyers, months) == pytest.approx(chance, rel=1e-7)


def test_yearly_interest_by_hand():
    # 10 % a year is ln(1.1)/12 a month: pricing notes, 0.0079425.
    assert discount_of(0.10) == pytest.approx(0.0079425, abs=5e-8)


def test_the_day_a_sale_begins_to_lose():
    costs = Terms(40, 6, 0.01)
    months = months_until_loss(900, 500, costs)
    # By hand: what lies in the piece grows with interest, and each month's holding joins it.
    owed = 500 * math.exp(0.01 * months) + 6 * math.expm1(0.01 * months) / 0.01
    assert owed == pytest.approx(900 - 40, rel=1e-12)
    assert months_until_loss(500, 500, costs) == 0
    assert math.isinf(months_until_loss(900, 500, Terms(40)))
    # A hazard of loss is no cost of a piece that did sell.
    assert months_until_loss(900, 500, Terms(40, 6, 0.01, 0.02)) == months


def test_waiting_is_level_at_its_end():
    costs = Terms(0, 6, 0.01)
    assert worth_later(700, worth_waiting(500, 700, costs), costs) == pytest.approx(500, rel=1e-12)


def test_dry_first_only_if_it_brings_more():
    wet, dry = Buyers(2, Exponential(250)), Buyers(2, Exponential(400))
    costs = Terms(25, 6, 0.01)
    both = green_or_dry(TwoStates(wet, dry, 14, 60, 0.1), costs)
    assert both.green_worth == pytest.approx(expected_profit(both.green_price, wet, costs))
    level = green_or_dry(TwoStates(wet, dry, both.longest, 60, 0.1), costs)
    assert level.dry_worth == pytest.approx(level.green_worth, rel=1e-9)
    assert green_or_dry(TwoStates(wet, wet, 14, 60, 0.1), costs).longest == 0


@pytest.mark.parametrize("limits", [Exponential(400), Lognormal(500, 0.5)])
def test_the_least_offer_solves_its_equation(limits):
    buyers, costs = Buyers(1.5, limits), Terms(30, 6, 0.01)
    least = reservation_price(buyers, costs)
    # r R + h = L E[(X - c - R)+] with R net of the cost at sale, excess by integration of the survival.
    top = 400 * 60
    excess = quad(limits.survival, least, top, limit=200)[0]
    assert 0.01 * (least - 30) + 6 == pytest.approx(1.5 * excess, rel=1e-6)
    assert mean_accepted(least, buyers) > least


def test_an_offer_is_taken_sooner_as_the_day_comes_near():
    buyers, costs = Buyers(1, Lognormal(500, 0.5)), Terms(0, 6, 0.01)
    least = reservation_by_deadline([0, 3, 12, 1500], buyers, costs, 100)
    assert least[0] == 100
    assert least == sorted(least)
    assert least[-1] == pytest.approx(reservation_price(buyers, costs), rel=1e-6)
    # Drawn offers, accepted by that rule, bring what the rule says they are worth.
    rng = np.random.default_rng(3)
    left = np.full(40_000, 12.0)
    got = np.full(left.size, np.nan)
    rule_at = np.linspace(0, 12, 241)
    rule = reservation_by_deadline(list(rule_at), buyers, costs, 100)
    while np.isnan(got).any():
        open_ = np.isnan(got)
        left[open_] -= rng.exponential(1.0, int(open_.sum()))
        gone = open_ & (left <= 0)
        spent = 6 * -math.expm1(-0.12) / 0.01
        got[gone] = 100 * math.exp(-0.12) - spent
        here = open_ & ~gone
        offer = buyers.limits.drawn(rng, left.size)
        takes = here & (offer >= np.interp(left, rule_at, rule))
        faded = np.exp(-0.01 * (12 - left))
        got[takes] = (offer * faded - 6 * (1 - faded) / 0.01)[takes]
    assert abs(got.mean() - least[2]) < 4 * got.std() / math.sqrt(got.size)


def test_the_equation_agrees_with_the_closed_form():
    buyers, costs, day = Buyers(2, Exponential(400)), Terms(25, 10), Deadline(3, 24, 80)
    left = [0.0, 0.5, 6.0, 24.0]
    worth = by_equation(day, buyers, costs, left)
    for months, row in zip(left, worth, strict=True):
        for count in (1, 2, 3):
            closed = path_worth(Deadline(count, months, 80), buyers, costs)
            assert row[count] == pytest.approx(closed, rel=1e-7)


def test_many_buyers_are_no_trouble_to_the_equation():
    # Stiff near the last day: an explicit rule with steps of a month would explode.
    buyers, costs, day = Buyers(3000, Exponential(400)), Terms(25, 10), Deadline(2, 480, 80)
    assert by_equation(day, buyers, costs)[-1, -1] == pytest.approx(path_worth(day, buyers, costs), rel=1e-6)


def test_a_long_deadline_is_none():
    buyers, costs = Buyers(2, Lognormal(500, 0.5)), Terms(25, 6, 0.01)
    assert path_price(Deadline(1, 600), buyers, costs) == pytest.approx(best_price(buyers, costs), rel=2e-3)


def test_holding_that_eats_the_worth_stops_at_a_gift():
    # By the bare closed form this asks less than nothing; a gift sells no faster than at 0.
    buyers, costs, day = Buyers(0.5, Exponential(100)), Terms(0, 200), Deadline(1, 12)
    assert path_price(day, buyers, costs) == 0
    gift = steps_worth([Step(1e-9, 12)], buyers, costs)
    assert path_worth(day, buyers, costs) >= gift - 1e-6
    assert path_worth(day, buyers, costs) == pytest.approx(gift, rel=0.02)


@given(count=st.integers(1, 8), months=st.floats(1, 36), rate=st.floats(0.2, 5))
@settings(max_examples=40, deadline=None)
def test_nothing_beats_buyers_like_clockwork(count, months, rate):
    buyers, day = Buyers(rate, Exponential(300)), Deadline(count, months)
    assert path_worth(day, buyers, Terms()) <= most_possible(day, buyers) * (1 + 1e-12)


def test_finer_price_tags_bring_more_and_never_more_than_the_path():
    buyers, costs, day = Buyers(2, Exponential(400)), Terms(0, 20), Deadline(1, 12, 100)
    whole = path_worth(day, buyers, costs)
    brought = []
    for every in (6.0, 3.0, 1.0, 0.25):
        tags = [Step(prices[0], every) for _, prices in price_steps(day, buyers, costs, every)]
        brought.append(steps_worth(tags, buyers, costs, 100))
    assert brought == sorted(brought)
    assert brought[-1] < whole
    assert brought[-1] == pytest.approx(whole, rel=1e-3)


def test_prices_fall_towards_the_day_and_rise_as_slabs_go():
    path = price_steps(Deadline(3, 24, 80), Buyers(2, Exponential(400)), Terms(0, 10), 1)
    for left in range(3):
        prices = [step[1][left] for step in path]
        assert prices == sorted(prices, reverse=True)
    assert all(list(prices) == sorted(prices, reverse=True) for _, prices in path)


def test_clearance_against_a_search():
    # Lazear 1986 (from memory) for 0 to 1; other ranges by trying prices.
    for low, high in ((0.0, 1.0), (200.0, 500.0), (100.0, 900.0)):
        first, second, brings = clearance(low, high)
        grid = np.linspace(low, high, 241)
        a, b = np.meshgrid(grid, grid, indexing="ij")
        sells_first = np.clip((high - a) / (high - low), 0, 1)
        sells_second = np.clip((a - np.maximum(b, low)) / (high - low), 0, 1)
        takings = a * sells_first + b * sells_second
        assert takings.max() == pytest.approx(brings, rel=1e-4)
        assert second <= first


def test_one_alone_is_no_lot():
    buyers, costs = Buyers(2, Exponential(400)), Terms(25, 6, 0.01)
    apart, lot = sell_apart(1, buyers, costs), sell_together(1, buyers, costs, 1.0, 0.0)
    assert apart.worth == pytest.approx(lot.worth, rel=1e-12)
    assert lot.level_share == pytest.approx(1.0, rel=1e-9)


def test_sisters_against_the_equation_over_a_long_time():
    buyers, costs = Buyers(2, Exponential(400)), Terms(25, 6, 0.01)
    apart = sell_apart(3, buyers, costs)
    # 600 months at 1 %: what lies beyond is worth e^-6 of it.
    long = by_equation(Deadline(3, 600), buyers, costs)
    assert apart.worth == pytest.approx(long[-1, -1], rel=0.005)
    assert list(apart.prices) == sorted(apart.prices, reverse=True)


def test_the_share_at_which_a_pair_is_level():
    buyers, costs = Buyers(2, Exponential(400)), Terms(25, 6, 0.01)
    lot = sell_together(2, buyers, costs, 0.3, 0.15)
    level = sell_together(2, buyers, costs, lot.level_share, 0.15)
    assert level.worth == pytest.approx(sell_apart(2, buyers, costs).worth, rel=1e-9)


@pytest.mark.parametrize(
    ("part", "brings"),
    [(0.7, 937.95), (0.8, 1028.74), (0.9, 1090.08), (1.0, 1112.60), (1.1, 1087.49), (1.2, 1009.30)],
)
def test_the_top_is_flat(part, brings):
    # Case P2 of the pricing notes at other prices, printed to a cent.
    buyers, costs = Buyers(2, Exponential(400)), Terms(25, 6, 0.01)
    price = part * best_price(buyers, costs)
    assert expected_profit(price, buyers, costs) == pytest.approx(brings, abs=0.006)


def test_a_price_for_four_in_five_within_a_year():
    # Case P2 of the pricing notes, printed to six digits.
    buyers, costs = Buyers(2, Exponential(400)), Terms(25, 6, 0.01)
    price = price_for_chance(0.8, 12, buyers)
    assert price == pytest.approx(1080.867534, abs=1e-6)
    assert expected_profit(price, buyers, costs) == pytest.approx(940.972340, abs=1e-6)


def test_months_to_an_offer_that_is_accepted():
    # Cases S1 and S2 of the pricing notes.
    buyers, costs = Buyers(2, Exponential(400)), Terms(0, 6, 0.01)
    assert months_to_accepted(reservation_price(buyers, costs), buyers) == pytest.approx(19.388088, abs=1e-6)
    logs = Buyers(1, Lognormal(500, 0.5))
    assert reservation_price(logs, costs) == pytest.approx(1094.151951, abs=1e-6)

"""Figures in doubt: their spans, their draws, and the yield that one's own logs teach."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pithline import units
from pithline.errors import BadValue
from pithline.money.doubt import swings
from pithline.money.likely import Likely, likely
from pithline.money.offered.realised import PRIOR, realised_yield
from tests.money.offers_at_hand import call_of

# The standard normal's 90 % quantile (any table of the normal distribution).
TENTH = 1.2815515655446004


@pytest.mark.parametrize(
    ("said", "ends"), [("0.5 m", (0.5, 0.525)), ("30 m", (27.9, 30)), ("4 m", (3.72, 4.2))]
)
def test_one_figure_at_the_limit_is_taken_and_its_doubt_ends_there(said, ends):
    # 7 % less to 5 % more, as far as 50 cm to 30 m let it.
    guess = call_of(length=said).guess
    assert guess is not None
    length = guess.length
    assert (length.low, length.high) == pytest.approx(ends)


@settings(max_examples=40)
@given(st.floats(0.1, 5), st.floats(0.01, 3), st.floats(0.01, 3))
def test_ten_fifty_and_ninety_percent_are_the_three_figures(mid, down, up):
    figure = Likely(mid, mid + down, mid + down + up)
    drawn = figure.at(np.array([-TENTH, 0.0, TENTH]))
    assert drawn == pytest.approx([figure.low, figure.mid, figure.high], rel=1e-9)


def test_draws_stay_within_what_is_possible():
    figure = Likely(0.05, 0.4, 0.9, 0.0, 1.0)
    drawn = figure.at(np.random.default_rng(5).standard_normal(4000))
    assert drawn.min() >= 0
    assert drawn.max() <= 1
    # Binomial standard error of a 10 % quantile's share with 4,000 draws is 0.5 %: allow four of them.
    for share, value in ((0.1, 0.05), (0.5, 0.4), (0.9, 0.9)):
        assert np.mean(drawn <= value) == pytest.approx(share, abs=0.02)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [("2.4 m to 2.8 m", 2.4, 2.8), ("2.4 to 2.8 m", 2.4, 2.8), ('94" to 110"', 2.3876, 2.794)],
)
def test_a_span_is_ten_to_ninety_percent(text, low, high):
    figure = likely(text, "girth", units.length)
    assert (figure.low, figure.high) == pytest.approx((low, high))
    assert figure.mid == pytest.approx((low + high) / 2)


def test_one_figure_alone_gets_the_doubt_of_its_kind():
    figure = likely("2 m", "girth", units.length, (0.9, 1.2), why="a guess")
    assert (figure.low, figure.mid, figure.high, figure.why) == (1.8, 2.0, 2.4, "a guess")


@pytest.mark.parametrize("wrong", ["2.8 m to 2.4 m", "2.4 to 2.8", 2.4, "about 2 m"])
def test_what_is_no_span_is_refused(wrong):
    with pytest.raises(BadValue):
        likely(wrong, "girth", units.length)


def test_without_own_logs_the_prior_holds():
    # Common practice, no source: 65 to 85 % of a plan.
    assert (realised_yield().low, realised_yield().mid, realised_yield().high) == (0.65, 0.75, 0.85)


def test_one_own_log_by_hand():
    # Prior of two logs at 0.75, one log at 0.45: (2 x 0.75 + 0.45)/3 = 0.65; its variance
    # (2 (s^2 + 0.1^2) + 0.2^2)/3 with s = 0.1/1.28155, widened by 1 + 1/3.
    spread = 0.1 / TENTH
    half = TENTH * ((2 * (spread**2 + 0.01) + 0.04) / 3 * 4 / 3) ** 0.5
    figure = realised_yield([(400.0, 180.0)])
    assert (figure.low, figure.mid, figure.high) == pytest.approx((0.65 - half, 0.65, 0.65 + half))


def test_many_own_logs_outweigh_the_prior():
    rng = np.random.default_rng(3)
    ratios = rng.normal(0.58, 0.04, 60)
    figure = realised_yield([(500.0, 500.0 * ratio) for ratio in ratios])
    low, high = np.quantile(ratios, [0.1, 0.9])
    # Two prior logs among 62 pull the middle up by 2/62 of 0.17 and widen the span a little.
    assert figure.mid == pytest.approx(0.58, abs=0.02)
    assert figure.low == pytest.approx(low, abs=0.04)
    assert figure.high == pytest.approx(high, abs=0.04)
    assert figure.high - figure.low > high - low


def test_a_plan_of_nothing_teaches_nothing():
    with pytest.raises(BadValue, match="above 0"):
        realised_yield([(0.0, 10.0)])


def test_swings_of_a_known_sum():
    figures = {"a": Likely(1, 2, 4), "b": Likely(0, 1, 2), "sure": Likely.known(5)}
    rows = swings(figures, lambda x: 10 * x["a"] - 30 * x["b"] + x["sure"])
    assert [row.name for row in rows] == ["b", "a"]
    assert (rows[0].at_low, rows[0].at_high, rows[0].base, rows[0].swing) == (25, -35, -5, 60)
    assert rows[0].turns
    assert (rows[1].at_low, rows[1].at_high) == (-15, 15)


def test_a_figure_best_in_its_middle_shows_its_swing():
    rows = swings({"size": Likely(-1, 0, 1)}, lambda x: 10 - 8 * x["size"] ** 2)
    assert rows[0].swing == pytest.approx(8)


def test_the_prior_holds_on_its_own_terms():
    assert PRIOR.why.endswith("common practice, no source")

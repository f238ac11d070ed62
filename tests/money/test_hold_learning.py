"""Learning who comes and what they pay, from sold and unsold listings."""

from __future__ import annotations

import datetime
import math

import numpy as np
import pytest
from scipy.optimize import minimize

from pithline.errors import BadValue
from pithline.money.hold.buyers import Buyers, Exponential
from pithline.money.hold.listing import Listing, Spells, spells
from pithline.money.hold.listing_fit import sale_rate_fit
from pithline.money.hold.listing_range import learn, outlook, weighted_quantiles
from pithline.money.hold.posted import Terms, best_price


def drawn(rng: np.random.Generator, count: int, level: float, slope: float, seen: float = 24.0) -> Spells:
    """Listings whose truth is known; those unsold after `seen` months are still there."""
    ratio = rng.uniform(0.7, 1.5, count)
    months = rng.exponential(1 / (level * np.exp(-slope * ratio)))
    return Spells.of(ratio, np.minimum(months, seen), months <= seen)


def test_the_fit_against_a_general_optimiser():
    cut = drawn(np.random.default_rng(1), 60, 3.0, 3.2)

    def unlikely(at: np.ndarray) -> float:
        rate = np.exp(at[0] - at[1] * cut.ratio)
        return float(np.sum(rate * cut.months) - np.sum(np.log(rate[cut.sold])))

    found = minimize(unlikely, [0.0, 1.0], method="BFGS", options={"gtol": 1e-9})
    fit = sale_rate_fit(cut)
    # BFGS stops at a gradient of 1e-9 to 1e-6 of the log likelihood.
    assert [math.log(fit.level), fit.slope] == pytest.approx(list(found.x), rel=1e-5)
    # Its own inverse Hessian is a rough running guess: take second differences instead.
    step = 1e-4
    moves = step * np.eye(2)
    hessian = np.array(
        [
            [
                unlikely(found.x + a + b)
                - unlikely(found.x + a - b)
                - unlikely(found.x - a + b)
                + unlikely(found.x - a - b)
                for b in moves
            ]
            for a in moves
        ]
    ) / (4 * step**2)
    assert fit.slope_error == pytest.approx(math.sqrt(np.linalg.inv(hessian)[1, 1]), rel=1e-3)


def test_the_truth_lies_in_the_error_as_often_as_it_should():
    rng = np.random.default_rng(2)
    off = []
    for _ in range(150):
        fit = sale_rate_fit(drawn(rng, 80, 3.0, 3.2))
        off.append((fit.slope - 3.2) / fit.slope_error)
    # 150 draws of a share of 68.3 %: standard error 3.8 %, so four of them.
    assert abs(np.mean(np.abs(off) < 1) - 0.683) < 0.152
    assert abs(np.mean(off)) < 4 / math.sqrt(150)


def test_leaving_out_the_unsold_would_mislead():
    """The control: without the unsold listings slabs seem to sell faster than they do."""
    cut = drawn(np.random.default_rng(3), 400, 3.0, 3.2, seen=6)
    only = Spells.of(cut.ratio[cut.sold], cut.months[cut.sold], cut.sold[cut.sold])
    at_one = [f.level * math.exp(-f.slope) for f in (sale_rate_fit(cut), sale_rate_fit(only))]
    truth = 3.0 * math.exp(-3.2)
    assert abs(math.log(at_one[0] / truth)) < 0.2
    assert at_one[1] > 1.5 * truth


def test_a_listing_is_cut_at_each_change_of_price():
    day = datetime.date
    listing = Listing("14-3", 1000, ((day(2025, 1, 1), 1200), (day(2025, 3, 2), 900)), day(2025, 4, 1), True)
    cut = spells([listing])
    assert list(cut.ratio) == [1.2, 0.9]
    assert cut.months == pytest.approx([60 / 30.4375, 30 / 30.4375])
    assert list(cut.sold) == [False, True]


def test_tags_must_follow_each_other():
    day = datetime.date
    with pytest.raises(BadValue, match="in the order of days"):
        Listing("a", 1000, ((day(2025, 3, 2), 900), (day(2025, 1, 1), 1200)), day(2025, 4, 1), True)
    with pytest.raises(BadValue, match="not before its last price tag"):
        Listing("a", 1000, ((day(2025, 3, 2), 900),), day(2025, 1, 1), True)


@pytest.mark.parametrize(
    ("ratio", "sold", "said"),
    [
        ([0.8, 1.0, 1.2], [0, 0, 0], "none sold"),
        ([1.0, 1.0, 1.0], [1, 1, 0], "different prices"),
        ([0.8, 1.0, 1.2], [1, 0, 0], "No finite slope"),
    ],
)
def test_what_cannot_be_told_is_refused(ratio, sold, said):
    with pytest.raises(BadValue, match=said):
        sale_rate_fit(Spells.of(ratio, [3.0, 5.0, 7.0], sold))
    # The range still answers, wide as it is.
    view = outlook(learn(Spells.of(ratio, [3.0, 5.0, 7.0], sold)), 1000, Terms(0, 6, 0.01), 12)
    assert view.best[0] < view.price < view.best[2]


def test_the_range_holds_the_true_best_price_as_often_as_it_says():
    level, slope = 3.0, 3.2
    costs = Terms(20, 6, 0.01)
    true_price = best_price(Buyers(level, Exponential(1000 / slope)), costs)
    rng = np.random.default_rng(4)
    views = [outlook(learn(drawn(rng, 300, level, slope)), 1000, costs, 12) for _ in range(40)]
    inside = [view.best[0] <= true_price <= view.best[2] for view in views]
    # 40 draws of a share of 80 %: standard error 6.3 %, so three of them.
    assert abs(np.mean(inside) - 0.8) < 0.19
    assert np.median([view.price for view in views]) == pytest.approx(true_price, rel=0.03)


def test_more_listings_narrow_the_range():
    wide = []
    for count in (0, 10, 100):
        cut = drawn(np.random.default_rng(5), count, 3.0, 3.2) if count else None
        view = outlook(learn(cut), 1000, Terms(20, 6, 0.01), 12)
        wide.append(view.months[2] / view.months[0])
    assert wide[0] > 1.5 * wide[1] > 2.25 * wide[2]


def test_the_law_that_made_the_listings_fits_better():
    rng = np.random.default_rng(6)
    ratio = rng.uniform(0.4, 2.0, 600)
    from scipy.stats import norm

    rate = 2.0 * norm.sf((np.log(ratio) - math.log(0.9)) / 0.3)
    months = rng.exponential(1 / rate)
    cut = Spells.of(ratio, np.minimum(months, 24), months <= 24)
    assert learn(cut, "lognormal").evidence > learn(cut, "exponential").evidence + 3
    assert learn(drawn(rng, 600, 3.0, 3.2), "exponential").weight.sum() == pytest.approx(1)


def test_a_grid_twice_as_fine_tells_the_same(monkeypatch):
    cut = drawn(np.random.default_rng(7), 25, 3.0, 3.2)
    coarse = outlook(learn(cut), 1000, Terms(20, 6, 0.01), 12)
    monkeypatch.setattr("pithline.money.hold.listing_range._BUYERS", 101)
    monkeypatch.setattr("pithline.money.hold.listing_range._LIMITS", 101)
    fine = outlook(learn(cut), 1000, Terms(20, 6, 0.01), 12)
    assert coarse.price == pytest.approx(fine.price, rel=0.02)
    # Quantiles step from grid point to grid point: within 8 %.
    assert coarse.months == pytest.approx(fine.months, rel=0.08)


def test_quantiles_by_weight():
    values, weight = np.array([3.0, 1.0, 2.0]), np.array([0.2, 0.5, 0.3])
    assert weighted_quantiles(values, weight) == (1.0, 1.0, 3.0)


def test_the_fit_makes_buyers_for_a_piece_of_any_reference():
    fit = sale_rate_fit(drawn(np.random.default_rng(8), 200, 3.0, 3.2))
    for reference in (300.0, 1200.0):
        buyers = fit.buyers(reference)
        assert buyers.sale_rate(1.1 * reference) == pytest.approx(fit.level * math.exp(-fit.slope * 1.1))
    with pytest.raises(BadValue, match="dearer pieces sold no slower"):
        sale_rate_fit(Spells.of([0.8, 1.0, 1.2, 1.2], [9.0, 9.0, 2.0, 2.0], [1, 0, 1, 1])).buyers(300)

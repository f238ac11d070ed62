"""Every row of the computed pricing cases: closed form, and its second way."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

from pithline.money.hold import deadline, offers, posted
from pithline.money.hold.buyers import Buyers, Exponential, Lognormal
from pithline.money.hold.clockwork import most_possible
from pithline.money.hold.listing import Spells
from pithline.money.hold.listing_fit import gamma_level, sale_rate_fit
from pithline.money.hold.posted import Terms
from pithline.money.hold.steps import Step, clearance, steps_worth
from pithline.money.hold.waiting import worth_waiting
from tests.sources import table

ROWS = table("pricing_computed")


def _buyers(given: dict) -> Buyers:
    rate = given.get("arrivals_per_month", given.get("offers_per_month"))
    law = given.get("wtp", given.get("offer"))
    if law == "exponential":
        return Buyers(rate, Exponential(given.get("wtp_mean", given.get("offer_mean"))))
    median = given.get("wtp_median", given.get("offer_median"))
    return Buyers(rate, Lognormal(median, given.get("wtp_sigma", given.get("offer_sigma"))))


def _terms(given: dict) -> Terms:
    return Terms(
        given.get("cost_at_sale", 0.0),
        given.get("holding_per_month", given.get("holding_per_item_month", 0.0)),
        given.get("discount_per_month", 0.0),
        given.get("total_loss_hazard_per_month", 0.0),
    )


def _posted(quantity: str, given: dict) -> float:
    buyers, terms = _buyers(given), _terms(given)
    price = posted.best_price(buyers, terms)
    ways: dict[str, Callable[[], float]] = {
        "optimal_price": lambda: price,
        "expected_profit": lambda: posted.expected_profit(price, buyers, terms),
        "sale_rate": lambda: buyers.sale_rate(price),
        "expected_months_to_sale": lambda: posted.expected_months(price, buyers),
        "prob_sold_in_12_months": lambda: posted.chance_sold(price, buyers, 12),
        "expected_discounted_holding_cost": lambda: posted.holding_spent(price, buyers, terms),
    }
    return ways[quantity.removesuffix("_mc").removesuffix("_lambertw")]()


def _inventory(quantity: str, given: dict) -> float:
    """Gallego and van Ryzin: exponential limits of mean 1, nothing spent, nothing left."""
    buyers, day = Buyers(given["a"], Exponential(1.0)), deadline.Deadline(given["n"], given["t"])
    ways = {
        "expected_revenue": lambda: deadline.path_worth(day, buyers, Terms()),
        "optimal_price": lambda: deadline.path_price(day, buyers, Terms()),
        "deterministic_upper_bound": lambda: most_possible(day, buyers),
    }
    return ways[quantity.removesuffix("_mc")]()


def _deadline(quantity: str, given: dict) -> float:
    buyers, terms = _buyers(given), _terms(given)
    months, count, salvage = given["deadline_months"], given["items"], given["salvage_per_item"]
    day = deadline.Deadline(count, months, salvage)
    if quantity.startswith("expected_profit"):
        return deadline.path_worth(day, buyers, terms)
    gone = float(quantity.split("_")[2]) if quantity.startswith("price_after") else 0.0
    # The path hangs up a tag each month: the row's month is one of them.
    steps = dict(deadline.price_steps(day, buyers, terms, 1.0))
    assert steps[gone][-1] == pytest.approx(
        deadline.path_price(deadline.Deadline(count, months - gone, salvage), buyers, terms), rel=1e-12
    )
    return steps[gone][-1]


def _offers(quantity: str, given: dict) -> float:
    buyers, terms = _buyers(given), _terms(given)
    least = offers.reservation_price(buyers, terms)
    return least if quantity == "value_equals_reservation_price" else offers.mean_accepted(least, buyers)


def _marked_down(quantity: str, given: dict) -> float:
    if "price_1" not in given:
        first, _, brings = clearance(0, 1)
        return {"first_price": first, "expected_revenue": brings}[quantity]
    steps = [Step(given["price_1"], given["switch_month"]), Step(given["price_2"])]
    return steps_worth(steps, _buyers(given), _terms(given))


def _waited(quantity: str, given: dict) -> float:
    assert quantity == "months"
    return worth_waiting(given["price_now"], given["price_later"], _terms(given))


def _learned(quantity: str, given: dict) -> float:
    cut = Spells.of(given["price_ratio"], given["months_on_offer"], given["sold"])
    if quantity == "posterior_mean_A":
        return gamma_level(cut, given["slope"], given["prior_shape"], given["prior_rate"])
    fit = sale_rate_fit(cut)
    return {
        "b_slope": fit.slope,
        "A_level": fit.level,
        "std_error_of_b": fit.slope_error,
        "theta_as_ratio": fit.mean,
    }[quantity]


WAYS = {
    "P": _posted,
    "G": _inventory,
    "H": _deadline,
    "S": _offers,
    "M": _marked_down,
    "B": _waited,
    "W": _learned,
}


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['case']}-{r['quantity']}")
def test_each_computed_case(row):
    ours = WAYS[row["case"][0]](row["quantity"], json.loads(row["inputs"]))
    # The closed form is printed in full: nothing but rounding may differ.
    assert ours == pytest.approx(float(row["value"]), rel=2e-9)
    # Monte Carlo may be off by four of its own standard errors, a search by the tolerance it claims.
    error = 4 * float(row["check_std_error"]) if row["tolerance"] == "4*SE" else float(row["tolerance"])
    assert abs(ours - float(row["check_value"])) <= max(error, 1e-12)


def test_every_case_is_there():
    assert len(ROWS) == 77
    assert {row["case"] for row in ROWS} == {
        "P1", "P2", "P3", "P4", "P5", "P6", "G1", "H1", "H2", "H3", "S1", "S2", "M1", "M2", "B1", "W1", "W2"
    }  # fmt: skip

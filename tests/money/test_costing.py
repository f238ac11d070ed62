"""Machine rates, depreciation, fuel and joint cost against computed and published figures."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pithline.errors import BadValue
from pithline.money.cost.depreciation import (
    average_investment,
    capital_recovery,
    capital_recovery_factor,
    double_declining,
    straight_line,
    sum_of_years,
)
from pithline.money.cost.fuel import ENGINES, GALLON, crankcase_oil, gallons_per_hour, litres_per_hour
from pithline.money.cost.joint_cost import WAYS, Piece, gain_of_going_on, gross_margin, share_joint_cost
from pithline.money.cost.machine_rate import Machine, machine_rate, unit_cost, years_from_hours
from pithline.units import BOARD_FOOT
from tests.sources import table

# Our figures and the computed ones follow the same formulas in double precision.
CLOSE = 1e-9


def rows() -> list[tuple[str, dict[str, Any], str, float, str]]:
    found, inputs = [], {}
    for row in table("costing"):
        inputs = json.loads(row["inputs"]) if row["inputs"] else inputs
        found.append((row["case"], inputs, row["quantity"], float(row["value"]), row["printed"]))
    return found


ROWS = rows()
NAMES = {
    "purchase_price": "price",
    "salvage": "salvage",
    "life_years": "years",
    "scheduled_hours_per_year": "scheduled",
    "utilisation": "utilisation",
    "interest": "interest",
    "insurance": "insurance",
    "tax": "tax",
    "power_kw": "power",
    "load_factor": "load",
    "specific_fuel_kg_per_kwh": "specific",
    "fuel_density_kg_per_l": "density",
    "fuel_price_per_l": "fuel_price",
    "lube_fraction_of_fuel_cost": "lube",
    "repair_fraction_of_depreciation": "repair",
    "other_consumables_per_pmh": "consumables",
    "tyre_or_wear_set_cost": "wear_set",
    "tyre_or_wear_set_life_pmh": "wear_life",
    "wage_per_hour": "wage",
    "wage_on_cost": "on_cost",
}
QUANTITIES = {
    "productive_hours_per_year": "hours",
    "depreciation_per_year": "depreciation",
    "average_yearly_investment": "investment",
    "interest_per_year": "interest",
    "insurance_per_year": "insurance",
    "tax_per_year": "tax",
    "fixed_cost_per_year": "fixed",
    "fixed_cost_per_smh": "fixed_scheduled",
    "fixed_cost_per_pmh": "fixed_productive",
    "fuel_litres_per_pmh": "litres",
    "fuel_cost_per_pmh": "fuel",
    "lube_cost_per_pmh": "lube",
    "repair_cost_per_pmh": "repair",
    "tyre_or_wear_cost_per_pmh": "wear",
    "operating_cost_per_pmh": "operating",
    "labour_cost_per_smh": "labour",
    "machine_rate_per_smh": "per_scheduled",
    "machine_rate_per_pmh": "per_productive",
}
# A case may carry figures of another sum behind its own; they have inputs of their own.
MACHINES = [r for r in ROWS if "purchase_price" in r[1] and r[0][:2] in ("C1", "C2", "C3")]
OTHERS = [r for r in ROWS if r not in MACHINES]


def machine_of(inputs: dict[str, Any]) -> Machine:
    return Machine.of(**{ours: float(inputs[theirs]) for theirs, ours in NAMES.items()})


@pytest.mark.parametrize(("case", "inputs", "quantity", "value", "printed"), MACHINES)
def test_every_step_of_a_machine_rate_agrees(case, inputs, quantity, value, printed):
    rate = machine_rate(machine_of(inputs))
    assert getattr(rate, QUANTITIES[quantity]) == pytest.approx(value, rel=CLOSE)


def of_joint(pieces: list[Piece], joint: float, by_products: float, quantity: str) -> float:
    names = {
        "physical": "volume",
        "physical_measure": "volume",
        "sales_value_at_split_off": "split-off",
        "net_realisable_value": "net realisable",
        "nrv_allocated": "net realisable",
        "constant_gross_margin": "constant margin",
    }
    start = max((n for n in names if quantity.startswith(n + "_")), key=len)
    shares = next(s for s in share_joint_cost(joint, pieces, by_products) if s.way == names[start]).shares
    which = quantity[len(start) + 1 :].replace("_", " ")
    return (
        sum(shares) if which == "total" else dict(zip([p.name for p in pieces], shares, strict=True))[which]
    )


def reckoned(case: str, inputs: dict[str, Any], quantity: str) -> float:
    match case[:2]:
        case "C1":  # what it makes an hour, beside its rate
            machine = next(m for c, m, *_ in MACHINES if c == case)
            cost = unit_cost(machine_rate(machine_of(machine)).per_productive, inputs["slab_m3_per_pmh"])
            return cost * (BOARD_FOOT if "board" in quantity else 1)
        case "C4":
            mean = average_investment(inputs["price_less_tyres"], inputs["salvage"], inputs["years"])
            return mean if "investment" in quantity else mean * inputs["rate"] / inputs["hours_per_year"]
        case "C5":
            paid, years, interest = inputs["purchase_price"], inputs["life_years"], inputs["interest"]
            salvage = inputs["list_price"] * inputs["salvage_fraction_of_list"]
            yearly = capital_recovery(paid, salvage, years, interest)
            mean = average_investment(paid, salvage, years)
            return {
                "capital_recovery_factor": capital_recovery_factor(interest, years),
                "capital_recovery_per_year": yearly,
                "capital_recovery_per_hour": yearly / inputs["hours_per_year"],
                "same_by_average_investment_per_year": straight_line(paid, salvage, years) + interest * mean,
            }[quantity]
        case "C6" if quantity == "kg_per_kwh":
            return ENGINES["diesel"].specific
        case "C6":
            return gallons_per_hour(
                inputs["bhp"], inputs["load_factor"], inputs["lb_per_bhp_hr"], inputs["lb_per_gal"]
            )
        case "C7":
            price, salvage, years, k = inputs["P"], inputs["S"], inputs["N"], inputs["year"] - 1
            return {
                "straight_line": straight_line(price, salvage, years),
                "sum_of_years_digits": sum_of_years(price, salvage, years)[k],
                "double_declining_balance_floor_at_S": double_declining(price, salvage, years)[k],
            }[quantity]
        case "J1":
            return of_exam(quantity)
        case "J2":
            pieces = [
                Piece.of(name, s["board_feet"], s["green_value"], s["final_value"], s["separable_cost"])
                for name, s in inputs["slabs"].items()
            ]
            net = inputs["gross_joint_cost"] - inputs["by_product_net_value"]
            if quantity == "joint_cost_to_allocate":
                return net
            if quantity == "overall_gross_margin":
                return gross_margin(net, pieces)
            return of_joint(pieces, inputs["gross_joint_cost"], inputs["by_product_net_value"], quantity)
    raise AssertionError(case)


def of_exam(quantity: str) -> float:
    # Boards are finished for 200,000 and sold at 10.00; 10,000 of the 90,000 are lost in it. Posts
    # are not worked on: what they bring at split-off is their final value.
    inputs = next(r[1] for r in ROWS if "price_at_split_off" in r[1])
    units, price = inputs["units"], inputs["price_at_split_off"]
    good, finishing = units["board"] - 10_000, 200_000
    post = Piece.of("post", units["post"], units["post"] * price["post"], units["post"] * price["post"])
    board = Piece.of("board", units["board"], units["board"] * price["board"], good * 10.0, finishing)
    if quantity == "nrv_board":
        return board.final - board.own_cost
    if quantity == "process_posts_further_gain":  # for 100,000 they bring 5.00 instead of 2.00
        return gain_of_going_on(units["post"] * (5.0 - price["post"]), 100_000)
    if quantity == "completed_cost_per_board_unit":
        share = of_joint([post, board], inputs["joint_cost"], 0.0, "nrv_allocated_board")
        return unit_cost(share + finishing, good)
    return of_joint([post, board], inputs["joint_cost"], 0.0, quantity)


@pytest.mark.parametrize(("case", "inputs", "quantity", "value", "printed"), OTHERS)
def test_the_other_costing_figures_agree(case, inputs, quantity, value, printed):
    ours = reckoned(case, inputs, quantity)
    assert ours == pytest.approx(value, rel=CLOSE)
    if printed:
        # Printed to so many digits: half a unit of the last one.
        digits = len(printed.partition(".")[2])
        assert ours == pytest.approx(float(printed), abs=0.5 * 10**-digits)


def test_the_loader_s_printed_depreciation_is_rounded_up():
    # The class example prints 13.40 for (326,000 - 26,000 - 75,000)/6/2,800 = 13.3929: it rounds up
    # to the next five cents, so half a cent does not reach it.
    ours = straight_line(326_000, 75_000, 6, wear_set=26_000) / 2_800
    assert ours == pytest.approx(13.392857142857142)
    assert 0 < 13.40 - ours < 0.01


def test_the_investment_shortcut_of_sixty_percent_is_exact_at_five_years():
    assert average_investment(1000, 0, 5) == pytest.approx(600)


def test_the_average_investment_is_the_mean_of_the_book_values():
    book, values = 2400.0, []
    for _ in range(3):
        values.append(book)
        book -= straight_line(2400, 480, 3)
    assert average_investment(2400, 480, 3) == pytest.approx(sum(values) / 3)


def test_idle_hours_do_not_wear_a_machine_out():
    # Sessions, Berry & Han 2021 (abstract): at 50 % utilisation the classic rate per productive hour
    # was nearly 30 % above theirs, in which a machine lasts its working hours. With a life meant for
    # full use and no running costs the whole difference shows: the years double.
    assert years_from_hours(10_000, 2_000, 0.5) == pytest.approx(2 * years_from_hours(10_000, 2_000, 1.0))


def test_oil_of_a_four_stroke_engine_by_hand():
    # Miyata after Peurifoy, by hand: 25 x 0.6 x 0.006/7.4 + 1/100.
    assert crankcase_oil(25, 1.0, 100) == pytest.approx(0.0221622, abs=1e-7)


@pytest.mark.parametrize(("engine", "printed"), [("petrol", 0.06), ("diesel", 0.04)])
def test_a_full_load_hour_is_near_the_rule_of_thumb(engine, printed):
    # Course notes after Peurifoy (read): 0.06 and 0.04 US gal per flywheel hp-h. The army's factors are
    # others, 0.60 lb/6 lb and 0.36 lb/7 lb, that is 0.10 and 0.051: they hold for brake power at rated
    # load and are known to be high; we only check that ours are theirs, and no less than the rule.
    kind = ENGINES[engine]
    gallons = litres_per_hour(0.74569987, 1.0, kind.specific, kind.density) / GALLON
    assert gallons == pytest.approx({"petrol": 0.60 / 6, "diesel": 0.36 / 7}[engine], rel=1e-7)
    assert gallons > printed


money = st.floats(0.01, 1e6)
pieces = st.lists(
    st.builds(Piece, st.just("p"), money, money, st.floats(1e3, 1e6), st.floats(0, 500)),
    min_size=1,
    max_size=9,
)


@settings(max_examples=40)
@given(st.floats(0, 1e6), pieces, st.floats(0, 1e3))
def test_every_way_of_sharing_adds_back_to_the_joint_cost(joint, of, by_products):
    for shares in share_joint_cost(joint, of, by_products):
        assert sum(shares.shares) == pytest.approx(joint - by_products, abs=1e-6 * (1 + joint))


def test_a_piece_that_eats_itself_up_takes_no_share_and_is_named():
    ways = dict(
        zip(
            WAYS, share_joint_cost(100, [Piece("good", 1, 10, 90, 5), Piece("cap", 1, 1, 5, 20)]), strict=True
        )
    )
    assert ways["net realisable"].shares == (100, 0)
    assert "cap" in ways["net realisable"].remark
    assert "cap" in ways["constant margin"].remark


def test_a_way_without_values_says_why_it_cannot_be_gone():
    ways = share_joint_cost(100, [Piece("a", 1), Piece("b", 3)])
    assert ways[0].shares == (25, 75)
    assert [w.remark for w in ways[1:]] == ["no green values", "no final values", "no final values"]


@pytest.mark.parametrize(
    "wrong", [{"utilisation": 1.2}, {"utilisation": 0}, {"scheduled": 0}, {"interest": -0.01}, {"years": 0}]
)
def test_impossible_machines_are_refused(wrong):
    with pytest.raises(BadValue):
        machine_rate(
            Machine.of(
                **{"price": 2400.0, "salvage": 480.0, "years": 3.0, "scheduled": 600.0, "utilisation": 0.6}
                | wrong
            )
        )

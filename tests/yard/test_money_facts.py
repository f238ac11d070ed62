"""From the book's records to what the money floor takes."""

from __future__ import annotations

import datetime

import pytest

from pithline.units import BOARD_FOOT
from pithline.yard.cost_facts import (
    downgraded,
    load_facts,
    overhead_in,
    plan_and_tally,
    spent_on,
    usual_costs,
)
from pithline.yard.models import KilnLoad, Log, Plan, Slab
from pithline.yard.price_facts import piece_now, sales_book
from tests.book import enter

DAY = datetime.date
COSTS = {"saw": "1800 USD", "chain": "30", "fuel": "2.00 per l", "km": "0.60 per km", "wage": "240 per day"}


@pytest.fixture
def slabs(demo_log):
    size = {"thickness": "80 mm", "length": "3 m", "widths": ["40 cm"]}
    enter("tally_slabs", log="1", slabs=[size] * 4)


def slab(number=1):
    return Slab.objects.get(number=number)


def test_a_logs_hours_and_bills_are_added_once(slabs):
    from pithline.money.cost.log_cost import log_cost

    enter("keep_profile", kind="costs", name="mine", table=COSTS)
    enter("note_work", kind="cut", about="log 1", hours="5 h", people=2, saw="3 h", fuel="6 l")
    enter("note_work", kind="drive", about="log 1", hours="1 h", distance="40 km")
    enter("note_spending", what="for the log", amount="150 USD", kind="wood", about="log 1")
    enter("note_spending", what="two-stroke", amount="14 USD", kind="fuel", about="log 1")
    enter("note_spending", what="rent", amount="90 USD")
    spent = spent_on(Log.objects.get())
    assert (spent.hours, dict(spent.money), spent.in_the_rate) == (11, {"for the log": 150}, 14)
    costs = usual_costs()
    assert costs is not None
    lines = dict(log_cost(spent.work, spent.money, costs.value).lines)
    # 240 a day of 8 h, and 20 % on top: 36 an hour.
    assert lines["labour: cut"] == pytest.approx(10 * 36)
    assert lines["driving"] == pytest.approx(24)
    assert lines["for the log"] == 150
    assert spent_on(slab()).work == ()


def test_the_minutes_of_cuts_stand_in_for_hours_that_nobody_wrote_down(slabs):
    enter("note_cut", log="1", cut=1, took="9 min")
    enter("note_cut", log="1", cut=2, took="15 min")
    spent = spent_on(Log.objects.get())
    assert [(one.what, one.hours) for one in spent.work] == [("cut", 0.4)]
    assert "one person" in spent.remarks[0]
    enter("note_work", kind="cut", about="log 1", hours="5 h")
    assert [one.hours for one in spent_on(Log.objects.get()).work] == [5]


def test_a_load_tells_its_days_power_and_bearers(slabs):
    enter("keep_profile", kind="kiln", name="box", table={})
    enter("load_kiln", slabs=[{"slab": "1-1", "share": "60 %"}, {"slab": "1-2"}])
    enter("start_load", load="1", started="2026-05-01 08:00")
    enter("note_spending", what="power", amount="60 USD", kind="energy", about="load 1")
    enter("end_load", load="1", ended="2026-05-21 20:00", energy="310 kWh")
    facts = load_facts(KilnLoad.objects.get())
    assert (facts.days, facts.energy, dict(facts.spent.money)) == (20.5, 310, {"power": 60})
    assert dict(facts.slabs) == {"1-1": 0.6, "1-2": None}
    assert facts.volumes == (pytest.approx(0.08 * 0.4 * 3),) * 2


def test_overhead_of_a_month_holds_its_part_of_longer_bills():
    enter("note_spending", what="insurance", amount="240 USD", months=12, spent_on="2026-03-15")
    enter("note_spending", what="phone", amount="30 USD", spent_on="2026-12-31")
    assert overhead_in(2026, 2) == {}
    assert overhead_in(2026, 12) == {"insurance": 20, "phone": 30}
    assert overhead_in(2027, 2) == {"insurance": 20}
    assert overhead_in(2027, 3) == {}


def test_plan_against_tally_counts_whole_logs_in_one_unit(slabs):
    log = Log.objects.get()
    plan = {"inputs": {}, "answer": {"slabs": []}, "version": "0", "tally_unit": "m3"}
    Plan.objects.create(log=log, number=1, chosen=True, tally=0.5, **plan)
    assert plan_and_tally() == [(0.5, pytest.approx(4 * 0.08 * 0.4 * 3))]
    enter("resize_slab", slab="1-1", state="dry", thickness="75 mm")
    enter("split_slab", slab="1-2", way="cross", at=["1 m"])
    assert plan_and_tally() == [(0.5, pytest.approx(4 * 0.08 * 0.4 * 3))]
    Plan.objects.update(tally_unit="bf")
    assert plan_and_tally() == []


def test_flaws_and_scrap_are_counted_among_dried_slabs(slabs):
    assert downgraded() == (0, 0)
    enter("resize_slab", slab="1-1", state="dry", thickness="75 mm")
    enter("resize_slab", slab="1-2", state="dry", thickness="75 mm")
    enter("change_slab", slab="1-2", flaws="a check through")
    enter("build_stack", name="A", slabs=["1-3"])
    enter("scrap_slab", slab="1-3", why="split")
    assert downgraded() == (2, 3)


def test_a_slab_as_a_buyer_sees_it(slabs):
    enter("set_preference", name="unit", value="bf as sawn")
    enter("resize_slab", slab="1-1", state="flattened", thickness="70 mm")
    enter("change_slab", slab="1-1", figure="ray fleck", flaws="stain")
    enter("pair_slabs", first="1-1", second="1-2")
    piece = piece_now(slab())
    assert (piece.species, piece.thickness, piece.width) == ("Northern red oak", 0.07, pytest.approx(0.4))
    assert piece.volume == pytest.approx(0.07 * 0.4 * 3)
    assert piece.board_feet == pytest.approx(0.07 * 0.4 * 3 / BOARD_FOOT)
    assert (piece.dried, piece.flattened, piece.pair, piece.flawed, piece.figure) == (
        "air dried", True, True, True, 0.5,
    )  # fmt: skip
    enter("change_slab", slab="1-1", figure_share="20 %")
    assert piece_now(slab()).figure == pytest.approx(0.2)


def test_sales_listings_and_prices_seen_become_one_book(slabs):
    for number, where in ((1, "gate"), (2, "gate"), (3, "fair")):
        enter(
            "list_slab",
            slab=f"1-{number}",
            asking="600 USD",
            where=where,
            from_on="2026-01-10",
            reference="500",
        )
    enter("list_slab", slab="1-1", asking="550", where="gate", from_on="2026-03-01")
    enter("list_slab", slab="1-4", asking="550", from_on="2026-03-01")
    enter("sell_slab", slab="1-1", price="520 USD", sold_on="2026-04-01", use="table")
    enter("sell_slab", slab="1-4", price="0 USD", sold_on="2026-04-01")
    enter("withdraw_slab", slab="1-2", ended_on="2026-05-01")
    size = {"species": "red oak", "thickness": "12/4", "width": "50 cm", "length": "2.4 m"}
    enter(
        "note_comparable", source="a yard", price="600 EUR", exchange="1 EUR = 1.10 USD",
        exchange_on="2026-06-01", seen_on="2026-06-01", dried="kiln dried", **size,
    )  # fmt: skip
    enter("note_lumber", species="red oak", thickness="8/4", rate="5 USD per bf", source="invented")
    book, remarks = sales_book(DAY(2026, 6, 10))
    own, seen = book.sales
    assert (own.name, own.price, own.day, own.own, own.piece.use) == (
        "1-1",
        520,
        DAY(2026, 4, 1),
        True,
        "table",
    )
    assert (seen.price, seen.own, seen.asked, seen.noted) == (
        pytest.approx(660), False, True, "600 EUR at 1.1 of 2026-06-01",
    )  # fmt: skip
    listed = {one.name: (one.tags, one.until, one.sold) for one in book.listings}
    assert listed == {
        "1-1 at gate": (((DAY(2026, 1, 10), 600), (DAY(2026, 3, 1), 550)), DAY(2026, 4, 1), True),
        "1-2 at gate": (((DAY(2026, 1, 10), 600),), DAY(2026, 5, 1), False),
        "1-3 at fair": (((DAY(2026, 1, 10), 600),), DAY(2026, 6, 10), False),
    }
    assert book.lumber[0].rate == pytest.approx(5 / BOARD_FOOT)
    assert len(remarks) == 2
    with_rates, _ = sales_book(DAY(2026, 6, 10), reference=lambda slab: 480.0)
    assert {one.name: one.reference for one in with_rates.listings}["1-4"] == 480

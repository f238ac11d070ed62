"""Money in the book: work, spending, listings, offers, sales, prices noted elsewhere."""

from __future__ import annotations

import datetime

import pytest

from pithline.errors import BadValue
from pithline.yard.models import Asked, Comparable, Effort, Listing, Offer, Sale, Slab, Spending
from tests.book import done, enter

DAY = datetime.date
OAK = {"species": "red oak", "thickness": "12/4", "width": "50 cm", "length": "2.4 m"}


@pytest.fixture
def slabs(demo_log):
    size = {"thickness": "80 mm", "length": "3 m", "widths": ["40 cm / 45 cm"]}
    enter("tally_slabs", log="1", slabs=[size] * 3)


def test_work_is_kept_for_one_thing_or_in_general(slabs):
    enter("note_work", kind="cut", about="log 1", hours="5 h 30 min", people=2, saw="3 h", fuel="6.5 l")
    enter("note_work", kind="drive", hours="50 min", distance="26 mi", done_on="2026-02-20")
    cut, drive = Effort.objects.order_by("created_at")
    assert (cut.log.number, cut.hours, cut.people, cut.saw_hours, cut.fuel_l) == (1, 5.5, 2, 3, 6.5)
    # A mile is 1.609344 km (NIST SP 811, 2008, appendix B.8).
    assert (drive.log, drive.distance_km) == (None, pytest.approx(41.842944))
    for wrong in (
        {"hours": "25 h"},
        {"hours": "5"},
        {"about": "place x"},
        {"fuel": "6.5"},
        {"distance": "9"},
    ):
        with pytest.raises(BadValue):
            enter("note_work", **{"kind": "cut", "hours": "1 h"} | wrong)


def test_spending_is_for_one_thing_or_overhead(slabs):
    enter("note_spending", what="chain", amount="31.50 USD", kind="machine", about="log 1")
    enter("note_spending", what="insurance", amount="240", kind="overhead", months=12, spent_on="2026-01-01")
    chain, rest = Spending.objects.order_by("created_at")
    assert (chain.amount_minor, chain.log.number, chain.slab) == (3150, 1, None)
    assert (rest.months, rest.log) == (12, None)
    line = done("note_spending", what="oil", amount="9 USD").entry
    enter("undo_entry", entry=str(line.order))
    assert Spending.objects.count() == 2
    with pytest.raises(BadValue, match="USD, the currency"):
        enter("note_spending", what="oil", amount="9 EUR")
    enter("add_contact", name="x")
    with pytest.raises(BadValue, match="log, a stack"):
        enter("note_spending", what="oil", amount="9 USD", about="contact x")


def test_a_listing_keeps_every_price_it_bore(slabs):
    enter("list_slab", slab="1-1", asking="600 USD", where="gate", from_on="2026-01-10", reference="550")
    enter("list_slab", slab="1-1", asking="560", where="gate", from_on="2026-03-01")
    enter("list_slab", slab="1-1", asking="540", where="gate", from_on="2026-03-01")
    enter("list_slab", slab="1-1", asking="580", where="fair", from_on="2026-04-01")
    gate = Listing.objects.get(where="gate")
    assert [(a.from_on, a.asked_minor) for a in gate.asked.all()] == [
        (DAY(2026, 1, 10), 60000), (DAY(2026, 3, 1), 54000),
    ]  # fmt: skip
    assert gate.reference_minor == 55000
    assert Slab.objects.get(number=1).asking_minor == 58000
    with pytest.raises(BadValue, match="from_on"):
        enter("list_slab", slab="1-1", asking="500", where="gate", from_on="2026-02-01")
    enter("withdraw_slab", slab="1-1", where="gate", ended_on="2026-05-01", why="cupped")
    kept = Listing.objects.get(where="gate")
    assert (kept.ends_on, kept.end, kept.note) == (DAY(2026, 5, 1), "withdrawn", "cupped")
    with pytest.raises(BadValue, match="up for sale"):
        enter("withdraw_slab", slab="1-1", where="gate")
    with pytest.raises(BadValue, match="another slab"):
        enter("list_slab", slab="1-2", asking="1", partner="1-2")


def test_a_price_by_the_rack_holds_where_the_slab_is_listed(slabs):
    enter("list_slab", slab="1-1", asking="600 USD", from_on="2026-01-10")
    enter("price_slab", slab="1-1", asking="500 USD")
    assert [a.asked_minor for a in Asked.objects.order_by("from_on")] == [60000, 50000]


def test_a_sale_ends_the_listing_and_takes_the_slab_out_of_stock(slabs):
    enter("add_contact", name="Mara Quill")
    enter("build_stack", name="A", built_on="2025-12-01", slabs=["1-1"])
    for where in ("gate", "fair"):
        enter("list_slab", slab="1-1", asking="600 USD", where=where, from_on="2026-01-10")
    line = done(
        "sell_slab", slab="1-1", price="520", sold_on="2026-03-01", buyer="mara quill", where="fair",
        use="Table",
    ).entry  # fmt: skip
    sale, slab = Sale.objects.get(), Slab.objects.get(number=1)
    assert (sale.price_minor, sale.buyer.name, sale.dried, sale.flattened, sale.use) == (
        52000, "Mara Quill", "green", False, "table",
    )  # fmt: skip
    assert (slab.state, slab.stack) == ("sold", None)
    assert dict(Listing.objects.values_list("where", "end")) == {"gate": "withdrawn", "fair": "sold"}
    with pytest.raises(BadValue, match="sold"):
        enter("sell_slab", slab="1-1", price="1")
    enter("undo_entry", entry=str(line.order))
    assert Slab.objects.get(number=1).stack.name == "A"
    assert not Listing.objects.exclude(end="").exists()
    with pytest.raises(BadValue, match="where it is listed"):
        enter("sell_slab", slab="1-1", price="1", where="moon")


def test_how_dry_it_was_sold_follows_from_the_book(slabs):
    enter("resize_slab", slab="1-1", state="dry", thickness="75 mm")
    enter("keep_profile", kind="kiln", name="box", table={})
    enter("load_kiln", slabs=[{"slab": "1-2"}])
    enter("start_load", load="1", started="2026-05-01")
    enter("end_load", load="1", ended="2026-06-01")
    for number, dried in ((1, "air dried"), (2, "kiln dried"), (3, "green")):
        assert enter("sell_slab", slab=f"1-{number}", price="100 USD").dried == dried


def test_offers_stand_until_they_are_answered(slabs):
    offer = enter("note_offer", slab="1-1", amount="450 USD", made_on="2026-03-01", good_until="2026-03-15")
    assert (offer.answer, offer.amount_minor) == ("open", 45000)
    enter("answer_offer", offer=str(offer.pk), answer="refused", answered_on="2026-03-02")
    assert Offer.objects.get().answered_on == DAY(2026, 3, 2)
    for wrong in ({"good_until": "2026-02-01"}, {"amount": "many"}, {"slab": "1-9"}):
        said = {"slab": "1-1", "amount": "450", "made_on": "2026-03-01"} | wrong
        with pytest.raises(BadValue):
            enter("note_offer", **said)
    with pytest.raises(BadValue, match="an offer"):
        enter("answer_offer", offer="x", answer="taken")


def test_a_price_in_other_money_needs_a_dated_rate(slabs):
    enter("note_comparable", source="a fair", price="700 USD", **OAK)
    other = {"source": "a yard", "price": "600 EUR", "seen_on": "2026-06-01", **OAK}
    for wrong in (
        {},
        {"exchange": "1 EUR = 1.10 USD"},
        {"exchange": "1 GBP = 1.10 USD", "exchange_on": "2026-06-01"},
        {"exchange": "1 EUR = 1.10 GBP", "exchange_on": "2026-06-01"},
        {"price": "0 USD"},
        {"width": "50"},
    ):
        with pytest.raises(BadValue):
            enter("note_comparable", **other | wrong)
    enter("note_comparable", **other, exchange="1 EUR = 1.10 USD", exchange_on="2026-06-01")
    enter(
        "note_comparable", **other, exchange="1 USD = 0.80 EUR", exchange_on="2026-06-02", dried="kiln dried"
    )
    kept = [(c.price_minor, c.currency, c.rate) for c in Comparable.objects.order_by("created_at")]
    assert kept == [(70000, "USD", None), (60000, "EUR", 1.10), (60000, "EUR", 1.25)]
    assert Comparable.objects.first().species == "Northern red oak"


def test_a_rate_of_lumber_is_kept_with_its_source():
    rate = enter(
        "note_lumber", species="red oak", thickness="8/4", rate="5.50 USD per bf", source="invented",
        dried="green",
    )  # fmt: skip
    # A board foot is 144 in3, 0.002359737 m3 (NIST SP 811, 2008, appendix B.8).
    assert rate.price_per_m3 == pytest.approx(5.50 / 0.002359737, rel=1e-6)
    with pytest.raises(BadValue, match="USD, the currency"):
        enter("note_lumber", species="red oak", thickness="8/4", rate="5 EUR per bf", source="invented")


def test_costs_and_kilns_are_read_before_they_are_kept():
    costs = {
        "saw": "1800 USD",
        "chain": "30",
        "fuel": "2.00 per l",
        "km": "0.60 per km",
        "wage": "240 per day",
    }
    assert enter("keep_profile", kind="costs", name="mine", table=costs).usual
    with pytest.raises(BadValue, match="wage"):
        enter("keep_profile", kind="costs", name="other", table={**costs, "wage": "a lot"})
    with pytest.raises(BadValue, match="USD"):
        enter("keep_profile", kind="costs", name="other", table={**costs, "saw": "1800 EUR"})
    with pytest.raises(BadValue, match="spray"):
        enter("keep_profile", kind="kiln", name="box", table={"spray": "maybe"})


def test_what_was_said_of_a_log_on_offer_is_read_before_it_is_kept():
    enter("take_log", name="lane log", species="red oak")
    call = {"girth": "2.4 m", "length": "4 m to 4.4 m", "distance": "35 km", "asked": "150 USD"}
    assert enter("ask_worth", log="1", call=call).worth == call
    for wrong in ({"girth": "2.4"}, {"distance": None}, {"colour": "red"}, {"asked": "150 EUR"}):
        with pytest.raises(BadValue):
            enter("ask_worth", log="1", call=call | wrong)

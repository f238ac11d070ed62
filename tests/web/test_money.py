"""The pages of money: a verdict, costs and their shares, a price and its reasons, sales, offers."""

from __future__ import annotations

import datetime
import io
import re
from typing import Any
from urllib.parse import urlencode

import pytest
from django.test import Client
from pypdf import PdfReader

from pithline.log.volume import volume_by_integration
from pithline.log.written import TOP_IS_WIDER, from_table
from pithline.money.cost.joint_cost import WAYS
from pithline.units import BOARD_FOOT, INCH
from pithline.web.money.beside import beside
from pithline.web.money.known_prices import known_prices
from pithline.web.money.log_sum import log_sum
from pithline.web.money.slab_sum import slab_sum
from pithline.web.money.till_dry import till_dry
from pithline.web.money.waiting import held, terms_of
from pithline.web.plan.warming import warmed
from pithline.yard.cost_facts import usual_costs
from pithline.yard.models import Comparable, Listing, Log, Offer, Profile, Sale, Slab
from tests.book import enter

COSTS = {
    "saw": "1900 USD",
    "chain": "38 USD",
    "fuel": "2.00 per l",
    "km": "0.60 per km",
    "wage": "240 per day",
}
CALL = {
    "said": "1",
    "call.species": "northern red oak",
    "call.girth": "2.5 m",
    "call.length": "4 m",
    "call.distance": "38 km",
    "call.lumber": "4.20 per bf",
    "rates.rate": "16 USD per bf",
    "aims.thickness": "12/4\n8/4",
    **{f"costs.{name}": value for name, value in COSTS.items()},
}
HTMX = {"hx-request": "true", "hx-current-url": "http://localhost/money/"}
TODAY = datetime.date(2025, 11, 20)


@pytest.fixture
def stock() -> Log:
    """A sawn log of three slabs, one of them cut in two, with work, money, a listing and prices seen."""
    log: Log = enter("take_log", name="hollow oak", species="northern red oak")
    enter("decide_log", log="1", decision="take")
    enter("build_stack", name="left", built_on="2025-01-02")
    for thick, width in (("2 in", "30 cm"), ("80 mm", "50 cm"), ("80 mm", "46 cm")):
        enter(
            "tally_slab", log="1", thickness=thick, length="3 m", widths=[f"0 m: {width}", f"3 m: {width}"],
            sawn_on="2025-01-01", stack="left",
        )  # fmt: skip
    enter("keep_profile", kind="costs", name="mine", table=COSTS, usual=True)
    enter("note_work", kind="cut", about="log 1", hours="5 h", people=2, saw="2 h", fuel="6 l")
    enter("note_spending", what="the log", amount="200 USD", kind="wood", about="log 1")
    for dried, price in (("green", "180 USD"), ("air dried", "260 USD")):
        enter(
            "note_comparable", source="invented: a neighbour", price=price, paid=True, dried=dried,
            species="northern red oak", thickness="80 mm", width="48 cm", length="3 m", seen_on="2025-06-01",
        )  # fmt: skip
    return log


def text(answer: Any) -> str:
    page = re.sub(r"<svg.*?</svg>", " ", answer.content.decode(), flags=re.S)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page)).replace("&#x27;", "'")


def printed(answer: Any) -> str:
    (page,) = PdfReader(io.BytesIO(answer.content)).pages
    return " ".join(page.extract_text().split())


def slab(label: str) -> Slab:
    log, number = label.split("-")
    return Slab.objects.get(log__number=log, number=number, suffix="")


class TestWorthIt:
    def test_it_says_what_is_still_needed_before_it_judges(self, client: Client) -> None:
        page = text(client.get("/money/worth/"))
        assert "Still needed for an answer: the species, the girth, the length, the distance" in page

    def test_a_call_gets_a_verdict_its_reasons_and_its_ways(self, client: Client) -> None:
        assert warmed(300.0, everything=True)
        page = text(client.get(f"/money/worth/?{urlencode(CALL)}"))
        for words in ("Not yet: ", "chance that it leaves anything", "Most to pay the owner", "Quarter it",
                      "Square-edged lumber", "All 8/4", "No tax, legal or investment advice"):  # fmt: skip
            assert words in page
        assert "Ask before a yes" in page
        ticked = CALL | {f"call.{n}": "yes" for n in ("permission", "tree_protection", "plant_movement")}
        page = text(client.get(f"/money/worth/?{urlencode(ticked)}", headers=HTMX))
        assert "Yes: go and mill it." in page
        assert "Ask before a yes" not in page
        poor = text(
            client.get(f"/money/worth/?{urlencode(CALL | {'rates.rate': '2 USD per bf'})}", headers=HTMX)
        )
        assert "No: half of all guesses" in poor
        assert "Ask before a yes" not in poor

    def test_the_chart_of_doubts_comes_after_the_answer(self, client: Client) -> None:
        assert warmed(300.0, everything=True)
        answer = client.get(f"/money/worth/doubts/?{urlencode(CALL)}", headers=HTMX)
        page = answer.content.decode()
        assert "<svg" in page
        assert "quality" in page
        assert "style=" not in page

    def test_the_answer_goes_along_on_paper(self, client: Client) -> None:
        assert warmed(300.0, everything=True)
        page = client.get(f"/money/worth/?{urlencode(CALL)}").content.decode()
        (link,) = re.findall(r'href="(/money/worth/offer.pdf[^"]*)"', page)
        answer = client.get(link.replace("&amp;", "&"))
        assert answer["content-type"] == "application/pdf"
        paper = printed(answer)
        for words in ("Log on offer", "Not yet: ", "Ask and tick before a yes", "offer made", "Most to pay"):
            assert words in paper
        # Without an answer there is no paper, but the page that says why.
        assert "Still needed for an answer" in text(client.get("/money/worth/offer.pdf"))
        wrong = client.get(f"/money/worth/offer.pdf?{urlencode(CALL | {'call.girth': '2.5'})}")
        assert wrong.status_code == 422
        assert "A number alone could be any unit" in text(wrong)

    def test_a_refused_figure_stands_beside_its_field_and_is_cleared_again(self, client: Client) -> None:
        assert warmed(300.0, everything=True)
        wrong = client.get(f"/money/worth/?{urlencode(CALL | {'call.girth': '2.5'})}", headers=HTMX)
        assert wrong.status_code == 422
        page = wrong.content.decode()
        assert 'hx-swap-oob="true"' in page
        assert 'name="refused" value="call.girth"' in page
        assert "A number alone could be any unit" in page
        right = client.get(f"/money/worth/?{urlencode(CALL | {'refused': 'call.girth'})}", headers=HTMX)
        assert right.status_code == 200
        assert 'name="call.girth"' in right.content.decode()

    def test_a_call_is_entered_as_a_log_once_and_is_kept_with_it(self, client: Client) -> None:
        sent = {
            "words": urlencode(CALL),
            "name": "ridge oak",
            "_entry": "0198b1f0-0000-7000-8000-000000000001",
        }
        for _ in range(2):  # a double tap
            answer = client.post("/money/worth/enter/", sent)
            assert answer.status_code == 303
            assert answer["location"] == "/logs/1/"
        assert Log.objects.count() == 1
        assert Log.objects.get().worth["girth"] == "2.5 m"
        page = text(client.get("/money/worth/1/"))
        assert "ridge oak" in page
        assert "Still needed for an answer: what slabs bring" in page

    def test_a_measured_log_needs_no_girth_and_keeps_its_ticks(self, client: Client, demo_log: Log) -> None:
        assert warmed(300.0, everything=True)
        words = {n: v for n, v in CALL.items() if n not in ("call.species", "call.girth", "call.length")}
        page = client.get(f"/money/worth/1/?{urlencode(words)}")
        assert page.status_code == 200
        assert 'name="call.girth"' not in page.content.decode()
        kept = {"words": urlencode(words | {"call.permission": "yes"})}
        assert client.post("/money/worth/1/keep/", kept)["location"] == "/money/worth/1/"
        demo_log.refresh_from_db()
        assert demo_log.worth["permission"] is True
        assert "girth" not in demo_log.worth

    def test_drying_is_forecast_where_the_book_knows_the_place(self, client: Client) -> None:
        assert warmed(300.0, everything=True)
        page = text(client.get(f"/money/worth/?{urlencode(CALL)}"))
        assert "Drying is taken at a year an inch" in page
        enter("add_place", name="barn bay", kind="shed")
        enter("set_months", place="barn bay", like="Pittsburgh")
        page = text(client.get(f"/money/worth/?{urlencode(CALL)}"))
        assert "Drying is forecast: " in page
        assert "at barn bay, stacked in any season. A year an inch would be " in page
        there = text(client.get(f"/money/worth/?{urlencode(CALL | {'call.dries_at': 'Chicago'})}"))
        assert "at Chicago" in there
        wrong = client.get(f"/money/worth/?{urlencode(CALL | {'call.dries_at': 'Atlantis'})}")
        assert wrong.status_code == 422
        assert "a place of the shipped table" in text(wrong)

    def test_there_is_no_page_about_a_log_that_is_not_there(self, client: Client) -> None:
        assert client.get("/money/worth/9/").status_code == 404
        assert client.get("/money/log/9/").status_code == 404
        assert client.get("/money/slab/9-1/").status_code == 404


class TestCosts:
    def test_five_answers_are_enough_and_every_step_is_shown(self, client: Client) -> None:
        page = text(client.get("/money/costs/"))
        assert "Keep these five" in page
        assert "Depreciation" not in page
        answer = client.post("/money/costs/", {f"costs.{name}": value for name, value in COSTS.items()})
        assert answer.status_code == 303
        page = text(client.get("/money/costs/"))
        # (1900 - 380) over the years that 1,000 working hours last at 300 a year
        assert "456.00 USD a year" in page
        assert "guess" in page
        assert "GTR NC-55" in page
        assert "from memory" in page

    def test_changed_answers_leave_what_else_was_said_of_costs(self, client: Client) -> None:
        table = COSTS | {"space": "4 per m3 and month"}
        enter("keep_profile", kind="costs", name="mine", table=table, usual=True)
        sent = {f"costs.{name}": value for name, value in COSTS.items()} | {"costs.saw": "2400 USD"}
        client.post("/money/costs/", sent)
        assert Profile.objects.get(kind="costs").table == table | {"saw": "2400 USD"}

    def test_a_refused_answer_stands_beside_its_field(self, client: Client) -> None:
        sent = {f"costs.{name}": value for name, value in COSTS.items()} | {"costs.fuel": "2.00"}
        answer = client.post("/money/costs/", sent)
        assert answer.status_code == 422
        assert "aria-invalid" in answer.content.decode()

    def test_every_way_adds_back_to_what_the_log_cost(self, client: Client, stock: Log) -> None:
        costs = usual_costs()
        assert costs is not None
        made = log_sum(stock, costs.value, known_prices(TODAY))
        # 10 hours at 240 a day of 8 h with 20 % on top, and the log; the saw comes besides
        assert dict(made.made.lines)["labour: cut"] == pytest.approx(360)
        assert dict(made.made.lines)["the log"] == 200
        for n, way in enumerate(WAYS):
            shares = [row.shares[n] for row in made.shared]
            assert sum(share for share in shares if share is not None) == pytest.approx(made.made.total), way
        page = text(client.get("/money/log/1/"))
        assert f"{made.made.total:.2f} USD" in page
        for way in WAYS:
            assert way.capitalize() in page

    def test_hours_and_money_are_written_down_on_the_logs_page(self, client: Client, stock: Log) -> None:
        sent = {"kind": "carry", "hours": "3 h", "people": "2"}
        assert client.post("/money/log/1/note_work/", sent)["location"] == "/money/log/1/"
        assert client.post("/money/log/1/note_work/", sent | {"hours": "3"}).status_code == 422
        assert "carrying, 3 h × 2" in text(client.get("/money/log/1/"))
        assert client.get("/money/log/1/sell_slab/").status_code == 404

    def test_what_it_gave_beside_its_slabs_comes_off_first(self, client: Client, stock: Log) -> None:
        costs, known = usual_costs(), known_prices(TODAY)
        assert costs is not None
        before = log_sum(stock, costs.value, known)
        assert (before.beside.lines, before.net) == ((), before.made.total)
        said = {"distance": "38 km", "blanks": 2, "blank_price": "15 USD", "opening": "30 USD",
                "firewood": "50 per m3"}  # fmt: skip
        enter("ask_worth", log="1", call={"girth": "2.5 m", "length": "4 m", **said})
        made = log_sum(Log.objects.get(number=1), costs.value, known)
        # Nobody measured it: no firewood.
        assert dict(made.beside.lines) == {"opening slab": 30, "blanks": 30}
        assert made.net == pytest.approx(made.made.total - 60)
        for way in made.ways[:3]:
            if way.shares:
                assert sum(way.shares) == pytest.approx(made.net)
        page = text(client.get("/money/log/1/"))
        assert "Less blanks −30.00 USD" in page
        assert f"Shared {made.net:.2f} USD" in page
        # By-products never make a slab cost less than nothing.
        enter("ask_worth", log="1", call={"girth": "2.5 m", "length": "4 m", **said, "opening": "5000 USD"})
        assert log_sum(Log.objects.get(number=1), costs.value, known).net == 0

    def test_firewood_is_what_is_neither_slab_nor_dust(self, demo_log: Log) -> None:
        enter("tally_slab", log="1", thickness="80 mm", length="3 m", widths=["50 cm"], sawn_on="2025-01-01")
        said = {"distance": "38 km", "firewood": "50 per m3", "firewood_share": "60 %"}
        enter("ask_worth", log="1", call=said)
        found = beside(Log.objects.get(number=1), 0.08 * 0.5 * 3)
        # Under bark by the integral of its sections, as `pithline log` tells it.
        whole = volume_by_integration(from_table(demo_log.record, {TOP_IS_WIDER}).to_shape())
        assert dict(found.lines) == pytest.approx({"firewood": 50 * 0.6 * (whole - 0.12)})

    def test_pieces_of_a_cut_slab_bear_its_share_between_them(self, stock: Log) -> None:
        costs, known = usual_costs(), known_prices(TODAY)
        assert costs is not None
        whole = dict(slab_sum(slab("1-2"), costs.value, known, TODAY, "volume").by_ways)["volume"]
        enter("split_slab", slab="1-2", way="cross", at="1 m")
        parts = [
            dict(slab_sum(piece, costs.value, known, TODAY, "volume").by_ways)["volume"]
            for piece in Slab.objects.filter(number=2).exclude(suffix="")
        ]
        assert len(parts) == 2
        assert sum(part or 0.0 for part in parts) == pytest.approx(whole)

    def test_a_stacks_cost_is_shared_over_all_that_lay_in_it(self, stock: Log) -> None:
        enter("note_spending", what="stickers", amount="60 USD", kind="stack", about="stack left")
        costs, known = usual_costs(), known_prices(TODAY)
        assert costs is not None
        spent = [
            dict(slab_sum(slab(f"1-{n}"), costs.value, known, TODAY, "volume").made.spent) for n in (1, 2, 3)
        ]
        shares = [each["stack left, by volume and days"] for each in spent]
        assert sum(shares) == pytest.approx(60)
        assert shares[1] / shares[2] == pytest.approx(50 / 46)


class TestWhatToAsk:
    def test_a_price_comes_with_its_range_its_sales_and_its_floor(self, client: Client, stock: Log) -> None:
        page = text(client.get("/money/slab/1-2/?dried=air+dried"))
        assert "Priced as air dried, which it is not yet" in page
        assert "these sales, carried over by custom" in page
        assert "invented: a neighbour" in page
        assert "Floor now" in page
        assert "Full cost" in page
        assert "No tax, legal or investment advice" in page

    def test_without_a_like_sale_a_rate_of_ones_own_is_built_up(self, client: Client, stock: Log) -> None:
        Comparable.objects.all().delete()
        enter("write_note", about="slab 1-2", text="prices are read anew after an entry")
        page = text(client.get("/money/slab/1-2/"))
        assert "no price can be suggested" in page
        page = text(client.get("/money/slab/1-2/?rate=4+per+bf"))
        assert "Your rate of a plain green 1 in board" in page
        assert "× 1.582" in page

    def test_it_is_listed_repriced_offered_for_and_sold(self, client: Client, stock: Log) -> None:
        def do(kind: str, **said: str) -> None:
            answer = client.post(f"/money/slab/1-2/do/{kind}/", said)
            assert answer.status_code == 303, text(answer)

        assert client.get("/money/slab/1-2/do/withdraw_slab/").status_code == 404  # it is not up
        do("list_slab", asking="320 USD", where="gate", reference="300 USD", from_on="2025-06-01")
        do("list_slab", asking="290 USD", where="gate", from_on="2025-09-01")
        do("note_offer", amount="240 USD", made_on="2025-11-01")
        page = text(client.get("/money/"))
        assert "320.00 USD" in page
        assert "290.00 USD" in page
        assert "240.00 USD" in page
        do("answer_offer", answer="taken")
        do("sell_slab", price="250 USD", sold_on="2025-11-02")
        assert Offer.objects.get().answer == "taken"
        assert Sale.objects.get().price_minor == 25000
        assert Listing.objects.get().end == "sold"
        page = text(client.get("/money/slab/1-2/"))
        assert "Sold on 2 Nov 2025 for 250.00 USD" in page
        assert "It is sold" not in page

    def test_a_refused_sale_keeps_what_was_typed(self, client: Client, stock: Log) -> None:
        answer = client.post("/money/slab/1-2/do/sell_slab/", {"price": "1,200"}, headers=HTMX)
        assert answer.status_code == 422
        assert 'value="1,200"' in answer.content.decode()

    def test_waiting_is_told_with_ranges_and_a_path(self, client: Client, stock: Log) -> None:
        enter("list_slab", slab="1-2", asking="320 USD", reference="300 USD", from_on="2025-06-01")
        enter("note_offer", slab="1-2", amount="20 USD")
        answer = client.get("/money/slab/1-2/waiting/", headers=HTMX)
        page = text(answer)
        for words in ("Best price", "Months till it sells", "Least offer to accept",
                      "less than waiting brings", "does not pass", "So few sales say little"):  # fmt: skip
            assert words in page
        assert "<svg" in answer.content.decode()
        assert "ten years at most" in text(client.get("/money/slab/1-2/waiting/?by=2525-01-01"))
        assert "as there is no forecast" in page
        assert "What to ask" in text(client.get("/rack/1-2/"))
        assert "Reasons, cost, waiting, sale" in text(client.get("/money/slab/1-2/part/", headers=HTMX))

    def test_all_of_it_stands_on_one_page_for_the_seller(self, client: Client, stock: Log) -> None:
        enter("list_slab", slab="1-2", asking="320 USD", reference="300 USD", from_on="2025-06-01")
        page = client.get("/money/slab/1-2/").content.decode()
        assert 'href="/money/slab/1-2/price.pdf"' in page
        answer = client.get("/money/slab/1-2/price.pdf")
        assert answer["content-type"] == "application/pdf"
        paper = printed(answer)
        waiting = text(client.get("/money/slab/1-2/waiting/", headers=HTMX))
        for words in (
            "Best price",
            "An offer beats waiting",
            "Least offer to accept",
            "So few sales say little",
        ):
            assert words in paper
            assert words in waiting
        for words in (
            "For the seller's eyes",
            "Floor now",
            "Full cost",
            "80 mm",
            "not measured",
            "320.00 USD",
        ):
            assert words in paper
        wrong = client.get("/money/slab/1-2/price.pdf?by=yesterday")
        assert wrong.status_code == 422
        assert "2026-05-01" in text(wrong)
        enter("read_meter", slab="1-2", meter="pin", depth="10 mm", shown="24 %", read_on="2025-10-01")
        assert "meter 24 % at 10 mm, uncorrected, 1 Oct 2025" in printed(
            client.get("/money/slab/1-2/price.pdf")
        )
        enter("sell_slab", slab="1-2", price="250 USD", sold_on="2025-11-02")
        assert client.get("/money/slab/1-2/price.pdf").status_code == 404

    def test_paper_waits_for_what_is_still_worked_out(self, client: Client, monkeypatch: Any) -> None:
        enter("take_log", name="hollow oak", species="northern red oak")
        enter("decide_log", log="1", decision="take")
        widths = ["0 m: 50 cm", "3 m: 44 cm"]
        enter("tally_slab", log="1", thickness="80 mm", length="3 m", widths=widths, sawn_on="2025-01-01")
        enter(
            "note_lumber", species="northern red oak", thickness="8/4", rate="6 USD per bf",
            dried="green", source="invented: a yard", seen_on="2025-06-01",
        )  # fmt: skip
        monkeypatch.setattr("pithline.web.money.as_lumber.warmed", lambda *_, **__: False)
        answer = client.get("/money/slab/1-1/price.pdf?rate=4+per+bf")
        assert answer["refresh"] == "3"
        assert "made ready" in text(answer)
        assert "What to ask for slab 1-1" in text(answer)

    def test_green_or_dry_rests_on_the_forecast_of_its_stack(self, client: Client, stock: Log) -> None:
        enter("add_place", name="barn bay", kind="shed")
        enter("set_months", place="barn bay", like="Pittsburgh")
        enter("build_stack", name="bay", place="barn bay", built_on="2025-01-02")
        enter("move_slab", slabs=["1-2"], stack="bay", moved_on="2025-01-02")
        page = text(client.get("/money/slab/1-2/waiting/", headers=HTMX))
        assert "forecast to 20 %" in page
        assert "a year an inch, as people say, would leave" in page
        low, mid, high = till_dry(slab("1-2"), TODAY).months
        assert low < mid < high

    def test_the_path_comes_down_and_needs_less_where_more_is_left_otherwise(self, stock: Log) -> None:
        costs, known = usual_costs(), known_prices(TODAY)
        assert costs is not None
        terms = terms_of(costs.value, 0.1, 300.0)
        day = datetime.timedelta(days=365)
        how: dict[str, Any] = {"asked": None, "cost": 200.0, "paired": False}
        poor = held(known.learned, 300.0, terms, TODAY, TODAY + day, "USD", salvage=0.0, **how)
        rich = held(known.learned, 300.0, terms, TODAY, TODAY + day, "USD", salvage=150.0, **how)
        middle = [tag.asked[1] for tag in poor.tags]
        assert middle == sorted(middle, reverse=True)
        assert middle[-1] < middle[0]
        assert all(r.asked[1] > p.asked[1] for r, p in zip(rich.tags, poor.tags, strict=True))
        assert all(tag.asked[0] <= tag.asked[1] <= tag.asked[2] for tag in poor.tags)


class TestPrices:
    def test_under_ten_sales_they_are_shown_and_from_ten_on_fitted(self, client: Client, stock: Log) -> None:
        page = text(client.get("/money/prices/"))
        assert "shown, not fitted" in page
        assert "invented: a neighbour" in page
        for n in range(9):
            enter(
                "note_comparable", source="invented: a list", price=f"{200 + 20 * n} USD", paid=True,
                dried="air dried", species="northern red oak", thickness="80 mm", width=f"{44 + n} cm",
                length="3 m", seen_on="2025-06-01",
            )  # fmt: skip
        page = text(client.get("/money/prices/"))
        assert "Fitted to 11 sales" in page
        assert "your own, seen in" in page
        assert "common practice, no source" in page
        assert "by a fit to known sales (10 like it)" in text(client.get("/money/slab/1-2/?dried=air+dried"))

    def test_thickness_is_argued_by_the_forecast_of_its_drying(self, client: Client, stock: Log) -> None:
        assert warmed(300.0, everything=True)
        Comparable.objects.all().delete()
        costs = COSTS | {"space": "4 per m3 and month"}
        enter("keep_profile", kind="costs", name="mine", table=costs, usual=True)
        assert "argue for" not in text(client.get("/money/slab/1-2/?rate=4+per+bf"))
        enter("add_place", name="barn bay", kind="shed")
        enter("set_months", place="barn bay", like="Pittsburgh")
        page = text(client.get("/money/slab/1-2/?rate=4+per+bf"))
        found = re.search(r"argue for × ([\d.]+) by its thickness: (\d+) months at barn bay", page)
        assert found
        thin = re.search(r"against (\d+) for an inch", page)
        assert thin
        # By hand: rent of a board foot and 8 % on 4 USD of green worth, over those months.
        bills = [4 * m * BOARD_FOOT + 4 * (1.08 ** (m / 12) - 1) for m in (int(found[2]), int(thin[1]))]
        assert float(found[1]) == pytest.approx((4 + bills[0]) / (4 + bills[1]), abs=0.02)

    def test_prices_seen_elsewhere_are_noted_with_their_source(self, client: Client, stock: Log) -> None:
        sent = {
            "source": "invented: a yard", "price": "520 USD", "species": "northern red oak",
            "thickness": "10/4", "width": "50 cm", "length": "2.6 m", "dried": "kiln dried",
        }  # fmt: skip
        before = Comparable.objects.count()
        assert client.post("/money/prices/note_comparable/", sent)["location"] == "/money/prices/"
        assert Comparable.objects.count() == before + 1
        assert client.post("/money/prices/note_comparable/", sent | {"source": ""}).status_code == 422
        lumber = {"species": "northern red oak", "thickness": "8/4", "rate": "5.60 USD per bf",
                  "dried": "air dried", "source": "invented: a list"}  # fmt: skip
        assert client.post("/money/prices/note_lumber/", lumber).status_code == 303
        assert warmed(300.0, everything=True)
        page = text(client.get("/money/slab/1-2/?dried=air+dried"))
        # 50 cm all along: 12 + 7 in and a kerf are 487 mm, no choice of whole inches takes more.
        assert "ripped into 2 boards, " in page
        feet = 19 * INCH * 3.0 * 0.08 / BOARD_FOOT
        assert f"{feet:.0f} bf, {100 * 19 * INCH / 0.5:.0f} % of the tally, at 5.60 per bf" in page
        assert client.get("/money/prices/sell_slab/").status_code == 404

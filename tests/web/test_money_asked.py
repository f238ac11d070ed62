"""What a slab may be asked, why, and how long it can be held, on its page."""

from __future__ import annotations

import datetime
from typing import Any

from django.test import Client

from pithline.web.money.known_prices import known_prices
from pithline.web.money.till_dry import till_dry
from pithline.web.money.waiting import held, terms_of
from pithline.yard.cost_facts import usual_costs
from pithline.yard.models import Comparable, Listing, Log, Offer, Sale
from tests.book import enter
from tests.web.money_book import HTMX, TODAY, printed, slab, text


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

"""The page that judges a log on offer."""

from __future__ import annotations

import re
from urllib.parse import urlencode

from django.test import Client

from pithline.web.plan.warming import warmed
from pithline.yard.models import Log
from tests.book import enter
from tests.web.money_book import CALL, HTMX, printed, text


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

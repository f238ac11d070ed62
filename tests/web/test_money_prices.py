"""Sales, comparables and the premiums fitted to them, on the pages."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from pithline.units import BOARD_FOOT, INCH
from pithline.web.plan.warming import warmed
from pithline.yard.models import Comparable, Log
from tests.book import enter
from tests.web.money_book import COSTS, text


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

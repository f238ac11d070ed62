"""Costs and their shares on the pages."""

from __future__ import annotations

import pytest
from django.test import Client

from pithline.log.volume import volume_by_integration
from pithline.log.written import TOP_IS_WIDER, from_table
from pithline.money.cost.joint_cost import WAYS
from pithline.web.money.beside import beside
from pithline.web.money.known_prices import known_prices
from pithline.web.money.log_sum import log_sum
from pithline.web.money.slab_sum import slab_sum
from pithline.yard.cost_facts import usual_costs
from pithline.yard.models import Log, Profile, Slab
from tests.book import enter
from tests.web.money_book import COSTS, TODAY, slab, text


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

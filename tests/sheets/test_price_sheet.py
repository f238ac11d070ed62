"""A slab's price on paper, read back from the PDF: for the seller, one page, the page's own words."""

from __future__ import annotations

import datetime
import io
import re

import pypdf
import pytest

from pithline.money.cost.slab_cost import slab_cost
from pithline.money.hold.listing_range import learn, outlook
from pithline.money.hold.posted import Terms
from pithline.money.price.asking import asking
from pithline.money.price.piece import Dried, Piece, Sale
from pithline.money.price.plain import by_share
from pithline.sheets.cost_words import NEVER_BELOW, cost_rows
from pithline.sheets.hold_words import (
    green_row,
    hold_rows,
    learned_from,
    limit_rows,
    offer_row,
    other_use_row,
    pair_row,
    said_day,
)
from pithline.sheets.price_sheet import FOR_THE_SELLER, Hold, PriceSheet, price_sheet
from pithline.sheets.price_words import ADVICE, priced_lines

PIECE = Piece("Northern red oak", 0.08, 0.5, 3.0, 0.12, Dried.AIR)
DAY = datetime.date(2026, 3, 1)
COST = slab_cost({"its share of the log": 139.2, "stack": 19.42}, {"selling": 47.25},
                 {"plain lumber": 180.3}, volume=0.12, month_share=0.01)  # fmt: skip


def text(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def sheet_of(rate: float | None = 4.0, name: str = "14-3", system: str = "metric") -> PriceSheet:
    sales = [] if rate else [Sale("6-2", PIECE, 300.0, DAY)]
    plain = by_share(PIECE, 6.1)
    lines = priced_lines(PIECE, asking(PIECE, sales, rate), plain, "USD", system)
    learned = learn(None)
    held = outlook(learned, 300.0, Terms.of(47.0, 2.0, 0.006), 12.0)
    rows = (
        *hold_rows(held, held, "by 1 Mar 2027", "USD"),
        *limit_rows(DAY, (235.0, 269.0, 474.0), held.worth + 47, "USD"),
        *other_use_row(COST.other_use, held.worth, "USD"),
    )
    tags = tuple((said_day(DAY + datetime.timedelta(days=45 * n)), "268", "302", "414") for n in range(8))
    return PriceSheet(
        f"What to ask for slab {name}",
        (("Wood", "Northern red oak, 12/4"), ("State", "drying"), ("Moisture", "not measured")),
        cost=cost_rows(COST, "USD", 3.33, "space and months"),
        cost_told=("By-products at the prices said.",),
        lines=lines,
        whence="invented: a yard, 2025-09-01",
        price_told=("Priced as air dried, which it is not yet.",),
        hold=Hold(rows, tags, "1 Mar 2027", (learned_from(learned),)),
    )


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("rate", [4.0, None])
def test_all_that_is_known_is_on_one_page(paper, rate):
    sheet = sheet_of(rate)
    (page,) = text(price_sheet(sheet, "USD", paper, "2026-03-01"))
    lines, hold = sheet.lines, sheet.hold
    said = [
        FOR_THE_SELLER,
        ADVICE,
        NEVER_BELOW,
        lines.ask,
        lines.per_foot,
        lines.mid,
        lines.plain,
        "2026-03-01",
    ]
    said += [cell for row in sheet.cost for cell in (row.what, row.amount)]
    said += [cell for row in (*sheet.facts, *hold.rows) for cell in row] + list(hold.told)
    said += (
        [cell for row in lines.reasons for cell in row] if rate else [lines.sales[0][1], lines.sales[0][3]]
    )
    said += [day for day, *_ in hold.tags]
    for each in said:
        assert " ".join(each.split()) in page


def test_what_nobody_knows_is_left_out():
    bare = PriceSheet("a slab", (("Wood", "white ash"),), price_told=("Note a comparable.",))
    (page,) = text(price_sheet(bare, "USD"))
    assert "No price can be suggested." in page
    assert "Note a comparable." in page
    for absent in ("How long it may wait", "What it cost", "Why this price", NEVER_BELOW):
        assert absent not in page


def test_boards_are_told_as_the_reader_measures():
    plain = by_share(PIECE, 6.1)
    from dataclasses import replace

    from pithline.money.price.plain import How

    cut = replace(plain, boards=((0.254, 3.0), (0.0762, 3.0)), how=How.RIPPED)
    made = asking(PIECE, (), 4.0)
    assert '10" + 3" wide' in priced_lines(PIECE, made, cut, "USD", "inch").plain
    assert "254 mm + 76 mm wide" in priced_lines(PIECE, made, cut, "USD", "metric").plain


def test_the_rows_of_its_cost_are_its_sum():
    # 139.20 + 19.42 spent, 47.25 to come, 180.30 as lumber, no fee: by hand.
    rows = {row.what: (row.amount, row.chosen) for row in cost_rows(COST, "USD")}
    assert rows["Spent so far, USD"] == ("158.62", True)
    assert rows["Full cost"] == ("205.87", True)
    assert [amount for what, (amount, _) in rows.items() if what.startswith("Floor now")] == ["227.55"]
    assert not any("overhead" in what for what in rows)


def test_the_choices_are_told_both_ways():
    assert offer_row("190 USD", 136.4, False, "no", "USD")[1] == (
        "190 USD: it leaves 136 USD after selling, less than waiting brings; it does not pass the least offer"
    )
    assert "more than waiting brings; it may pass" in offer_row("300 USD", 250, True, "perhaps", "USD")[1]
    told = green_row((98.0, 121.0, 218.0), (100.0, 128.0, 227.0), 30.0, "23 months till dry", "USD")[1]
    assert told.startswith(
        "green brings 121 USD at today's worth (98 to 218), dry 128 (100 to 227); both are"
    )
    assert "drying takes 30 months more. 23 months till dry" in told
    assert "green is better at once" in green_row((1.0,) * 3, (1.0,) * 3, 0.5, "", "USD")[1]
    assert "once 42 % of the buyers" in pair_row(0.417)[1]
    assert "sell it apart" in pair_row(float("inf"))[1]


def test_a_use_that_leaves_more_than_waiting_is_named():
    assert other_use_row(("plain lumber", 180.3), 165.0, "USD") == [
        ("Its other use", "plain lumber leaves 180 USD, more than waiting brings")
    ]
    assert other_use_row(("plain lumber", 180.3), 190.0, "USD") == []


def test_a_long_name_is_broken_and_not_cut_off():
    pages = pypdf.PdfReader(io.BytesIO(price_sheet(sheet_of(name="W" * 90), "USD"))).pages
    assert len(pages) == 1
    runs = [
        len(run)
        for run in re.findall("W+", pages[0].extract_text().replace("\u200b", "").replace("Wood", ""))
    ]
    # A W is at least 0.9 of its size wide; the title has 11 pt or more, the page 186 mm.
    assert max(runs) * 0.9 * 11 <= 186 / 25.4 * 72

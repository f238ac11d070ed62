"""A suggested price: what it rests on, its floor, and the file it is read from."""

from __future__ import annotations

import copy
import datetime
import math
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from pithline.errors import BadValue
from pithline.money.price.asking import asking
from pithline.money.price.like_sales import ENOUGH
from pithline.money.price.piece import Dried, Piece, Sale
from pithline.money.price.premiums import customary_factor
from pithline.money.price.written import read_sales
from pithline.units import BOARD_FOOT, INCH

DEMO = Path(__file__).parents[2] / "demo" / "sales.toml"
PIECE = Piece("Northern red oak", 2 * INCH, 0.6, 2.4, 0.0731, Dried.KILN)


def sales(count: int, price: float = 300.0) -> list[Sale]:
    """The same piece sold again and again."""
    day = datetime.date(2025, 1, 1)
    return [Sale(f"{n}", PIECE, price * (1 + 0.01 * n), day) for n in range(count)]


def test_nine_like_sales_are_shown_and_ten_are_fitted():
    nine, ten = asking(PIECE, sales(ENOUGH - 1)), asking(PIECE, sales(ENOUGH))
    assert (nine.basis, nine.fit, len(nine.shown), nine.lines) == ("sales", None, 9, ())
    assert nine.brings[1] == pytest.approx(300 * 1.04)
    assert ten.basis == "fit"
    assert ten.fit is not None
    assert ten.shown == ()
    assert ten.brings[1] == pytest.approx(300 * 1.045, rel=0.01)


def test_three_that_agree_by_luck_are_not_sure():
    same = asking(PIECE, sales(3))
    # A scatter of a fifth, as without any sale: at least exp(1.28 x 0.2) = 1.29 to either side.
    assert same.brings[2] / same.brings[1] >= math.exp(1.28 * 0.2)
    assert same.brings[1] / same.brings[0] >= math.exp(1.28 * 0.2)


def test_other_sales_are_not_like():
    day = datetime.date(2025, 1, 1)
    other = [
        Sale("green", replace(PIECE, dried=Dried.GREEN), 200, day),
        Sale("thick", replace(PIECE, thickness=4 * INCH), 900, day),
        Sale("walnut", replace(PIECE, species="Black walnut"), 900, day),
        Sale("asked", PIECE, 900, day, False, True, "invented"),
    ]
    with pytest.raises(BadValue, match="Note a comparable"):
        asking(PIECE, other)
    by_rate = asking(PIECE, other, rate=4.0)
    assert (by_rate.basis, by_rate.like) == ("rate", 0)
    assert by_rate.brings[1] == pytest.approx(4.0 * PIECE.board_feet * customary_factor(PIECE))
    assert by_rate.lines[-1].running * PIECE.board_feet == pytest.approx(by_rate.brings[1])


@pytest.mark.parametrize("floor", [0.0, 305.0, 333.3, 1234.0])
def test_never_under_the_floor(floor):
    found = asking(PIECE, sales(12), floor=floor)
    assert found.price >= floor
    assert found.at_floor is (floor > found.brings[1] * 1.05)


def test_the_demo_reads_and_says_that_it_is_invented():
    text = DEMO.read_text(encoding="utf-8")
    assert "INVENTED" in text.splitlines()[0]
    book = read_sales(tomllib.loads(text))
    assert (book.currency, len(book.sales), len(book.listings)) == ("USD", 33, 18)
    abroad = next(s for s in book.sales if " at 1.08 of 2025-10-04" in s.noted)
    assert abroad.price == pytest.approx(float(abroad.noted.split()[0]) * 1.08)
    found = asking(PIECE, book.sales)
    assert found.basis == "fit"
    assert found.fit is not None
    assert "to a friend" in found.fit.light


def test_lumber_of_the_thickest_stock_that_is_no_thicker():
    book = read_sales(tomllib.loads(DEMO.read_text(encoding="utf-8")))
    row = book.lumber_rate(PIECE)
    assert row is not None
    assert row.rate * BOARD_FOOT == pytest.approx(5.60)
    green = Piece("Northern red oak", 2 * INCH, 0.6, 2.4, 0.0731)
    assert book.lumber_rate(green) is None


def test_lumber_as_dry_as_the_piece_comes_first_and_other_lumber_says_so():
    book = read_sales(tomllib.loads(DEMO.read_text(encoding="utf-8")))
    row = replace(book.lumber[0], species=PIECE.species, thickness=INCH)
    air, kiln = (
        replace(row, dried=Dried.AIR),
        replace(row, dried=Dried.KILN, day=row.day + datetime.timedelta(1)),
    )
    slab = replace(PIECE, dried=Dried.AIR)
    assert replace(book, lumber=(kiln, air)).lumber_rate(slab) == air
    assert replace(book, lumber=(kiln,)).lumber_rate(slab) == kiln
    assert air.whence(slab) == f"{row.source}, {row.day}"
    assert kiln.whence(slab).endswith("kiln dried where this is air dried")


GOOD = {
    "currency": "USD",
    "sale": [{"price": "300 USD", "date": "2025-01-02", "species": "red oak", "thickness": "8/4",
              "width": "20 in", "length": "8 ft"}],
    "comparable": [{"price": "300 EUR", "date": "2025-01-02", "species": "red oak", "thickness": "8/4",
                    "width": "20 in", "length": "8 ft", "source": "seen", "exchange": "1 EUR = 1.10 USD",
                    "exchange_date": "2025-01-02"}],
    "listing": [{"name": "a", "reference": "500 USD", "tags": ["2025-01-01: 600 USD"], "until": "2025-05-01",
                 "sold": True}],
}  # fmt: skip


def test_a_foreign_price_is_turned_over_either_way():
    book = read_sales(GOOD)
    assert book.sales[1].price == pytest.approx(330)
    other = copy.deepcopy(GOOD)
    other["comparable"][0]["exchange"] = "1 USD = 0.90909090909 EUR"
    assert read_sales(other).sales[1].price == pytest.approx(330)


@pytest.mark.parametrize(
    ("table", "change", "said"),
    [
        ("sale", {"widht": "20 in"}, "Did you mean width"),
        ("sale", {"width": "20"}, "A number alone"),
        ("sale", {"price": "300 EUR"}, "in USD, the currency of this file"),
        ("sale", {"price": "0 USD"}, "more than 0"),
        ("sale", {"dried": "dry"}, '"kiln dried"'),
        ("comparable", {"source": None}, "source is missing"),
        ("comparable", {"exchange": None}, "given with its date for a price in EUR"),
        ("comparable", {"exchange_date": None}, "given with its date"),
        ("comparable", {"exchange": "1 GBP = 1.3 USD"}, "from EUR to USD"),
        ("comparable", {"exchange": "1.1"}, '"1 EUR = 1.08 USD"'),
        ("listing", {"tags": ["600 USD"]}, '"2025-06-01: 900 USD"'),
        ("listing", {"until": "2024-12-01"}, "not before its last price tag"),
    ],
)
def test_what_cannot_be_meant_is_refused(table, change, said):
    wrong = copy.deepcopy(GOOD)
    wrong[table][0].update(change)
    wrong[table][0] = {key: value for key, value in wrong[table][0].items() if value is not None}
    with pytest.raises(BadValue) as refused:
        read_sales(wrong)
    assert said in str(refused.value)


def test_a_file_without_any_currency_is_refused():
    with pytest.raises(BadValue, match='Add currency = "USD"'):
        read_sales({"sale": [{**GOOD["sale"][0], "price": "300"}]})

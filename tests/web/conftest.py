"""A fresh book for every test, and a browser that sits at the same machine."""

from __future__ import annotations

import pytest

from tests import book
from tests.web import money_book


@pytest.fixture(autouse=True)
def fresh_book(db):
    """Every test of this folder may write; what it wrote is gone after it."""


@pytest.fixture
def demo_log():
    """The hollow oak of the demo, offered, taken and measured."""
    return book.demo_log()


@pytest.fixture
def client():
    """Django's client, under a name that the book answers to."""
    from django.test import Client

    return Client(headers={"host": "localhost"})


@pytest.fixture
def stock():
    """A sawn log of three slabs, one of them cut in two, with work, money, a listing and prices seen."""
    log = book.enter("take_log", name="hollow oak", species="northern red oak")
    book.enter("decide_log", log="1", decision="take")
    book.enter("build_stack", name="left", built_on="2025-01-02")
    for thick, width in (("2 in", "30 cm"), ("80 mm", "50 cm"), ("80 mm", "46 cm")):
        book.enter(
            "tally_slab", log="1", thickness=thick, length="3 m", widths=[f"0 m: {width}", f"3 m: {width}"],
            sawn_on="2025-01-01", stack="left",
        )  # fmt: skip
    book.enter("keep_profile", kind="costs", name="mine", table=money_book.COSTS, usual=True)
    book.enter("note_work", kind="cut", about="log 1", hours="5 h", people=2, saw="2 h", fuel="6 l")
    book.enter("note_spending", what="the log", amount="200 USD", kind="wood", about="log 1")
    for dried, price in (("green", "180 USD"), ("air dried", "260 USD")):
        book.enter(
            "note_comparable", source="invented: a neighbour", price=price, paid=True, dried=dried,
            species="northern red oak", thickness="80 mm", width="48 cm", length="3 m", seen_on="2025-06-01",
        )  # fmt: skip
    return log

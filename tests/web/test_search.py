"""Search over everything."""

from __future__ import annotations

import pytest

from pithline.web.search.finding import search
from tests import book


def titles(text: str) -> dict[str, list[str]]:
    """What is found, by sort."""
    return {sort.title: [row[0] for row in sort.rows] for sort in search(text)}


@pytest.fixture
def filled(demo_log):
    """A log, a place, a contact, a note."""
    book.enter("add_contact", name="A. Neighbour", phone="555 0100")
    book.enter("add_place", name="creek hollow", access="Gate at the ridge road.")
    book.enter("write_note", about="log 1", text="Bring the long ropes.")
    book.enter("ask_for", what="bar top", length="3 m", width="60 cm")


@pytest.mark.parametrize(
    ("text", "sort", "found"),
    [
        ("HOLLOW oak", "Logs", "1 hollow oak"),
        ("1", "Logs", "1 hollow oak"),
        ("ridge gate", "Places", "creek hollow"),
        ("555", "Contacts", "A. Neighbour"),
        ("ropes", "Notes", "Bring the long ropes."),
        ("bar", "Asked for", "bar top"),
    ],
)
def test_every_sort_is_found(filled, text, sort, found):
    assert titles(text)[sort] == [found]


def test_every_word_must_be_there(filled):
    assert titles("oak walnut") == {}
    assert titles("   ") == {}


def test_a_slab_is_found_by_the_number_on_the_wood(demo_log):
    widths = ["0 m: 60 cm / 66 cm", "4 m: 50 cm / 56 cm"]
    book.enter("tally_slab", log="1", thickness="3 in", length="4 m", widths=widths)
    assert titles("1-1")["Slabs"] == ["1-1"]
    assert "Slabs" not in titles("1-2")


def test_what_is_found_is_linked_to_a_page_that_answers(client, filled):
    for sort in search("o"):
        for _, _, address in sort.rows:
            assert client.get(address).status_code == 200

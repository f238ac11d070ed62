"""Forms from entry kinds: what is typed becomes the words of an entry, and nothing typed is lost."""

from __future__ import annotations

import re

import pytest
from django.http import QueryDict
from hypothesis import given
from hypothesis import strategies as st

from pithline.fields import Field, Quantity, Table
from pithline.web.inputs import Asking, asked, place_of
from pithline.web.words import words
from pithline.yard.models import Entry, Log
from tests import book

T, L = Quantity.TEXT, Quantity.LENGTH
TABLE = Table(
    "try",
    "",
    (
        Field("name", T, "", required=True),
        Field("wide", L, ""),
        Field("sealed", Quantity.FLAG, "", default=True),
        Field("count", Quantity.COUNT, ""),
        Field("menu", T, "", many=True),
        Table("end", "", (Field("up", L, ""), Field("down", L, ""))),
        Table("rows", "", (Field("at", L, ""), Field("note", T, "")), many=True),
    ),
)


def posted(**fields: str) -> QueryDict:
    """A form's body; ``__`` stands for the dot of a path."""
    query = QueryDict(mutable=True)
    query.update({name.replace("__", "."): value for name, value in fields.items()})
    return query


def test_words_are_nested_as_declared_and_empty_ones_left_out():
    said = words(
        TABLE,
        posted(
            name=" oak ", wide="", sealed="no", count="3", menu="12/4\n\n 8/4 \n",
            end__up="80 mm", end__down=" ", rows__0__at="", rows__2__at="1 m", rows__10__at="2 m",
        ),
    )  # fmt: skip
    assert said == {
        "name": "oak",
        "sealed": False,
        "count": 3,
        "menu": ["12/4", "8/4"],
        "end": {"up": "80 mm"},
        "rows": [{"at": "1 m"}, {"at": "2 m"}],
    }


def test_what_is_no_number_is_handed_on_to_be_refused():
    assert words(TABLE, posted(count="three"))["count"] == "three"


def test_a_null_character_does_not_reach_the_database():
    assert words(TABLE, posted(name="o\x00ak"))["name"] == "oak"


@given(
    rows=st.lists(st.fixed_dictionaries({"at": st.sampled_from(["1 m", "2 ft", "x"])}), max_size=4),
    name=st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=20).map(str.strip),
)
def test_a_form_that_is_shown_and_sent_again_says_the_same(rows, name):
    said = {"name": name, "rows": rows} if rows else {"name": name}
    said = {k: v for k, v in said.items() if v}
    body = QueryDict(mutable=True)

    def fill(parts):
        for part in parts:
            if hasattr(part, "value"):
                body[part.name] = part.value
            else:
                fill(getattr(part, "rows", None) or getattr(part, "parts", ()))

    fill(asked(TABLE, said, Asking()))
    assert words(TABLE, body) == said


@pytest.mark.parametrize(
    ("path", "place"),
    [
        ("measure_log.log", "log"),
        ("log.stations[2].at", "log.stations.1.at"),
        ("log.butt, left + right", "log.butt"),
        ("log.stations[1] bark", "log.stations.0"),
        ("rates.rate", "rates.rate"),
    ],
)
def test_a_refusal_finds_its_input(path, place):
    assert place_of(path, "measure_log") == place


def test_a_refused_form_comes_back_with_what_was_typed_and_the_reason_beside_the_field(client):
    answer = client.post("/logs/new/", {"name": "hollow oak", "species": "no such tree", "agreed": "a third"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="hollow oak"' in page
    assert 'value="no such tree"' in page
    assert "a third</textarea>" in page
    field = re.search(r'<div class="field wrong">(.*?)</div>', page, re.S)
    assert field is not None
    assert 'name="species"' in field[1]
    assert 'aria-invalid="true"' in field[1]
    assert "Must be" in field[1]
    assert Log.objects.count() == 0


def test_a_page_tells_nobody_to_type_into_a_terminal(client):
    page = client.post("/logs/new/", {"name": "oak", "species": "read oak"}).content.decode()
    assert "Did you mean" in page
    assert "pithline species" not in page


def test_of_many_lines_the_refused_one_is_named(client, demo_log):
    book.enter("build_stack", name="A")
    page = client.post("/rack/move/", {"slabs": "1-1\n1-99", "stack": "A"}).content.decode()
    assert "&quot;1-1&quot; must be the number on a slab" in page
    page = client.post("/rack/move/", {"slabs": "1-99", "stack": "A"}).content.decode()
    assert "Must be the number on a slab" in page


def test_to_htmx_a_refusal_is_the_form_alone(client):
    answer = client.post("/logs/new/", {"name": "oak"}, headers={"hx-request": "true"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert page.lstrip().startswith("<form")
    assert "<html" not in page
    assert "This is needed." in page


def entry_of(page: str) -> str:
    """The identity that a form carries."""
    found = re.search(r'name="_entry" value="([0-9a-f-]{36})"', page)
    assert found is not None
    return found[1]


def test_a_form_sent_twice_is_one_entry(client):
    said = {"name": "oak", "species": "northern red oak"}
    said["_entry"] = entry_of(client.get("/logs/new/").content.decode())
    first, again = client.post("/logs/new/", said), client.post("/logs/new/", said)
    assert (first.status_code, again.status_code) == (303, 303)
    assert first.headers["Location"] == again.headers["Location"] == "/logs/1/"
    assert Entry.objects.count() == Log.objects.count() == 1


def test_a_form_sent_back_with_other_words_asks_first(client):
    said = {"name": "oak", "species": "northern red oak"}
    said["_entry"] = entry_of(client.get("/logs/new/").content.decode())
    client.post("/logs/new/", said)
    answer = client.post("/logs/new/", {**said, "name": "another oak"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "sent before with other words" in page
    assert Log.objects.count() == 1
    # The form that came back carries a new identity: to send it is to mean it.
    assert (
        client.post("/logs/new/", {**said, "name": "another oak", "_entry": entry_of(page)}).status_code
        == 303
    )
    assert Log.objects.count() == 2


def test_changing_sends_only_what_differs_and_empties_what_was_taken_away(client):
    book.enter(
        "take_log", name="oak", species="northern red oak", agreed="a third", note="ask about the gate"
    )
    answer = client.post(
        "/logs/1/change/", {"name": "oak", "owner": "own", "agreed": "", "note": "ask about the gate"}
    )
    assert answer.status_code == 303
    assert Log.objects.get().agreed == ""
    assert Entry.objects.first().said == {"log": "1", "agreed": ""}


def test_one_more_row_keeps_what_is_typed_and_enters_nothing(client):
    book.enter("take_log", name="oak", species="northern red oak")
    typed = {"log.stations.0.at": "0.9", "log.stations.0.across": "745", "_more": "log.stations"}
    answer = client.post("/measure/1/", typed)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert 'name="log.stations.0.at" value="0.9"' in page
    assert 'name="log.stations.2.at"' in page  # the typed one, the spare one, and one more
    assert Log.objects.get().record is None

"""What cannot be meant, sent to the money pages: 422, the words kept, the reason beside them."""

from __future__ import annotations

import html
from urllib.parse import urlencode

import pytest
from django.test import Client

from pithline.web.plan.warming import warmed
from pithline.yard.models import Log
from tests.web.money_book import CALL, COSTS, HTMX, text

WORK = {"kind": "carry", "hours": "3 h", "people": "2"}
SPENT = {"what": "a winch", "amount": "20 USD", "kind": "wood"}
LISTED = {"asking": "320 USD", "where": "gate", "from_on": "2025-06-01"}
OFFERED = {"amount": "240 USD", "made_on": "2025-11-01"}
SOLD = {"price": "250 USD", "sold_on": "2025-11-02"}
SEEN = {
    "source": "invented: a yard", "price": "520 USD", "species": "northern red oak", "thickness": "10/4",
    "width": "50 cm", "length": "2.6 m", "dried": "kiln dried",
}  # fmt: skip
LUMBER = {"species": "northern red oak", "thickness": "8/4", "rate": "5.60 USD per bf", "dried": "air dried",
          "source": "invented: a list"}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "said", "told"),
    [
        ("call.girth", "nan m", "a length with its unit"),
        ("call.girth", "-2 m", "zero or more"),
        ("call.girth", "0 m", "from 20 cm to 16 m"),
        ("call.girth", "2.8 m to 2.4 m", "Swap the two"),
        ("call.species", "granite", "a wood that is known here"),
        ("call.length", "400 m", "from 50 cm to 30 m"),
        ("call.distance", "9", "a distance by road"),
        ("rates.rate", "nan USD per bf", "an amount per m3"),
        ("rates.rate", "0 USD per bf", "more than 0"),
        ("call.asked", "100 EUR", "in USD as the rates"),
        ("call.lumber", "3 EUR per bf", "in USD as the rates"),
        ("call.people", "0", "at least 1"),
        ("call.people", "two", "a whole number"),
        ("call.load", "0 kg", "at least 5 kg"),
        ("call.quality", "superb", "one of"),
        ("aims.thickness", "80 mm", "a thickness that says which one it is"),
        ("costs.saw", "1900 EUR", "as the other amounts"),
        ("costs.wage", "240", "an amount per day"),
        ("call.drying", "soon", "a time with its unit"),
        ("call.dries_at", "Boston", "warmest and coldest"),
        ("call.stacked", "2026-02-31", "a date"),
        ("call.dry_to", "120 %", "at most 30 %"),
        ("call.warmest", "22 C", "coldest"),
        ("call.logs", "0 bf planned, 3 bf tallied", "more than nothing"),
        ("call.blanks", "-3", "at least 0"),
    ],
)
def test_a_verdict_is_not_given_on_what_cannot_be_meant(client: Client, name: str, said: str, told: str):
    assert warmed(300.0, everything=True)
    words = CALL | {"costs.saw": "1900 USD", name: said}
    answer = client.get(f"/money/worth/?{urlencode(words)}")
    assert answer.status_code == 422
    assert told in text(answer)
    assert html.escape(said.splitlines()[0]) in answer.content.decode()
    part = client.get(f"/money/worth/doubts/?{urlencode(words)}", headers=HTMX)
    assert part.status_code == 422


@pytest.mark.parametrize(
    ("address", "sound", "name", "said"),
    [
        *(("/money/costs/", {f"costs.{n}": v for n, v in COSTS.items()}, *each) for each in (
            ("costs.saw", ""), ("costs.saw", "-1"), ("costs.saw", "1e400"), ("costs.saw", "1900 EUR"),
            ("costs.chain", "dear"), ("costs.fuel", "2 per km"), ("costs.km", ""), ("costs.wage", "240"),
        )),
        *(("/money/log/1/note_work/", WORK, *each) for each in (
            ("hours", "3"), ("hours", "nan h"), ("hours", "9999 h"), ("people", "0"), ("people", "1.5"),
            ("kind", "dance"), ("saw", "-1 h"), ("saw", "9 h"), ("fuel", "nan l"), ("distance", "-1 km"),
            ("done_on", "2026-02-31"),
        )),
        *(("/money/log/1/note_spending/", SPENT, *each) for each in (
            ("what", ""), ("amount", ""), ("amount", "-1"), ("amount", "20 EUR"), ("amount", "1e20 USD"),
            ("kind", "luck"), ("months", "-1"), ("spent_on", "soon"),
        )),
        *(("/money/slab/1-2/do/list_slab/", LISTED, *each) for each in (
            ("asking", ""), ("asking", "0"), ("asking", "nan"), ("asking", "320 EUR"), ("reference", "0"),
            ("from_on", "soon"),
        )),
        *(("/money/slab/1-2/do/note_offer/", OFFERED, *each) for each in (
            ("amount", ""), ("amount", "-1"), ("amount", "5 EUR"), ("made_on", "soon"), ("good_until", "x"),
        )),
        *(("/money/slab/1-2/do/sell_slab/", SOLD, *each) for each in (
            ("price", ""), ("price", "nan"), ("price", "250 EUR"), ("sold_on", "1999-13-01"),
        )),
        *(("/money/prices/note_comparable/", SEEN, *each) for each in (
            ("source", ""), ("price", "0"), ("price", "520 EUR"), ("species", "granite"), ("thickness", "10"),
            ("width", "0 cm"), ("width", "60 m"), ("length", ""), ("dried", "damp"), ("figure", "120 %"),
            ("volume", "0 bf"), ("seen_on", "soon"),
        )),
        *(("/money/prices/note_lumber/", LUMBER, *each) for each in (
            ("species", "granite"), ("thickness", "0 mm"), ("rate", ""), ("rate", "nan USD per bf"),
            ("rate", "5.6 EUR per bf"), ("rate", "0 USD per bf"), ("source", ""),
        )),
    ],
)  # fmt: skip
def test_a_form_that_cannot_be_meant_comes_back(
    client: Client, stock: Log, address: str, sound: dict[str, str], name: str, said: str
):
    answer = client.post(address, sound | {name: said})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert 'class="problem"' in page
    # A list to choose from has no place for a word that is not in it.
    assert name in ("kind", "dried") or html.escape(said) in page


@pytest.mark.parametrize(
    ("name", "said", "told"),
    [
        ("rate", "nan per bf", "an amount per m3"),
        ("rate", "0 per bf", "more than 0"),
        ("rate", "4", "an amount per m3"),
        ("rate", "4 EUR per bf", "in USD"),
        ("by", "never", "a day"),
        ("by", "2001-01-01", "a week ahead at least"),
        ("by", "2525-01-01", "ten years at most"),
        ("dried", "damp", "one of"),
    ],
)
def test_a_slab_s_page_says_what_it_was_asked_by_wrongly(
    client: Client, stock: Log, name: str, said: str, told: str
):
    whole = client.get(f"/money/slab/1-2/?{urlencode({name: said})}")
    part = client.get(f"/money/slab/1-2/waiting/?{urlencode({name: said})}", headers=HTMX)
    for answer in (whole, part):
        assert answer.status_code == 422
        assert told in text(answer)
    assert f'id="{name}-problem"' in whole.content.decode()
    if name != "dried":
        assert f'value="{said}"' in whole.content.decode()
    # The rest of the page stands, as if the field were empty.
    assert "What it cost" in text(whole)

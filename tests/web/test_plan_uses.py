"""Uses and orders on the plan page and in the usual rates and aims."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import urlencode

import pytest
from django.test import Client

from pithline.fields import read
from pithline.saw.written.uses import USE, read_uses, use_row
from pithline.web.plan.warming import warmed
from pithline.yard.models import Log, Profile
from pithline.yard.planning import inputs_of, reckon, tables_of
from tests import book

USES = "dining top: 60 cm x 2 m, at 900\n1 of wide: 45 cm x 1.8 m, at 1500, pair"
ORDERS = "2 of bench: 38 cm x 1.5 m, at 50, 8/4"
SAID = {
    "said": "1",
    "aims.thickness": "12/4\n8/4",
    "aims.unit": "bf as sawn",
    "mill.bar": "42 in",
    "rates.currency": "USD",
    "rates.rate": "12/4: 11 per bf\n8/4: 9.50 per bf",
    "roll": "0",
}


@pytest.fixture
def log(demo_log: Log) -> Log:
    assert warmed(300.0)
    for kind, table in book.demo_tables().items():
        if kind in ("mill", "aims", "rates"):
            book.enter("keep_profile", kind=kind, name="mine", table=table, usual=True)
    return demo_log


def text(answer: Any) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


def test_typed_uses_and_orders_shape_the_plan(client: Client, log: Log) -> None:
    query = {**SAID, "rates.use": USES, "aims.order": ORDERS}
    answer = client.get(f"/plan/{log.number}/?{urlencode(query)}")
    assert answer.status_code == 200
    said = text(answer)
    assert USES in answer.content.decode()
    assert "2 of 2" in said
    assert "dining top, 0.05 m to 2.05 m: USD 900" in said
    assert "pair with slab" in said
    # The same tables planned without the page.
    tables = tables_of(log)
    tables["aims"] = {"thickness": ["12/4", "8/4"], "unit": "bf as sawn", "order": [
        {"name": "bench", "count": 2, "width": "38 cm", "length": "1.5 m", "price": 50, "thickness": ["8/4"]}
    ]}  # fmt: skip
    tables["rates"] = {"currency": "USD", "rate": ["12/4: 11 per bf", "8/4: 9.50 per bf"], "use": [
        {"name": "dining top", "width": "60 cm", "length": "2 m", "price": 900},
        {"name": "wide", "at_most": 1, "width": "45 cm", "length": "1.8 m", "price": 1500, "pair": True},
    ]}  # fmt: skip
    net = reckon(inputs_of(tables), draws=0, compare=False).net
    assert f"USD {net:,.0f}" in said


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        ({"rates.use": "dining top 60 cm"}, "Write"),
        ({"rates.use": "dining top: 60 x 2 m, at 900"}, "unit"),
        ({"aims.order": "2 of bench: 38 cm x 1.5 m, 16/4"}, "12/4, 8/4"),
        ({"rates.use": "a: 60 cm x 2 m, at 9\na: 50 cm x 2 m, at 9"}, "named once"),
    ],
)
def test_a_line_that_cannot_be_is_refused_beside_its_box(client: Client, log: Log, words, reason) -> None:
    answer = client.get(f"/plan/{log.number}/?{urlencode({**SAID, **words})}")
    assert answer.status_code == 422
    page = answer.content.decode()
    (name,) = words
    box = re.search(rf'<div class="field wrong">(?:(?!</div>).)*name="{name}".*?</div>', page, re.DOTALL)
    assert box, page
    assert reason in box[0]


def test_profiles_hold_uses_and_orders_and_the_page_begins_with_them(client: Client, log: Log) -> None:
    row = {"name": "mantel", "width": "20 cm", "length": "1.6 m", "price": 240.0, "figure": "10 %",
           "thickness": ["12/4"], "grain": "flat", "clear_of_pith": True, "at_most": 3}  # fmt: skip
    order = {"name": "top", "width": "55 cm", "length": "2 m", "count": 1}
    kept = book.demo_tables()
    book.enter("keep_profile", kind="rates", name="mine", table={**kept["rates"], "use": [row]}, usual=True)
    book.enter("keep_profile", kind="aims", name="mine", table={**kept["aims"], "order": [order]}, usual=True)
    stored = inputs_of(tables_of(log))
    assert [u.name for u in (*stored.rates.uses, *stored.aims.orders)] == ["mantel", "top"]
    page = client.get(f"/plan/{log.number}/").content.decode()
    line = "3 of mantel: 20 cm x 1.6 m, at 240, 12/4, clear of pith, flat, figure 10 %"
    assert f">{line}</textarea>" in page
    # What the page shows, sent back, is the same use.
    assert read_uses((read(USE, use_row(line)),)) == stored.rates.uses


@pytest.mark.parametrize(
    ("kind", "path", "row"),
    [
        (
            "rates",
            "rates.use",
            {"name": "bench", "width": "38 cm", "length": "1.5 m", "price": "180", "at_most": "2"},
        ),
        (
            "aims",
            "aims.order",
            {"name": "top", "width": "60 cm", "length": "2 m", "count": "2", "pair": "yes"},
        ),
    ],
)
def test_the_form_of_a_profile_takes_rows_and_shows_them_again(
    client: Client, log: Log, kind: str, path: str, row: dict[str, str]
) -> None:
    profile = Profile.objects.get(kind=kind, name="mine")
    address = f"/settings/{kind}/{profile.pk}/"
    page = client.get(address).content.decode()
    assert f'name="{path}.0.name"' in page
    before = book.demo_tables()[kind]
    typed = {f"{kind}.{n}": "\n".join(v) if isinstance(v, list) else v for n, v in before.items()
             if isinstance(v, str) or (isinstance(v, list) and v and isinstance(v[0], str))}  # fmt: skip
    typed |= {f"{path}.0.{name}": value for name, value in row.items()}
    answer = client.post(address, {"name": "mine", "usual": "yes", **typed})
    assert answer.status_code == 303, text(answer)
    (kept,) = Profile.objects.get(kind=kind, name="mine").table[path.partition(".")[2]]
    assert kept["name"] == row["name"]
    shown = client.get(address).content.decode()
    assert f'name="{path}.0.width" value="{row["width"]}"' in shown
    read_in = inputs_of(tables_of(log))
    (use,) = read_in.rates.uses if kind == "rates" else read_in.aims.orders
    assert use.at_most == 2
    assert use.pair is (kind == "aims")

"""The plan page: live, refused beside its field, moved cuts, files, kept and chosen."""

from __future__ import annotations

import io
import json
import re
import time
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from django.test import Client

from pithline.web.plan.warming import warmed
from pithline.yard.models import Entry, Log, Plan
from pithline.yard.planning import inputs_of, reckon, tables_of
from tests import book

HTMX = {"hx-request": "true", "hx-current-url": "http://localhost/plan/1/"}
SAID = {
    "said": "1",
    "aims.thickness": "12/4\n8/4",
    "aims.unit": "bf as sawn",
    "mill.bar": "42 in",
    "roll": "0",
}


@pytest.fixture
def log(demo_log: Log) -> Log:
    assert warmed(300.0)
    for kind, table in book.demo_tables().items():
        if kind in ("mill", "aims", "rates"):
            book.enter("keep_profile", kind=kind, name="mine", table=table, usual=True)
    return demo_log


def at(log: Log, more: str = "", **words: str) -> str:
    query = urlencode({**SAID, **words}) if words else ""
    return f"/plan/{log.number}/{more}" + (f"?{query}" if query else "")


def text(answer: Any) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


def heights(page: str) -> list[float]:
    found = re.search(r'data-cuts="([^"]*)"', page)
    assert found
    return [float(told.split(":")[1]) for told in found[1].split()]


def test_the_page_shows_the_usual_profiles_and_their_plan(client: Client, log: Log) -> None:
    answer = client.get(at(log))
    assert answer.status_code == 200
    page = answer.content.decode()
    assert page.count("<svg") >= 3
    assert "12/4\n8/4" in page
    # The page has no sums of its own: it says what the book's reckoning says of the same tables.
    net = reckon(inputs_of(tables_of(log)), draws=0, compare=False).net
    assert f"USD {net:,.0f}" in page
    assert " style=" not in page
    assert not re.search(r"<script(?![^>]*\bsrc=)", page)
    assert not re.search(r"\son\w+=", page)


def test_an_unmeasured_log_says_so_and_leads_to_measuring(client: Client) -> None:
    log = book.enter("take_log", name="a", species="red oak")
    answer = client.get(f"/plan/{log.number}/")
    assert answer.status_code == 409
    assert f"/measure/{log.number}/" in answer.content.decode()
    for more in ("further/", "price/", "solid/", "sheet.pdf"):
        assert client.get(f"/plan/{log.number}/{more}").status_code == 404
    assert client.post(f"/plan/{log.number}/keep/").status_code == 404
    assert client.get("/plan/").status_code == 200
    assert client.get("/plan/999/").status_code == 404


def test_a_change_redraws_only_the_plan(client: Client, log: Log) -> None:
    began = time.perf_counter()
    answer = client.get(at(log, roll="10"), headers=HTMX)
    print(f"one setting: {1000 * (time.perf_counter() - began):.0f} ms, {len(answer.content)} bytes")
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "<html" not in page
    assert "10° anticlockwise" in page
    assert "roll=10" in answer["HX-Replace-Url"]
    other = client.get(at(log, **{"roll": "10", "aims.thickness": "8/4"}), headers=HTMX).content.decode()
    assert page != other
    assert client.get(at(log, roll="10", roll_free="yes"), headers=HTMX).status_code == 200


def test_going_back_gets_the_whole_page(client: Client, log: Log) -> None:
    answer = client.get(at(log, roll="0"), headers={**HTMX, "hx-history-restore-request": "true"})
    assert "<html" in answer.content.decode()


@pytest.mark.parametrize(
    ("field", "value"), [("mill.kerf", "9"), ("aims.thickness", "80"), ("rates.rate", "eleven")]
)
def test_a_refused_control_keeps_its_words_with_the_reason_beside_it(
    client: Client, log: Log, field: str, value: str
) -> None:
    whole = client.get(at(log, **{field: value}))
    assert whole.status_code == 422
    page = whole.content.decode()
    assert re.search(rf'name="{re.escape(field)}"[^>]*aria-invalid="true"', page)
    assert value in page
    assert "last plan that worked" not in page  # there is none on this page
    part = client.get(at(log, **{field: value}), headers=HTMX)
    assert part.status_code == 422
    assert part["HX-Retarget"] == "#refusal"
    assert 'hx-swap-oob="true"' in part.content.decode()
    # Put right, the control is shown clean again.
    good = client.get(at(log, roll="0", refused=field), headers=HTMX).content.decode()
    clean = re.search(rf'<div id="c-[^"]*" hx-swap-oob="true">.*?name="{re.escape(field)}"[^>]*>', good, re.S)
    assert clean
    assert "aria-invalid" not in clean[0]


def test_nothing_to_saw_says_what_is_in_the_way(client: Client, log: Log) -> None:
    answer = client.get(at(log, **{"aims.least_width": "1.9 m"}), headers=HTMX)
    assert answer.status_code == 422
    assert "width" in text(answer)


def test_a_moved_cut_tells_its_cost_and_can_be_undone(client: Client, log: Log) -> None:
    best = client.get(at(log, roll="0"), headers=HTMX).content.decode()
    wish = f"follow {heights(best)[2] - 0.012:.6g}"
    answer = client.get(at(log, moved=wish, trail=";"), headers=HTMX)
    page = answer.content.decode()
    assert "less than the best plan" in page
    assert any(abs(h - float(wish.split()[1])) < 1e-6 for h in heights(page))
    assert quote(wish.split()[0]) in answer["HX-Push-Url"]
    undo = re.search(r'href="\?([^"]*)"[^>]*>Undo the move', page)
    assert undo
    assert "moved=" not in undo[1]
    back = client.get(f"{at(log)}?{undo[1].replace('&amp;', '&')}", headers=HTMX).content.decode()
    assert heights(back) == heights(best)


def test_the_plans_own_cuts_wished_for_are_as_good_as_the_best(client: Client, log: Log) -> None:
    best = client.get(at(log, roll="0"), headers=HTMX).content.decode()
    wish = "stay " + " ".join(f"{h:.6g}" for h in heights(best))
    assert "as good as the best plan" in client.get(at(log, moved=wish), headers=HTMX).content.decode()


def test_a_cut_is_moved_by_number_without_script(client: Client, log: Log) -> None:
    before = heights(client.get(at(log, roll="0")).content.decode())
    answer = client.get(at(log, move="3", by="-6 mm", way="follow"), follow=True)
    assert answer.status_code == 200
    assert any(h == pytest.approx(before[2] - 0.006) for h in heights(answer.content.decode()))
    assert client.get(at(log, move="3", by="6")).status_code == 422
    assert client.get(at(log, move="99", by="6 mm")).status_code == 422


def test_cuts_that_cannot_be_made_are_drawn_with_the_reason_and_not_offered_to_keep(
    client: Client, log: Log
) -> None:
    page = client.get(at(log, moved="stay 0.2 0.195"), headers=HTMX).content.decode()
    assert "cannot be sawn so" in page
    assert "Keep this plan" not in page
    assert client.get(at(log, "sheet.pdf", moved="stay 0.2 0.195")).status_code == 422
    assert client.get(at(log, moved="follow 1e9"), headers=HTMX).status_code == 422


def test_the_price_of_a_cut_is_nothing_where_the_plan_cuts(client: Client, log: Log) -> None:
    said = json.loads(client.get(at(log, "price/", roll="0")).content)
    page = client.get(at(log, roll="0")).content.decode()
    cost = dict(zip((round(h, 6) for h in said["heights_m"]), said["costs"], strict=True))
    assert [cost[round(h, 6)] for h in heights(page)] == pytest.approx([0.0] * len(heights(page)), abs=1e-6)
    assert min(said["costs"]) >= 0
    assert len(said["said"]) == len(said["costs"])


def test_without_script_one_page_shows_everything(client: Client, log: Log) -> None:
    page = text(client.get(at(log, all="1")))
    parts = ("How sure it is", "What to measure again", "Worth to know", "Ways to saw it")
    for told in (*parts, "The opened log", "Where the wood went"):
        assert told in page
    part = client.get(at(log, "further/", roll="0"))
    assert part.status_code == 200
    assert "rolled" in text(part)


@pytest.mark.parametrize(
    ("name", "begins"),
    [("sheet.pdf", b"%PDF"), ("sheet-and-card.pdf", b"%PDF"), ("turn.html", b"<!doctype"),
     ("butt.svg", b"<svg"), ("opened.svg", b"<svg"), ("faces.svg", b"<svg"),
     ("cuts.csv", b""), ("plan.json", b"{"), ("solid.json", b"{"), ("log.glb", b"glTF")],
)  # fmt: skip
def test_files(client: Client, log: Log, name: str, begins: bytes) -> None:
    answer = client.get(at(log, name, roll="0"))
    assert answer.status_code == 200
    assert answer.content.startswith(begins)
    assert f'filename="log-{log.number}-{name}"' in answer["Content-Disposition"]


def test_there_are_no_other_files(client: Client, log: Log) -> None:
    assert client.get(at(log, "secret")).status_code == 404


def test_a_plan_is_kept_once_as_it_was_shown_with_its_sheet(client: Client, log: Log) -> None:
    page = client.get(at(log, **{"mill.kerf": "8 mm"})).content.decode()
    shown = re.search(r'name="plan" value="([^"]*)"', page)
    entry = re.search(r'name="_entry" value="([^"]*)"', page)
    assert shown
    assert entry
    said = {"plan": shown[1].replace("&amp;", "&"), "_entry": entry[1], "name": "thin kerf"}
    before = Entry.objects.count()
    for _ in range(2):  # a double submit
        answer = client.post(at(log, "keep/"), said)
        assert answer.status_code == 303
    assert Entry.objects.count() == before + 1
    kept = Plan.objects.get(log=log)
    assert kept.inputs["mill"]["kerf"] == "8 mm"
    assert kept.answer["kerf_m"] == pytest.approx(0.008)
    assert kept.chosen
    page = client.get(answer["Location"]).content.decode()
    assert "thin kerf" in page
    assert "to saw by" in page
    assert re.search(r"kerf=8(\+|%20)mm", page)


def test_a_plan_with_moved_cuts_is_kept_with_them(client: Client, log: Log) -> None:
    best = heights(client.get(at(log, roll="0")).content.decode())
    wish = f"follow {best[2] - 0.012:.6g}"
    answer = client.post(at(log, "keep/"), {"plan": urlencode({**SAID, "moved": wish})})
    assert answer.status_code == 303
    kept = Plan.objects.get(log=log)
    assert kept.inputs["moved"] == wish
    assert any(c["kerf_upper_m"] == pytest.approx(best[2] - 0.012) for c in kept.answer["cuts"])


def test_another_kept_plan_is_chosen(client: Client, log: Log) -> None:
    for name in ("one", "two"):
        book.enter("keep_plan", log=str(log.number), name=name, draws=0)
    assert client.post(at(log, "1/choose/")).status_code == 303
    assert Plan.objects.get(chosen=True).name == "one"
    assert client.post(at(log, "7/choose/")).status_code == 404
    assert client.get(at(log, "keep/")).status_code == 405


def test_an_inch_book_speaks_inches(client: Client, log: Log) -> None:
    book.enter("set_preference", name="system", value="inch")
    page = client.get(at(log)).content.decode()
    assert "sizes in inches" in page
    assert 'data-system="inch"' in page


def test_the_page_waits_while_the_planner_is_compiled(
    client: Client, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pithline.web.plan.views.warmed", lambda _: False)
    answer = client.get(at(log))
    assert answer["Refresh"] == "3"
    assert "made ready" in text(answer)


def test_the_three_d_page_offers_its_bodies(
    client: Client, log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pithline.web.plan.views._has_solid", lambda: True)
    page = client.get(at(log, "solid/")).content.decode()
    assert "plan/solid.js" in page
    assert f"/plan/{log.number}/solid.json?" in page
    monkeypatch.setattr("pithline.web.plan.views._has_solid", lambda: False)
    assert client.get(at(log, "solid/")).status_code == 404
    assert "The 3-D view was left out" in client.get(at(log)).content.decode()
    assert "3-D</a>" not in client.get(at(log)).content.decode()


def test_the_picture_of_the_sheet_is_one_page_of_paper(client: Client, log: Log) -> None:
    pypdf = pytest.importorskip("pypdf")
    answer = client.get(at(log, "sheet.pdf", roll="0"))
    first = pypdf.PdfReader(io.BytesIO(answer.content)).pages[0]
    assert "hollow oak" in first.extract_text()


def test_every_other_way_can_be_picked_and_comes_to_what_its_row_said(client: Client, log: Log) -> None:
    base = client.get(at(log)).content.decode()
    shown = re.search(r'name="plan" value="([^"]*)"', base)
    assert shown
    page = client.get(f"{at(log, 'further/')}?{shown[1].replace('&amp;', '&')}").content.decode()
    told_in = r'<th scope="row">([^<]*)</th><td class="right" data-label="Net">([^<]*)<'
    rows = []
    for row in page.split("<tr"):
        told, address = re.search(told_in, row), re.search(r'href="([^"]*)">Plan it so', row)
        rows += [(told[1], told[2], address[1])] if told and address else []
    assert len(rows) >= 5
    for name, net, address in rows:
        said = text(client.get(address.replace("&amp;", "&"), headers=HTMX))
        assert f"{net} net" in said, name


def test_a_roll_of_half_a_degree_in_the_usual_aims_is_kept(client: Client, log: Log) -> None:
    aims = {**book.demo_tables()["aims"], "roll": "-12.5 deg"}
    book.enter("keep_profile", kind="aims", name="rolled", table=aims, usual=True)
    page = client.get(at(log)).content.decode()
    assert 'value="-12.5"' in page
    assert "roll=-12.5" in page


@pytest.mark.parametrize("roll", ["", "x", "1e3", "999", "-181", "nan", "9" * 4000])
def test_a_roll_that_no_slider_sends_is_taken_as_near_as_can_be(client: Client, log: Log, roll: str) -> None:
    assert client.get(at(log, roll=roll), headers=HTMX).status_code == 200

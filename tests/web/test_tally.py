"""The tally pages: one slab after the other, many at once, planned against measured."""

import re

import pytest

from pithline.errors import BadValue
from pithline.web.tally.pasted import laid_out
from pithline.yard.models import Entry, Slab
from tests.book import demo_tables, enter

SLAB = {"thickness": "80 mm", "length": "4.2 m", "widths": "60 cm / 65 cm\n50 cm / 54 cm"}


def page(client, address, status=200, **said):
    answer = client.get(address, said)
    assert answer.status_code == status, answer.content.decode()[:2000]
    return answer.content.decode()


def test_a_book_without_logs_says_what_to_do(client):
    assert "Enter one" in page(client, "/tally/")
    page(client, "/tally/7/", 404)


def test_one_slab_after_the_other(client, demo_log):
    assert client.get("/tally/?log=1").headers["location"] == "/tally/1/"
    assert client.post("/tally/1/", {**SLAB, "number": "1", "sawn_on": "2025-11-24"}).status_code == 303
    text = page(client, "/tally/1/")
    assert "Write 1-1 on the wood" in text
    # The next number is offered; thickness, length and day stay, widths do not.
    assert re.search(r'name="number" value="2"', text)
    assert re.search(r'name="thickness" value="80 mm"', text)
    assert re.search(r'name="sawn_on" value="2025-11-24"', text)
    assert "60 cm / 65 cm" not in text


def test_a_number_is_never_offered_twice(client, demo_log):
    client.post("/tally/1/", {**SLAB, "number": "4"})
    enter("undo_entry", entry=str(Entry.objects.first().id))
    assert not Slab.objects.exists()
    assert 'name="number" value="5"' in page(client, "/tally/1/")


def test_a_refused_slab_keeps_what_was_typed(client, demo_log):
    answer = client.post("/tally/1/", {**SLAB, "number": "1", "weight": "70"}, headers={"hx-request": "true"})
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "<html" not in text
    assert "60 cm / 65 cm" in text
    assert 'value="70"' in text
    assert "<details open>" in text
    assert not Slab.objects.exists()


def test_sent_twice_it_is_one_slab(client, demo_log):
    text = page(client, "/tally/1/")
    entry = re.search(r'name="_entry" value="([^"]+)"', text)[1]
    for _ in range(2):
        assert client.post("/tally/1/", {**SLAB, "number": "1", "_entry": entry}).status_code == 303
    assert Slab.objects.count() == 1


def test_two_who_give_one_number_are_told(client, demo_log):
    client.post("/tally/1/", {**SLAB, "number": "1"})
    answer = client.post("/tally/1/", {**SLAB, "number": "1"})
    assert answer.status_code == 422
    assert "no other slab" in answer.content.decode()


def test_many_at_once_are_all_or_none(client, demo_log):
    rows = {
        "slabs.0.thickness": "80 mm",
        "slabs.0.length": "4.2 m",
        "slabs.0.widths": "60 cm / 65 cm",
        "slabs.1.thickness": "54 mm",
        "slabs.1.length": "4.2",
        "slabs.1.widths": "50 cm",
    }
    answer = client.post("/tally/1/grid/", rows)
    assert answer.status_code == 422
    text = answer.content.decode()
    assert 'value="4.2"' in text
    assert text.count('aria-invalid="true"') == 1
    assert not Slab.objects.exists()
    assert client.post("/tally/1/grid/", {**rows, "slabs.1.length": "4.2 m"}).status_code == 303
    assert [s.label for s in Slab.objects.all()] == ["1-1", "1-2"]


def test_pasted_lines_are_laid_out_and_then_kept(client, demo_log):
    lines = "slab\tthickness (mm)\tlength [m]\twidth 1\twidth 2\tnote\n3\t80\t4,2\t450/520\t430 / 500\tswirl"
    said = {"lines": lines, "unit": "mm", "length_unit": "m"}
    text = client.post("/tally/1/pasted/", said, headers={"hx-request": "true"}).content.decode()
    assert 'value="4.2 m"' in text
    assert "450 mm / 520 mm\n430 mm / 500 mm" in text
    assert not Slab.objects.exists()
    fields = dict(re.findall(r'name="(slabs[^"]+)" value="([^"]*)"', text))
    fields |= dict(re.findall(r'<textarea name="(slabs[^"]+)"[^>]*>([^<]*)</textarea>', text))
    assert client.post("/tally/1/grid/", fields).status_code == 303
    slab = Slab.objects.get()
    assert (slab.label, slab.note) == ("1-3", "swirl")
    assert slab.sizes.get().length_m == pytest.approx(4.2)


def test_lines_that_cannot_be_laid_out_come_back(client, demo_log):
    answer = client.post("/tally/1/pasted/", {"lines": "colour\tlength\nred\t4", "unit": "mm"})
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "Rename the column" in text
    assert "colour\tlength" in text


@pytest.mark.parametrize(
    ("line", "unit", "said"),
    [
        ("80\t4.2\t450/520", "mm", {"number": 80, "thickness": "4.2 mm", "length": "450/520"}),
        (
            "1;80;4,2;45 / 52|40 / 44",
            "cm",
            {"thickness": "80 cm", "widths": ["45 cm / 52 cm", "40 cm / 44 cm"]},
        ),
        (
            "1\t3 1/8\t14\t17 1/2 / 20 1/4",
            "in",
            {"thickness": "3 1/8 in", "widths": ["17 1/2 in / 20 1/4 in"]},
        ),
        ("1\t12/4\t4.2\t17/20", "in", {"thickness": "12/4", "widths": ["17 in / 20 in"]}),
        (
            "1\t80 mm\t4.2 m\t0.5 m: 45 cm / 52 cm",
            "in",
            {"widths": ["0.5 m: 45 cm / 52 cm"], "length": "4.2 m"},
        ),
        ("1\t2\t8\t7/8", "in", {"widths": ["7/8 in"]}),
        ("1\t80\t4.2\t450/ 520", "mm", {"widths": ["450 mm / 520 mm"]}),
        ("1\t2\t8\t17 1/2 /20", "in", {"widths": ["17 1/2 in / 20 in"]}),
    ],
)
def test_cells_are_read_as_they_are_meant(line, unit, said):
    (row,) = laid_out(line, unit, "m")
    assert {name: row[name] for name in said} == said


def test_what_is_no_table_is_refused():
    with pytest.raises(BadValue, match="from 1 to 500"):
        laid_out(" \n ", "mm", "m")
    with pytest.raises(BadValue, match="one of mm"):
        laid_out("1\t80", "furlong", "m")


def test_planned_stands_against_measured(client, demo_log):
    tables = demo_tables()
    plan = enter("keep_plan", log="1", draws=0, **{k: tables[k] for k in ("mill", "aims", "rates")})
    first = plan.answer["slabs"][0]
    text = page(client, "/tally/1/")
    assert "By the plan slab 1 is" in text
    assert text.count("not yet") == len(plan.answer["slabs"])
    # Tally the first slab just as planned: its own outline, station by station.
    o = first["outline"]
    widths = [
        f"{z:.4f} m: {max(u[1] - u[0], 1e-3):.5f} m / {max(n[1] - n[0], 1e-3):.5f} m"
        for z, u, n in zip(o["z_m"], o["upper_edges_m"], o["lower_edges_m"], strict=True)
    ]
    enter("tally_slab", log="1", thickness=f"{first['green_m'] * 1000:.1f} mm", length="4.2 m", widths=widths)
    text = page(client, "/tally/1/")
    off = re.findall(r'data-label="Volume off">([^<]+)<', text)
    # Widths were written to 0.01 mm, and an edge that ran out was given 1 mm.
    assert abs(float(off[0].split()[0])) < 0.5
    wood = client.get("/tally/1/wood/", headers={"hx-request": "true"}).content.decode()
    assert "<svg" in wood
    assert f"1 of {len(plan.answer['slabs'])} planned slabs" in wood
    assert "style=" not in wood
    page(client, "/tally/1/wood/")


def test_more_wood_than_the_log_held_is_told(client, demo_log):
    tables = demo_tables()
    enter("keep_plan", log="1", draws=0, **{k: tables[k] for k in ("mill", "aims", "rates")})
    enter("tally_slab", log="1", thickness="80 cm", length="4.2 m", widths=["90 cm"])
    assert "Look at the units" in page(client, "/tally/1/wood/")

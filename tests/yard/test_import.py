"""Tables out and in: nothing lost on the way, no formula let through, a bad import changes nothing."""

from __future__ import annotations

import csv
import io
import json
import zipfile

import pytest

from pithline.errors import BadFile, BadValue
from pithline.yard.export import as_text, csv_of, export, tables
from pithline.yard.importing import Column, do_import, guess_columns, guess_kind, try_import
from pithline.yard.models import Contact, Entry, Log, Slab
from pithline.yard.sheets_in import sheets_of
from tests.book import enter
from tests.yard import full

TALLY = """Slab no;Thickness (mm);Length m;narrow face cm;wide face cm;MC %;Pith;Notes
1;80;3.1;40;50;;no;
2;80.5;3.1;52.5;60;38;yes;check at the butt
"""


def sheet(text=TALLY, name="tally.csv"):
    return sheets_of(text.encode(), name)[0]


def test_a_tally_made_in_a_spreadsheet_is_understood(demo_log):
    table = sheet()
    kind = guess_kind(table)
    columns = guess_columns(table, kind)
    assert kind == "tally_slab"
    assert [(c.field, c.unit) for c in columns] == [
        ("number", ""), ("thickness", "mm"), ("length", "m"), ("widths", "cm"), ("widths", "cm"),
        ("moisture", "%"), ("holds_pith", ""), ("note", ""),
    ]  # fmt: skip
    outcomes = do_import(table, kind, columns, {"log": "1"})
    assert [(o.row, o.fate, o.told) for o in outcomes] == [(2, "done", "1-1"), (3, "done", "1-2")]
    slab = Slab.objects.get(number=2)
    size = slab.sizes.get()
    assert (slab.holds_pith, slab.note) == (True, "check at the butt")
    assert (size.thickness_m, size.moisture_percent) == (pytest.approx(0.0805), pytest.approx(38))
    assert size.mean_width_m == pytest.approx((0.525 + 0.60) / 2)


def test_trying_does_nothing(demo_log):
    before = full.everything()
    outcomes = try_import(sheet(), "tally_slab", guess_columns(sheet(), "tally_slab"), {"log": "1"})
    assert [o.fate for o in outcomes] == ["done", "done"]
    assert full.everything() == before


def test_a_bad_row_changes_nothing_and_every_bad_row_is_shown(demo_log):
    table = sheet(TALLY + "3;80;thirty;40;50;;;\n2;80;3;40;50;;;\n5;80;3;40;50;;maybe;\n")
    columns = guess_columns(table, "tally_slab")
    before = full.everything()
    outcomes = try_import(table, "tally_slab", columns, {"log": "1"})
    assert [o.fate for o in outcomes] == ["done", "done", "refused", "refused", "refused"]
    assert [o.field for o in outcomes[2:]] == ["length", "number", "holds_pith"]
    with pytest.raises(BadValue, match="row 4"):
        do_import(table, "tally_slab", columns, {"log": "1"})
    assert full.everything() == before


def test_the_same_table_twice_is_entered_once(demo_log):
    columns = guess_columns(sheet(), "tally_slab")
    do_import(sheet(), "tally_slab", columns, {"log": "1"})
    entries = Entry.objects.count()
    assert {o.fate for o in do_import(sheet(), "tally_slab", columns, {"log": "1"})} == {"known"}
    assert (Slab.objects.count(), Entry.objects.count()) == (2, entries)


def test_bare_numbers_in_a_column_without_unit_are_refused(demo_log):
    table = sheet("thickness,length,width\n80,3,45\n")
    outcome = try_import(table, "tally_slab", guess_columns(table, "tally_slab"), {"log": "1"})[0]
    assert (outcome.fate, outcome.field) == ("refused", "thickness")


def test_one_column_a_place(demo_log):
    table = sheet("thickness mm\tlength m\twidth butt cm\twidth middle cm\twidth top cm\n80\t3\t60\t50\t45\n")
    do_import(table, "tally_slab", guess_columns(table, "tally_slab"), {"log": "1"})
    outline = Slab.objects.get().sizes.get().outline
    assert outline["z_m"] == [0, 1.5, 3]


def test_a_column_may_not_go_where_no_field_is(demo_log):
    columns = [Column("a", "wheels"), Column("b", "length")]
    with pytest.raises(BadValue, match="wheels"):
        try_import(sheet("a,b\n1,2\n"), "tally_slab", columns)
    with pytest.raises(BadValue, match="one column only"):
        try_import(sheet("a,b\n1,2\n"), "tally_slab", [Column("a", "length"), Column("b", "length")])
    with pytest.raises(BadValue, match="kind"):
        try_import(sheet("a,b\n1,2\n"), "undo_entry", columns)
    with pytest.raises(BadValue, match="headings"):
        try_import(sheet("a,b\n1,2\n"), "tally_slab", columns[:1])


def _people_and_slabs():
    told = tables()
    return {name: told[name] for name in ("contacts", "places", "stacks", "logs", "slabs")}


@pytest.mark.parametrize("ending", ["zip", "json", "xlsx"])
def test_our_own_export_comes_back(tmp_path, ending):
    enter("add_contact", name="=SUM(A1)", note="'quoted")
    enter("add_contact", name="Ana Reyes", phone="+1 555 0100")
    enter("add_place", name="Shed", contact="ana reyes", latitude="-42.5", kind="shed")
    enter(
        "take_log",
        name="oak",
        species="red oak",
        owner="shares",
        owner_contact="Ana Reyes",
        owner_share="33 %",
    )
    enter("build_stack", name="A", place="shed", sticker="25 mm")
    row = {
        "thickness": "3 1/8 in",
        "length": "2.4 m",
        "widths": ["0.5 m: 45 cm / 52 cm", "2 m: 40 cm / 41 cm"],
    }
    enter(
        "tally_slab",
        log="1",
        stack="A",
        layer=1,
        cost="40.10 USD",
        moisture="38.5 %",
        holds_pith=False,
        **row,
    )
    enter("tally_slab", log="1", number=4, weight="71 lb", sawn_on="2026-03-02", figure="-curl", **row)
    before = _people_and_slabs()
    assert export(tmp_path / f"book.{ending}") > 10
    data = (tmp_path / f"book.{ending}").read_bytes()

    # Undo everything, last first: an empty book with its counters where they were.
    for line in Entry.objects.filter(undone_by=None).exclude(kind="undo_entry").order_by("-order"):
        enter("undo_entry", entry=str(line.order))
    assert not any(_people_and_slabs().values())
    for table in sheets_of(data, f"book.{ending}"):
        name = table.name.removesuffix(".csv")
        if name in before:
            kind = guess_kind(table)
            columns = guess_columns(table, kind)
            # Numbers of logs are never given twice: the slabs' log now bears the next one.
            fixed = {"log": str(Log.objects.get().number)} if name == "slabs" else {}
            columns = [Column(c.heading, "", "") if c.field == "log" else c for c in columns]
            do_import(table, kind, columns, fixed)
    after = _people_and_slabs()
    for rows in (*before.values(), *after.values()):
        for its in rows:
            its.pop("log", None)
            its.pop("slab", None)
            if "agreed" in its:
                its.pop("number")
    assert {k: [_rounded(r) for r in v] for k, v in after.items()} == {
        k: [_rounded(r) for r in v] for k, v in before.items()
    }


def _rounded(row):
    """Text carries twelve digits; lengths in SI a few more."""
    row = {k: round(v, 9) if isinstance(v, float) else v for k, v in row.items()}
    if row.get("widths"):
        numbers = (
            row["widths"].replace(";", " ").replace(":", " ").replace("/", " ").replace("m", " ").split()
        )
        row["widths"] = [round(float(n), 9) for n in numbers]
    return row


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1 mm", "@SUM(A1)", "\t=1", "\r=1", "'=1", "'"])
def test_no_text_becomes_a_formula_and_all_come_back(text):
    written = csv_of([{"name": text, "note": "x"}])
    cell = next(csv.reader(io.StringIO(written.split("\n", 1)[1], newline="")))[0]
    assert cell[0] == "'"
    assert sheets_of(written.encode(), "x.csv")[0].rows[0][0] == text
    assert as_text("plain") == "plain"
    assert as_text(-1.5) == -1.5


def test_a_workbook_holds_no_formula(tmp_path):
    from openpyxl import load_workbook

    enter("add_contact", name="=HYPERLINK(1)", note="=1+1")
    export(tmp_path / "b.xlsx")
    sheet = load_workbook(tmp_path / "b.xlsx")["contacts"]
    assert (sheet["A2"].value, sheet["A2"].data_type) == ("'=HYPERLINK(1)", "s")
    assert not any(c.data_type == "f" for row in sheet for c in row)


def test_an_export_says_no_secret(tmp_path):
    from pithline.yard.models import Token

    Token.objects.create(name="station", digest="f" * 64)
    export(tmp_path / "b.json")
    assert "f" * 64 not in (tmp_path / "b.json").read_text()


def test_every_record_is_in_the_export(tmp_path):
    full.fill()
    export(tmp_path / "b.json")
    told = json.loads((tmp_path / "b.json").read_text())
    for name, rows in full.everything().items():
        if name not in ("Token", "Job"):
            assert told[f"kept_{name.lower()}"] == rows


def _bomb() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("a.csv", b"0" * 210_000_000)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "name"),
    [
        (b"", "x.csv"), (b"a,b\n", "x.csv"), (b"\xff\xfe\x00", "x.csv"), (b'a\n"b', "x.csv"),
        (b"{", "x.json"), (b"[1]", "x.json"), (b"[" * 100_000, "x.json"), (b"PK", "x.xlsx"),
        (b"PK\3\4", "x.zip"),
    ],
)  # fmt: skip
def test_what_is_no_table_is_refused(data, name):
    with pytest.raises(BadFile):
        sheets_of(data, name)


def test_a_file_that_swells_is_refused():
    for name in ("x.zip", "x.xlsx"):
        with pytest.raises(BadFile, match="unpacks to more"):
            sheets_of(_bomb(), name)


def test_people_come_in_too():
    table = sheet("Name,Telephone,E-mail,Remarks\nAna Reyes,555 0100,ana@example.com,\n", "list.csv")
    assert guess_kind(table) == "add_contact"
    do_import(table, "add_contact", guess_columns(table, "add_contact"))
    assert Contact.objects.get().email == "ana@example.com"


@pytest.mark.parametrize("ending", ["json", "xlsx", "zip"])
def test_drying_and_money_come_back_as_they_were_exported(tmp_path, ending):
    from pithline.yard.models import (
        Comparable,
        Effort,
        LumberRate,
        Reading,
        Sale,
        Sample,
        Spending,
        Weighing,
    )
    from pithline.yard.written_rows import KIND_OF

    full.fill()
    enter("read_meter", sample="W1", meter="pinless", shown="14.5 %", wood_temperature="50 F", gravity=0.6)
    size = {"species": "red oak", "thickness": "3 1/8 in", "width": "50 cm", "length": "2.4 m"}
    enter(
        "note_comparable", source="a fair", price="600 EUR", exchange="1 EUR = 1.10 USD",
        exchange_on="2026-06-01", volume="40 bf", figure="30 %", **size,
    )  # fmt: skip
    before = tables()
    export(tmp_path / f"book.{ending}")
    enter("undo_entry", entry=_last("sell_slab"))
    for model in (Weighing, Reading, Sale, Effort, Spending, Comparable, LumberRate, Sample):
        model.objects.all().delete()
    sheets = {s.name: s for s in sheets_of((tmp_path / f"book.{ending}").read_bytes(), f"book.{ending}")}
    for name, kind in KIND_OF.items():
        assert guess_kind(sheets[name]) == kind
        outcomes = do_import(sheets[name], kind, guess_columns(sheets[name], kind))
        assert {o.fate for o in outcomes} == {"done"}, outcomes
    after = tables()
    for name in KIND_OF:
        assert after[name] == before[name]


def _last(kind):
    return str(Entry.objects.filter(kind=kind).latest("order").order)

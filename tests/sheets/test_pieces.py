"""What slabs are for, on the sheet and in the drawing of the slabs."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pypdfium2
import pytest

from pithline.saw.plan import Ordered, Plan
from pithline.saw.uses.use import Piece
from pithline.sheets.cut_sheet import cut_sheet
from pithline.sheets.sheet_words import orders, pieces
from pithline.sheets.slab_faces import slab_faces
from tests.sheets.conftest import LENGTH, hand_plan

NS = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def used() -> Plan:
    plan = hand_plan()
    one, two, three, *rest = plan.slabs
    one = replace(one, pieces=(Piece("bench", 0.05, 1.55, 180.0), Piece("", 1.56, 4.15, 90.0)))
    two = replace(two, pieces=(Piece("wide", 1.0, 2.8, 500.0),), pair_with=3)
    three = replace(three, pieces=(Piece("wide", 1.0, 2.8, 500.0),), pair_with=2)
    missing = "no slab is 900 mm wide over 2.00 m: the widest is about 700 mm"
    told = (Ordered("bench", 1, 1, 12.0), Ordered("table", 2, 0, 0.0, missing))
    return replace(plan, slabs=(one, two, three, *rest), orders=told)


def test_each_slab_says_its_pieces_and_its_pair(used: Plan) -> None:
    plain = [line.replace("\u00a0", " ") for line in pieces(used, "metric")]
    assert plain == [
        "slab 1: bench 0.05 m to 1.55 m; tally 1.56 m to 4.15 m",
        "slab 2: wide 1.00 m to 2.80 m, pair with 3",
        "slab 3: wide 1.00 m to 2.80 m, pair with 2",
    ]
    assert orders(used)[0] == "Order bench: 1 of 1 cut."
    assert orders(used)[1].startswith("Order table: 0 of 2 cut; no slab is 900 mm wide")
    assert pieces(hand_plan(), "metric") == []


def test_they_are_on_the_one_page_of_the_sheet(used: Plan) -> None:
    with pypdfium2.PdfDocument(io.BytesIO(cut_sheet(used, "oak", "us-letter", "inch"))) as paper:
        assert len(paper) == 1
        text = paper[0].get_textpage().get_text_bounded().replace("\u00a0", " ")
    assert "What the slabs are for" in text
    assert "pair with 3" in text
    assert "Order table: 0 of 2 cut" in text


def test_no_words_run_into_each_other_on_a_short_log_in_inches(used: Plan) -> None:
    one, *rest = used.slabs
    benches = (Piece("bench", 0.05, 1.25, 180.0), Piece("bench", 1.26, 2.46, 180.0))
    short = replace(used, slabs=(replace(one, pieces=benches), *rest))
    root = ElementTree.fromstring(slab_faces(short, "inch", width=90.0))
    rows: dict[str, list[tuple[float, float]]] = {}
    for e in root.iter(f"{NS}text"):
        # A figure of the drawing's face is a good half of its height wide.
        wide = 0.5 * float(str(e.get("font-size"))) * len(str(e.text))
        if e.get("text-anchor") == "middle":
            x = float(str(e.get("x")))
            rows.setdefault(str(e.get("y")), []).append((x - wide / 2, x + wide / 2))
    assert max(map(len, rows.values())) > 2
    for row in rows.values():
        for (_, end), (start, _) in pairwise(sorted(row)):
            assert start > end


def test_the_drawing_hatches_what_no_piece_takes(used: Plan) -> None:
    root = ElementTree.fromstring(slab_faces(used))
    title = root.find(f"{NS}title")
    assert title is not None
    k = 1000 / float(str(title.text).rsplit("1:", 1)[1])
    told = [e.text for e in root.iter() if e.get("class") == "piece"]
    assert told[:2] == ["bench, 0.05 m to 1.55 m", "tally, 1.56 m to 4.15 m"]
    spare = [e for e in root.iter() if e.get("class") == "not-counted"]
    spans = []
    for e in spare:
        x = [float(p.split(",")[0]) for p in e.get("points", "").split()]
        spans.append((max(x) - min(x)) / k)
    # Slab 1: trim, cross-cut, trim; slabs 2 and 3: before and behind the pair.
    assert spans[:3] == pytest.approx([0.05, 0.01, LENGTH - 4.15], abs=0.002)
    assert spans[3:5] == pytest.approx([1.0, LENGTH - 2.8], abs=0.002)

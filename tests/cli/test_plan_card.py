"""The field card and one next cut of ``pithline plan``."""

from __future__ import annotations

import io
import json
from pathlib import Path

import jsonschema
import pypdfium2
import pytest

from pithline.sheets.plan_json import plan_schema

DEMO = Path(__file__).parents[2] / "demo" / "hollow-oak.toml"
QUICK = ("--draws", "0", "--no-compare")
WISHES = ("--use", "dining top: 60 cm x 2 m, at 900", "--order", "2 of bench: 38 cm x 1.5 m, 8/4, at 50")


def test_card_and_face_agree_with_the_plan_and_the_card_is_on_the_back_of_the_sheet(pithline, tmp_path):
    plain = json.loads(pithline("plan", DEMO, *QUICK, *WISHES, "--json").out)
    first, second, third, fourth = plain["cuts"][:4]
    face, sheet = f"{1000 * third['face_butt_m']:.0f} mm", tmp_path / "sheet.pdf"
    gone = [s for c in plain["cuts"][:3] for s in c["slabs"]]
    slabs = [s for s in plain["slabs"] if s["number"] in gone]
    benches = sum(p["use"] == "bench" for s in slabs for p in s["pieces"])
    asked = ("--card", "--face", face, "--sold", f"{benches} of bench", "--json")
    said = pithline(
        "plan", DEMO, *QUICK, *WISHES, *asked, "--sheet", sheet, "--paper", "us-letter", "--units", "inch"
    )
    assert said.code == 0, said.err
    made = json.loads(said.out)
    jsonschema.Draft202012Validator(plan_schema()).validate(made)
    card = made["field_card"]["sections"][0]
    assert card["open"] == [{"name": "bench", "count": 2}]
    # The row for the plan's own first face says the plan's second cut.
    row = next(r for r in card["rows"] if r["face_butt_m"] <= first["face_butt_m"] + 1e-9)
    assert row["highest_face_butt_m"] >= first["face_butt_m"] - 1e-9
    assert row["set_to_m"] == pytest.approx(second["set_to_m"])
    faces = [r["face_butt_m"] for r in card["rows"]]
    assert faces == sorted(faces, reverse=True)
    assert card["rows"][-1]["frees"] == "stop"
    # Below the third cut: its set, and what the net still holds then.
    assert made["next_cut"]["set_to_m"] == pytest.approx(fourth["set_to_m"])
    spent = sum(c["area_m2"] for c in plain["cuts"][:3]) * 14  # the demo's cost of a cut
    had = sum(s["value_money"] - s["own_cost_money"] for s in slabs)
    assert made["next_cut"]["to_come_money"] == pytest.approx(plain["totals"]["net_money"] - had + spent)
    with pypdfium2.PdfDocument(io.BytesIO(sheet.read_bytes())) as paper:
        assert len(paper) == 2
        text = paper[1].get_textpage().get_text_bounded()
        assert "Still open: 2 bench" in text
        assert "stop here" in text
        assert "field card overleaf" in paper[0].get_textpage().get_text_bounded()


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (("--face", "11 mm, 60 mm"), "Measure again"),
        (("--face", "3 m"), "where the log is"),
        (("--face", "1 mm, 1 mm, 1 mm"), "at the butt and at the top"),
        (("--face", "1 mm", "--sold", "bench"), "1 of bench"),
        (("--face", "1 mm", "--sold", "1 of boat"), "neither uses nor orders"),
    ],
)
def test_a_face_that_cannot_be_is_refused_before_anything_is_written(pithline, tmp_path, words, reason):
    sheet = tmp_path / "sheet.pdf"
    said = pithline("plan", DEMO, *QUICK, "--sheet", sheet, *words)
    assert said.code == 2
    assert reason in said.err
    assert not sheet.exists()

"""``pithline plan --robust`` and ``--doubt`` keep to the schema and never find worse cuts than the plan's."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
from pypdf import PdfReader

from pithline.sheets.plan_json import plan_schema

OAK = Path(__file__).parents[2] / "demo" / "hollow-oak.toml"


def test_the_best_on_average_is_no_worse_than_the_plan(pithline):
    answer = pithline("plan", str(OAK), "--no-compare", "--draws", "0", "--robust", "--json")
    assert answer.code == 0
    told = json.loads(answer.out)
    jsonschema.validate(told, plan_schema())
    found = told["robust"]
    assert found["best"]["mean_money"] >= found["nominal"]["mean_money"]
    assert found["known_log_mean_money"] >= found["best"]["mean_money"]
    # The nominal cuts are the plan's own.
    assert found["nominal"]["kerf_upper_m"] == [cut["kerf_upper_m"] for cut in told["cuts"]]


def test_cuts_that_the_bar_may_not_pass_are_told(pithline):
    # The widest place of the log is 653 mm over bark; this bar passes 654 mm, and the tape errs by 4 mm.
    words = [
        "--species",
        "red oak",
        "--length",
        "3 m",
        "--butt",
        "62 cm",
        "--top",
        "54 cm",
        "--bar",
        "81.4 cm",
    ]
    words += ["--thickness", "80 mm green", "--bearers", "30 cm", "--no-compare", "--draws", "0", "--robust"]
    stopped = json.loads(pithline("plan", *words, "--json").out)["robust"]["nominal"]["stopped_fraction"]
    assert stopped > 0.2
    said = " ".join(pithline("plan", *words).out.split())
    assert f"In {100 * stopped:.0f} % of them bar, rail height or metal would stop one of these cuts" in said


def test_measurements_are_ranked_in_tables_data_and_a_drawing(pithline, tmp_path):
    drawn, sheet = tmp_path / "doubt.svg", tmp_path / "oak.pdf"
    words = ("plan", str(OAK), "--no-compare", "--draws", "0", "--tornado", str(drawn))
    told = pithline(*words, "--sheet", str(sheet))
    assert told.code == 0, told.err
    assert "To measure again, in USD" in told.out
    answer = json.loads(pithline(*words, "--json").out)
    jsonschema.validate(answer, plan_schema())
    ranked = [r["regret_money"] for r in answer["retakes"]]
    assert len(ranked) == 21
    assert ranked[0] == max(ranked) > 0.005 * answer["totals"]["net_money"]
    first = answer["retakes"][0]
    assert first["field"] == "log.zones[1].depth"
    assert f"zone 1, depth: {first['measured']} ± {first['standard_error']}" in told.out
    assert first["measured"] in drawn.read_text(encoding="utf-8")
    words = " ".join(page.extract_text() for page in PdfReader(sheet).pages)
    assert "Measure again: zone 1, depth 25 mm ± 10 mm" in " ".join(words.split())
    quiet = json.loads(pithline("plan", str(OAK), "--no-compare", "--draws", "0", "--json").out)
    assert quiet["retakes"] == []

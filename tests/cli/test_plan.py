"""``pithline plan`` as a person and as a program use it."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import jsonschema
import pytest

DEMO = Path(__file__).parents[2] / "demo" / "hollow-oak.toml"
LEAST = ("--species", "red oak", "--length", "3 m", "--butt", "62 cm", "--top", "54 cm")
QUICK = ("--draws", "0", "--no-compare")


def document(pithline, *words) -> dict:
    answer = pithline("plan", *words, "--json")
    assert answer.code == 0, answer.err
    return json.loads(answer.out)


@pytest.fixture(scope="module")
def schema():
    from pithline.sheets.plan_json import plan_schema

    return plan_schema()


@pytest.mark.parametrize(
    "words",
    [
        (DEMO, "--draws", "20"),
        (*LEAST, "--thickness", "12/4", *QUICK),
        (*LEAST, "--tally", "wide face", "--thickness", "80 mm green", *QUICK),
        (*LEAST, "--alternate", "--thickness", "80 mm green", *QUICK),
        (*LEAST, "--both-sides", "--pitch", "5 mm/m", "--thickness", "60 mm finished", "--draws", "5"),
    ],
    ids=["demo", "least", "wide face", "in turn", "both sides"],
)
def test_the_json_keeps_to_its_schema(pithline, schema, words):
    made = document(pithline, *words)
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(made)
    assert made["schema"] == "pithline/plan/1"


def test_the_schema_is_printed_without_a_log(pithline, schema):
    assert json.loads(pithline("plan", "--schema").out) == schema


def test_the_sums_of_the_demo_agree_with_its_parts(pithline):
    made = document(pithline, DEMO, *QUICK)
    totals, slabs, cuts = made["totals"], made["slabs"], made["cuts"]
    assert totals["total_tally"] == pytest.approx(sum(s["slab_tally"] for s in slabs))
    assert totals["net_money"] == pytest.approx(totals["value_money"] - totals["cost_money"])
    # 14 USD a square metre of cut, 12 a slab; 5 min a square metre and 6 a cut, as the demo and its
    # defaults say.
    assert totals["cost_money"] == pytest.approx(14 * sum(c["area_m2"] for c in cuts) + 12 * len(slabs))
    assert totals["sawing_min"] == pytest.approx(5 * totals["cut_area_m2"] + 6 * len(cuts))
    went = made["where_the_wood_went"]
    assert sum(line["volume_m3"] for line in went["lines"]) == pytest.approx(went["log_m3"])
    assert totals["recovery_solid_fraction"] == pytest.approx(totals["solid_m3"] / went["log_m3"])
    # A slab is sold at its rate, its premium from 60 cm on, and less a tenth where it holds the pith.
    for s in slabs:
        rate = {"12/4": 11, "8/4": 9.5}[s["label"]]
        premium = 1.15 if s["least_width_m"] >= 0.6 - 1e-9 else 1
        pith = 0.9 if s["holds_pith"] else 1
        figure = 1 + 0.3 * s["figure_fraction"]
        assert s["value_money"] == pytest.approx(s["slab_tally"] * rate * premium * pith * figure)


def test_what_is_set_adds_up_to_what_is_measured(pithline):
    made = document(pithline, DEMO, *QUICK)
    guide = 0.5 * (made["rail"]["underside_above_pith_butt_m"] + made["rail"]["underside_above_pith_top_m"])
    for cut in made["cuts"]:
        guide -= cut["set_to_m"] + made["kerf_m"]
        assert 0.5 * (cut["face_butt_m"] + cut["face_top_m"]) == pytest.approx(guide, abs=1e-9)


def test_the_answer_in_words(pithline):
    answer = pithline("plan", DEMO, *QUICK)
    told = " ".join(answer.out.split())
    for words in (
        "hollow oak: Northern red oak, 4.20 m",
        "Tally: mean of faces, bf as sawn, green sizes.",
        "Cuts, in the order of sawing",
        "set mill to [mm]",
        "green / rough dry / finished [mm]",
        "rail's underside above the pith mark",
        "Where the wood went",
        "worth: start height",
        "Metal at 0.55 m to 0.70 m from the butt",
        "Assumed, not measured or said:",
        "local codes and licensed practice",
    ):
        assert words in told
    assert answer.err == ""


def test_least_input_names_the_assumption_worth_most(pithline):
    # The log was not said to lie on bearers, and the last slab stays in the ground for it.
    words = (*LEAST, "--thickness", "80 mm green", "--bar", "90 cm", *QUICK)
    answer = pithline("plan", *words)
    told = " ".join(answer.out.split())
    made = document(pithline, *words)
    first = made["doubts"][0]
    assert first["field"] == "lie"
    assert first["swing_money"] == max(d["swing_money"] for d in made["doubts"])
    assert "Worth most to measure or say: lie, assumed to be: on level ground, no bearers." in told
    # On bearers of 20 cm, the last slab too: given, the plan is worth what the doubt said.
    raised = document(pithline, *words, "--bearers", "20 cm")
    assert raised["totals"]["net_money"] == pytest.approx(first["net_high_money"])
    fields = {a["field"] for a in made["assumed"]}
    assert {"mill.kerf", "aims.moisture", "rates.rate"} <= fields
    assert any("is the butt flared?" in q for q in made["questions"])


def test_a_mill_that_nobody_described_may_be_what_is_worth_most(pithline):
    # An 84 cm log is about what a 90 cm bar less 14 cm can pass; nobody said that the bar is 90 cm.
    thick = ("--species", "red oak", "--length", "3 m", "--butt", "84 cm", "--top", "78 cm")
    made = document(pithline, *thick, "--thickness", "80 mm green", "--bearers", "40 cm", *QUICK)
    first = made["doubts"][0]
    assert (first["field"], first["low"], first["high"]) == ("mill.bar", "75 cm", "105 cm")
    longer = document(
        pithline, *thick, "--thickness", "80 mm green", "--bearers", "40 cm", "--bar", "105 cm", *QUICK
    )
    assert longer["totals"]["net_money"] == pytest.approx(first["net_high_money"])
    # What was said is not doubted.
    assert "mill.bar" not in [d["field"] for d in longer["doubts"]]


def test_the_assumption_is_told_in_money_where_there_is_money(pithline):
    told = pithline("plan", *LEAST, "--thickness", "80 mm green", "--rate", "EUR 900 per m3", *QUICK).out
    assert "The best plan is worth EUR " in " ".join(told.split())


def test_inches_for_who_measured_in_inches(pithline):
    inch = ("--species", "red oak", "--length", "10 ft", "--butt", "24 in", "--top", "21 in")
    told = pithline("plan", *inch, "--thickness", "12/4", *QUICK).out
    assert "set mill to [inches]" in told
    assert " mm" not in told.split("Assumed, not measured")[0]
    assert (
        "set mill to [mm]" in pithline("plan", *inch, "--thickness", "12/4", *QUICK, "--units", "metric").out
    )


def test_options_overrule_the_record_and_files_bring_tables(pithline, tmp_path):
    mill = tmp_path / "mill.toml"
    mill.write_text('[mill]\nbar = "42 in"\nbar_lost = "14 cm"\nkerf = "8 mm"\nrail = "5 m"\n')
    made = document(pithline, DEMO, "--with", mill, "--thickness", "12/4", *QUICK)
    assert made["mill"]["kerf_m"] == pytest.approx(0.008)
    assert [t["label"] for t in made["aims"]["thicknesses"]] == ["12/4"]
    assert document(pithline, DEMO, "--with", mill, "--kerf", "10 mm", *QUICK)["kerf_m"] == pytest.approx(
        0.010
    )


def test_a_wider_kerf_and_a_shorter_menu_are_worth_less(pithline):
    def net(*words: str) -> float:
        return document(pithline, DEMO, *QUICK, *words)["totals"]["net_money"]

    assert net() >= net("--thickness", "12/4")
    assert net() >= net("--kerf", "12 mm")
    assert net("--roll", "free") >= net()
    assert net("--follow", "best") >= net()
    assert net("--pith", "free") >= net("--pith", "through")


def test_the_same_seed_draws_the_same_ranges(pithline):
    def ranges(seed: str) -> dict[str, float]:
        made = document(pithline, DEMO, "--draws", "40", "--seed", seed, "--no-compare")
        return made["totals"]["net_range_money"]

    first = ranges("1")
    assert first["p10"] <= first["p50"] <= first["p90"]
    assert first == ranges("1") != ranges("2")


def test_every_file_is_written_whole(pithline, tmp_path):
    answer = pithline(
        "plan", DEMO, *QUICK, "--sheet", tmp_path / "oak.pdf", "--svg", tmp_path / "drawings",
        "--csv", tmp_path, "--dxf", tmp_path / "oak.dxf", "--model", tmp_path / "model.csv",
        "--glb", tmp_path / "log.glb",
    )  # fmt: skip
    assert answer.code == 0, answer.err
    written = sorted(str(p.relative_to(tmp_path)) for p in tmp_path.rglob("*") if p.is_file())
    assert written == [
        "cuts.csv", "drawings/butt.svg", "drawings/opened.svg", "drawings/side.svg", "drawings/slabs.svg",
        "drawings/top.svg", "log.glb", "model.csv", "oak.dxf", "oak.pdf", "slabs.csv",
    ]  # fmt: skip
    assert (tmp_path / "oak.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "log.glb").read_bytes().startswith(b"glTF")
    assert answer.err.count("Written: ") == len(written)
    rows = list(csv.DictReader(line for line in (tmp_path / "cuts.csv").open() if not line.startswith("#")))
    assert len(rows) == len(document(pithline, DEMO, *QUICK)["cuts"])


def test_the_model_begins_with_what_its_reader_needs(pithline, tmp_path):
    file = tmp_path / "model.csv"
    assert pithline("plan", *LEAST, "--thickness", "80 mm green", *QUICK, "--model", file).code == 0
    lines = file.read_text().splitlines()
    told = dict(line[2:].split(": ", 1) for line in lines if line.startswith("# ") and ": " in line)
    assert (float(told["step_m"]), int(told["kerf_lines"])) == (0.001, 9)
    made = document(pithline, *LEAST, "--thickness", "80 mm green", *QUICK)
    assert float(told["net"]) == pytest.approx(made["totals"]["net_money"])
    kinds = {row["kind"] for row in csv.DictReader(line for line in lines if not line.startswith("#"))}
    assert kinds == {"start", "slab", "waste"}


def test_cuts_in_turn_are_told_with_their_turns(pithline):
    told = pithline(
        "plan", *LEAST, "--alternate", "--per-turn", "20 min", "--thickness", "80 mm green", *QUICK
    )
    assert told.code == 0, told.err
    made = document(
        pithline, *LEAST, "--alternate", "--per-turn", "20 min", "--thickness", "80 mm green", *QUICK
    )
    sides = [c["side"] for c in made["cuts"]]
    assert sides == [1 + n % 2 for n in range(len(sides))]
    turns = len(sides) - 1
    assert (made["totals"]["turns"], made["totals"]["turning_min"]) == (turns, 20.0 * turns)
    words = " ".join(told.out.split())
    assert words.count("turn the log over") - 1 == (turns + 1) // 2  # the remark says it once more
    assert words.count("turn it back") == turns // 2
    assert f"{turns} turns, about {20 * turns} min" in words

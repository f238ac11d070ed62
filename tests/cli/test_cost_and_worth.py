"""``pithline cost`` and ``pithline worth``: what they print, and what they refuse."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pypdfium2
import pytest

DEMO = Path(__file__).parents[2] / "demo"
COSTS = str(DEMO / "costs.toml")
CALL = str(DEMO / "phone-call.toml")
LOG = str(DEMO / "hollow-oak.toml")
TOLD = ("worth", "--species", "red oak", "--girth", "2.5 m", "--length", "4 m", "--distance", "9 km")


@pytest.fixture
def figures(pithline):
    def call(*words: str) -> dict:
        answer = pithline(*words, "--json")
        assert answer.code == 0, answer.err
        return json.loads(answer.out)

    return call


def test_the_machine_rate_of_the_published_method(figures):
    # Case C2, a small band mill, but for its fuel, given here in litres (tests/sources/costing.csv).
    made = figures(
        "cost", "machine", "--price", "18000", "--salvage", "5400", "--years", "8", "--hours", "800 h",
        "--working", "65 %", "--interest", "8 %", "--insurance", "2 %", "--tax", "1 %",
        "--litres", "3.26918918918919",
        "--fuel", "2.00 per l", "--oil", "15 %", "--repair", "60 %", "--consumables", "6", "--wage", "30",
    )  # fmt: skip
    assert made["rate_money_per_productive_h"] == pytest.approx(67.16072167359667)
    assert made["rate_money_per_scheduled_h"] == pytest.approx(43.654469, abs=1e-6)


def test_an_hour_shows_every_assumption(figures):
    made = figures("cost", "hour", "--costs", COSTS)
    assert made["wage_money_per_h"] == pytest.approx(36)
    assert made["saw_and_person_money_per_cutting_h"] == pytest.approx(
        made["saw"]["rate_money_per_productive_h"] + 72
    )
    assert {a["field"] for a in made["assumed"]} >= {"costs.chain_life", "costs.working", "costs.interest"}
    assert all(a["why"] for a in made["assumed"])


def test_options_overrule_the_file(figures):
    dear = figures("cost", "hour", "--costs", COSTS, "--wage", "480 per day")
    assert dear["wage_money_per_h"] == pytest.approx(72)


def test_joint_cost_in_four_ways(figures):
    # The exam question of tests/sources/costing.csv: posts and boards, at split-off 75,000 and 225,000.
    made = figures(
        "cost", "share", "--joint", "300000", "--piece", "post: 60000 bf, green 120000",
        "--piece", "board: 90000 bf, green 360000",
    )  # fmt: skip
    ways = {way["way"]: [s["share_money"] for s in way["shares"]] for way in made["ways"]}
    assert ways["volume"] == pytest.approx([120_000, 180_000])
    assert ways["split-off"] == pytest.approx([75_000, 225_000])
    assert ways["net realisable"] == []


def test_cents_are_split_without_loss(figures):
    assert figures("cost", "split", "--total", "100.00 EUR", "--parts", "1,1,1")["shares_money"] == [
        "33.34",
        "33.33",
        "33.33",
    ]


def test_overhead_and_load(figures):
    made = figures(
        "cost", "overhead", "--amount", "90 USD", "--by", "hours", "--bearer", "a: 22 h", "--bearer", "b: 8 h"
    )
    assert [s["share_money"] for s in made["shares"]] == pytest.approx([66, 24])
    made = figures(
        "cost", "load", "--cost", "180", "--slab", "a: 0.15 m3, 21 days", "--slab", "b: 0.15 m3, 63 days"
    )
    assert [s["share_money"] for s in made["shares"]] == pytest.approx([45, 135])


def test_a_slab_s_floor(figures):
    made = figures(
        "cost",
        "slab",
        "--volume",
        "0.15 m3",
        "--spent",
        "log: 96",
        "--still",
        "flat: 40",
        "--other",
        "lumber: 55",
    )
    assert made["floor_money"] == pytest.approx(95)
    assert made["full_money"] == pytest.approx(136)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("cost", "hour", "--saw", "1900"), "costs.chain"),
        (("cost", "share", "--joint", "600 USD", "--piece", "14-1, 0.09 m3"), "a colon"),
        (("cost", "share", "--joint", "600", "--piece", "14-1: 0.09 m3, worth 20"), "green, final or own"),
        (("cost", "load", "--cost", "9", "--slab", "a: 0.15 m3"), "a volume and a time"),
        (("cost", "log", "--costs", COSTS, "--work", "cutting: quickly"), "litres or a distance"),
        (("cost", "split", "--total", "100.00", "--parts", "1,one"), "numbers parted by commas"),
        (("worth", CALL, "--girth", "2.5"), "unit"),
        (("worth", CALL, "--quality", "fine"), "sound"),
        (("worth", CALL, "--asked", "150 EUR"), "Convert it"),
        (("worth", CALL, "--sure", "100 %"), "under 100 %"),
        (("worth", LOG, "--costs", COSTS), "call.distance"),
        (("worth", LOG, "--costs", COSTS, "--distance", "9 km", "--girth", "2 m"), "measured"),
        ((*TOLD, "--costs", COSTS), "rates.rate"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_refused(pithline, words, told):
    answer = pithline(*words)
    assert answer.code == 2
    assert told in answer.err
    assert answer.out == ""


def test_the_demo_s_phone_call(figures, tmp_path):
    chart = tmp_path / "doubts.svg"
    made = figures("worth", CALL, "--draws", "400", "--tornado", str(chart))
    assert made["verdict"]["answer"] in ("not yet", "only if")
    assert len(made["verdict"]["not_ticked"]) == 2
    three = made["profit_money"]
    assert three["p10"] < three["p50"] < three["p90"]
    assert made["currency"] == "USD"
    assert {"girth", "quality", "price level"} <= {d["name"] for d in made["doubts"]}
    assert [p["name"] for p in made["products"]][:2] == ["live-edge slabs", "square-edged lumber"]
    assert {m["name"] for m in made["mixes"]} == {"the best mix", "all 12/4", "all 8/4"}
    assert "advice" in made["caution"]
    assert made["doubts"][0]["name"] in chart.read_text(encoding="utf-8")


def test_a_measured_log_is_judged_more_surely(figures):
    words = ("--costs", COSTS, "--distance", "38 km", "--draws", "300")
    measured = figures("worth", LOG, *words)
    assert "size" in {d["name"] for d in measured["doubts"]}
    told = figures("worth", CALL, "--draws", "300")
    swing = {d["name"]: d["swing_money"] for d in told["doubts"]}
    size = next(d["swing_money"] for d in measured["doubts"] if d["name"] == "size")
    assert size < swing["girth"]


@pytest.mark.parametrize("log", [(CALL,), (LOG, "--costs", COSTS, "--distance", "38 km")])
def test_the_sheet_says_what_the_command_says(pithline, tmp_path, log):
    sheet = tmp_path / "offer.pdf"
    said = pithline(
        "worth", *log, "--draws", "200", "--sheet", sheet, "--paper", "us-letter", "--units", "inch"
    )
    assert said.code == 0, said.err
    with pypdfium2.PdfDocument(io.BytesIO(sheet.read_bytes())) as paper:
        assert len(paper) == 1
        assert paper[0].get_size() == pytest.approx((612, 792))  # US Letter
        text = " ".join(paper[0].get_textpage().get_text_bounded().split())
    answer, *reasons = said.out[: said.out.index("10 %")].strip().splitlines()
    for told in (answer, *(each.strip() for each in reasons if "Ask before a yes" not in each)):
        assert " ".join(told.split()) in text
    assert "24 mi by road" in text
    # 12/4 sawn green is 81 mm, 3 3/16 in: told as the reader measures, too.
    assert ('3 3/16" green' in text) == (log[0] == CALL)
    assert ("as measured" in text) == (log[0] == LOG)


def test_a_tally_in_cubic_metres_is_not_rounded_away(pithline):
    words = ("worth", *TOLD[1:], "--rate", "9 USD per bf", "--costs", COSTS, "--draws", "200")
    made = json.loads(pithline(*words, "--json").out)
    (best,) = [mix for mix in made["mixes"] if mix["name"] == "the best mix"]
    assert best["realised_tally"]["p90"] < 2  # m3: a log of 0.6 m through and 4 m
    line = next(each for each in pithline(*words).out.splitlines() if each.startswith("  the best mix"))
    assert f"{best['realised_tally']['p50']:.2f} /" in line


def test_a_sheet_that_cannot_be_written_is_refused(pithline, tmp_path):
    said = pithline("worth", CALL, "--draws", "100", "--sheet", tmp_path)
    assert said.code == 2
    assert "--sheet" in said.err


def test_the_words_name_the_verdict_first(pithline):
    answer = pithline("worth", CALL, "--draws", "200", "--quality", "doubtful", "--asked", "900 USD")
    assert answer.code == 0
    assert answer.out.startswith("No: ")
    assert "No tax, legal or investment advice" in answer.err
    assert "guess" in answer.err

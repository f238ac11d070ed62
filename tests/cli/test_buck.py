"""`pithline buck` on the demo's stem."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
STEM = str(ROOT / "demo" / "hollow-oak-stem.toml")
# One roll, a coarse grid and long steps: what is tested here is the command, not the search.
QUICK = (STEM, "--roll", "0 deg", "--step", "4 mm", "--cut-step", "50 cm")


@pytest.fixture(scope="module")
def document(tmp_path_factory):
    from click.testing import CliRunner

    from pithline.cli.buck import command

    drawing = tmp_path_factory.mktemp("stem") / "stem.svg"
    ran = CliRunner().invoke(command, [*QUICK, "--svg", str(drawing), "--json"], catch_exceptions=False)
    assert ran.exit_code == 0
    return json.loads(ran.stdout), drawing.read_text()


def test_the_document_adds_up(document):
    told, _ = document
    assert told["schema"] == "pithline/buck/1"
    rules = told["rules"]
    costs = rules["cut_cost_money"] * len(told["cuts"])
    assert told["net_money"] == pytest.approx(sum(p["net_money"] for p in told["pieces"]) - costs)
    for piece in told["pieces"]:
        plan = piece["plan"]
        assert piece["net_money"] == pytest.approx(plan["totals"]["net_money"] - rules["piece_cost_money"])
        assert plan["log"]["length_m"] == pytest.approx(piece["length_m"])
        assert rules["least_m"] - rules["kerf_m"] - 1e-9 <= piece["length_m"] <= rules["most_m"] + 1e-9
        # Rail of 5 m, 30 cm of overrun at both ends.
        assert piece["length_m"] <= 4.4


def test_no_cut_goes_through_the_crotch(document):
    told, _ = document
    assert told["rules"]["whole"] == [{"start_m": 10.6, "end_m": 11.8, "note": "crotch"}]
    assert all(not 10.6 < cut["at_m"] < 11.8 for cut in told["cuts"])


def test_it_is_never_worse_than_the_other_ways(document):
    told, _ = document
    nets = {way["name"]: way["net_money"] for way in told["ways"]}
    assert len(nets) > 1
    assert nets["this one"] == pytest.approx(told["net_money"])
    assert max(nets.values()) == nets["this one"]


def test_the_drawing_shows_every_cut_and_piece(document):
    told, drawing = document
    assert drawing.count('class="cut"') == len(told["cuts"])
    assert drawing.count('class="pith"') == len(told["pieces"])
    assert "kept whole: crotch" in drawing
    # The record's rot and figure, and what their letters mean.
    assert drawing.count('class="zone"') == 2
    assert "R rot" in drawing
    assert f"{told['cuts'][0]['at_m']:.2f} m" in drawing


def test_tables_say_the_same(pithline, document):
    told, _ = document
    answer = pithline("buck", *QUICK)
    assert answer.code == 0, answer.err
    assert f"USD {told['net_money']:,.0f} net together" in answer.out
    assert "read the bind" in answer.out
    assert "Assumed: stem.kerf = 10 mm" in answer.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--rail", "2.5 m"), "stem.least"),
        (("--cut-step", "50 cm", "--keep", "figure", "--order", "top: 60 cm x 2 m, at 900"), "aims.order"),
        (("--cross-cost", "3 EUR per piece"), "in USD"),
        (("--shortest", "4 m", "--longest", "3 m"), "stem.least"),
        (
            ("--longest", "15 m", "--rail", "20 m", "--shortest", "12 m"),
            "at most 11.80 m, the stem's own length",
        ),
        (("--piece-length", "5 m"), 'stem.length is "5.00 m"; it must be at most 4.20 m, the longest piece'),
    ],
)
def test_what_cannot_be_is_refused(pithline, words, said):
    answer = pithline("buck", STEM, *words)
    assert answer.code == 2
    assert said in answer.err


def test_keeping_a_crotch_that_is_not_there_is_refused(pithline, tmp_path):
    shutil.copy(ROOT / "demo" / "hollow-oak.toml", tmp_path / "oak.toml")
    answer = pithline("buck", str(tmp_path / "oak.toml"), "--keep", "crotch")
    assert answer.code == 2
    assert "something that the record tells of" in answer.err

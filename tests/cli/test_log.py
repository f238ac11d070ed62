"""``pithline log`` as a person and as a program use it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "demo" / "hollow-oak.toml"
LEAST = ("--species", "red oak", "--length", "4.2 m", "--butt", "82 cm", "--top", "64 cm")


def test_the_demo_in_words(pithline):
    answer = pithline("log", DEMO)
    assert answer.code == 0
    for word in (
        "hollow oak",
        "Quercus rubra",
        "Smalian",
        "Doyle",
        "Scribner",
        "hoppus",
        "Green weight",
        "staple",
    ):
        assert word in answer.out
    assert answer.err == ""


def test_the_demo_as_data(pithline):
    data = json.loads(pithline("log", DEMO, "--json").out)
    assert data["schema"] == "pithline/log/1"
    assert data["length_m"] == 4.2
    assert data["volume"]["under_bark_m3"] < data["volume"]["over_bark_m3"]
    assert data["weight_green_kg"]["low"] < data["weight_green_kg"]["high"]
    assert [zone["kind"] for zone in data["zones"]] == ["metal", "figure"]


def test_least_input_asks_and_says_what_it_assumed(pithline):
    answer = pithline("log", *LEAST)
    assert answer.code == 0
    assert "Assumed, not measured" in answer.out
    assert "TapeS 0.13.4 (BSD-2) [read]" in " ".join(answer.out.split())
    assert "Question: The log loses 43 mm of diameter a metre" in answer.err


def test_options_and_file_say_the_same(pithline, tmp_path):
    file = tmp_path / "log.toml"
    file.write_text(
        '[log]\nspecies = "red oak"\nlength = "4.2 m"\n'
        'butt = { diameter = "82 cm" }\ntop = { diameter = "64 cm" }\n'
    )
    written, options = (json.loads(pithline("log", *w, "--json").out) for w in ([file], LEAST))
    assert written == options
    overruled = json.loads(pithline("log", file, "--length", "3 m", "--json").out)
    assert overruled["length_m"] == 3


def test_a_json_record_reads_like_toml(pithline, tmp_path):
    file = tmp_path / "log.json"
    log = {"species": "red oak", "length": "3 m", "butt": {"diameter": "60 cm"}, "top": {"diameter": "50 cm"}}
    file.write_text(json.dumps({"log": log}))
    assert pithline("log", file, "--json").code == 0
    file.write_text('{"log": ')
    assert "line 1, column" in pithline("log", file).err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nowhere.toml",), "nowhere.toml cannot be read"),
        ((), "Give a record FILE"),
        (("--species", "red oak"), "log.length is missing"),
        ((*LEAST, "--bark", "18"), 'log.bark.thickness is "18"'),
        ((*LEAST[:5], "60 cm", *LEAST[6:]), "--top-is-wider"),
    ],
)
def test_refusals_end_in_exit_code_2(pithline, words, said):
    answer = pithline("log", *words)
    assert answer.code == 2
    assert said in answer.err
    assert answer.out == ""
    assert "Traceback" not in answer.err


def test_a_wider_top_may_be_confirmed(pithline):
    assert pithline("log", *LEAST[:5], "60 cm", *LEAST[6:], "--top-is-wider").code == 0


def test_broken_files_name_line_and_column(pithline, tmp_path):
    file = tmp_path / "bad.toml"
    file.write_text("[log]\nlength = 4.2 m\n")
    assert "bad.toml, line 2, column" in pithline("log", file).err
    file.write_bytes('[log]\nname = "Bäume"\n'.encode("latin-1"))
    assert "line 2, column 10: this is not UTF-8" in pithline("log", file).err


def test_the_schema_is_printed(pithline):
    described = json.loads(pithline("log", "--schema").out)
    assert described["title"] == "pithline/log-record/1"
    assert described["properties"]["log"]["required"] == ["species", "length", "butt", "top"]


def test_a_wood_of_unknown_density_still_has_a_volume(pithline):
    words = ("--species", "limba", *LEAST[2:])
    assert json.loads(pithline("log", *words, "--json").out)["weight_green_kg"] is None
    answer = pithline("log", *words)
    assert answer.code == 0
    assert "nothing is known about the density" in answer.out

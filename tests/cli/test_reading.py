"""``pithline reading`` and ``pithline drysize``: figures on the screen and as JSON."""

from __future__ import annotations

import json

import pytest

from pithline.cli.main import main

METER = ("reading", "meter", "22 %", "--species", "red oak", "--temperature", "5 C")


@pytest.fixture
def run(capsys):
    def ran(*words: str) -> tuple[int, str, str]:
        code = main(words)
        said = capsys.readouterr()
        return code, said.out, said.err

    return ran


def test_a_reading_put_right(run):
    code, out, err = run(
        "reading", "meter", "20 %", "--species", "Douglas-fir, coast", "--temperature", "0 C",
        "--depth", "16 mm", "--json",
    )  # fmt: skip
    assert code == 0, err
    found = json.loads(out)
    # Pfaff and Garrahan 1986 (from memory), worked out by hand: 23.3.
    assert found["moisture_percent"] == pytest.approx(23.3, abs=0.05)
    # Wood Handbook, Ch. 13: 0.5 % for each 10 °F; 20 K are 36 °F.
    assert found["rule_of_thumb_percent"] == pytest.approx(21.8, abs=0.05)
    assert "from memory" in " ".join(found["remarks"])


def test_wet_is_said_and_no_figure_claimed(run):
    code, out, _ = run("reading", "meter", "48 %", "--species", "red oak", "--temperature", "20 C")
    assert code == 0
    assert "wetter than 30.0 %, and no more" in out


def test_a_board_by_weight(run):
    # AH-188 (1991), Ch. 6, example (from memory): 54.5 %.
    code, out, _ = run("reading", "weigh", "--now", "4.14 lb", "--dry", "2.68 lb", "--json")
    assert code == 0
    assert json.loads(out)["moisture_percent"] == pytest.approx(54.5, abs=0.05)


def test_learning_says_before_and_after(run):
    code, out, err = run("reading", "learn", "demo/readings.toml", "--draws", "100", "--json")
    assert code == 0, err
    found = json.loads(out)
    target = found["targets"][1]
    assert target["mean_percent"] == 25
    assert target["after_days"]["low"] > 240
    assert len(found["readings"]) == 7
    assert found["readings"][1]["bound"] == "wetter"
    code, out, err = run("reading", "learn", "demo/readings.toml", "--draws", "100")
    assert "after the readings" in out
    assert "over 30 %" in out
    assert "from memory" in err


def test_dry_size_far_from_the_pith_is_the_handbooks(run):
    # Wood Handbook, Ch. 4: flat-sawn northern red oak, 600 mm to 8 %: 562.2 mm.
    code, out, err = run(
        "drysize", "slab", "northern red oak", "--thickness", "80 mm", "--left", "30 cm", "--right", "30 cm",
        "--height", "900 m", "--json",
    )  # fmt: skip
    assert code == 0, err
    assert json.loads(out)["dry_width_m"]["mid"] == pytest.approx(0.5622, abs=5e-5)


def test_the_dried_outline_is_told(run):
    code, out, err = run(
        "drysize", "slab", "northern red oak", "--thickness", "80 mm", "--height", "900 m", "--json",
        "--at", "0 m: 30 + 30 cm", "--at", "3 m: 24 + 30 cm",
    )  # fmt: skip
    assert code == 0, err
    outline = json.loads(out)["dry_outline"]
    assert outline["at_m"] == [0, 3]
    # Far from the pith all of it is tangential, 8.6 × 22/30 = 6.31 % by the Wood Handbook, Ch. 4.
    for edges in (outline["upper_edges_m"], outline["lower_edges_m"]):
        widths = [right - left for left, right in edges]
        assert widths == pytest.approx([0.600 * 0.93693, 0.540 * 0.93693], abs=1e-4)


def test_a_logs_slabs_lose_wood_twice(run):
    code, out, err = run("drysize", "log", "demo/hollow-oak.toml", "--json")
    assert code == 0, err
    for slab in json.loads(out)["slabs"]:
        green, dry, flat = (slab[f"tally_{what}_bf"] for what in ("green", "dry", "flat"))
        assert green > dry > flat > 0
        assert 0 < slab["flat_thickness_m"] < slab["dry_thickness_m"] < slab["green_thickness_m"]
        assert slab["cup_m"] > 0
        outline = slab["dry_outline"]
        assert len(outline["at_m"]) == len(outline["upper_edges_m"]) == len(outline["lower_edges_m"]) > 2


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("reading", "meter", "22", "--species", "red oak", "--temperature", "5 C"), "unit"),
        (("reading", "weigh", "--now", "4 kg"), "--section"),
        (
            ("reading", "weigh", "--green", "5 kg", "--start", "80 %", "--now", "9 kg"),
            "about the green weight",
        ),
        ((*METER, "--depth", "16 m"), "at most 150 mm"),
        ((*METER, "--depth", "0 mm"), "at most 150 mm"),
        ((*METER, "--pins", "pinless", "--depth", "16 mm"), "outer 20 mm"),
        ((*METER, "--calibrated-at", "400 C"), "from -20 to 60 °C"),
        (
            (
                "drysize",
                "slab",
                "red oak",
                "--thickness",
                "80 mm",
                "--height",
                "5 cm",
                "--left",
                "280 m",
                "--right",
                "30 cm",
            ),
            "at most 5 m",
        ),
        (
            (
                "drysize",
                "slab",
                "red oak",
                "--thickness",
                "80 mm",
                "--height",
                "5 cm",
                "--left",
                "28 cm",
                "--at",
                "0 m: 28 + 30 cm",
                "--at",
                "1 m: 28 + 30 cm",
            ),
            "one way of telling the edges",
        ),
        (
            ("drysize", "slab", "red oak", "--thickness", "80 mm", "--height", "5 cm"),
            '--at "0 m: 28 + 30 cm"',
        ),
        (
            ("drysize", "slab", "red oak", "--thickness", "80 mm", "--height", "5 cm", "--at", "0 m: 58 cm"),
            "left and right of the pith",
        ),
    ],
)
def test_refused(run, words, told):
    code, _, err = run(*words)
    assert code == 2
    assert told in err


def test_a_meter_calibrated_at_freezing_is_not_taken_for_one_calibrated_at_20(run):
    code, out, _ = run(*METER[:-1], "0 C", "--calibrated-at", "0 C", "--json")
    assert code == 0
    # Nothing is added at the temperature for which the maker gives the figures.
    assert json.loads(out)["rule_of_thumb_percent"] == pytest.approx(22.0)


def test_one_reading_is_not_readings(run, tmp_path):
    file = tmp_path / "one.toml"
    file.write_text(
        '[stack]\nspecies = "red oak"\nthickness = "27 mm"\nstacked = 2025-04-01\nplace = "Pittsburgh"\n'
        '[[meter]]\nname = "pins"\n[[reading]]\ndate = 2025-06-01\nshown = "25 %"\n'
        'depth = "6 mm"\ntemperature = "15 C"\n'
    )
    code, out, err = run("reading", "learn", str(file), "--draws", "50")
    assert code == 0, err
    assert out.splitlines()[0].endswith("; 1 reading")

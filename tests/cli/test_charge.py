"""`pithline charge` on the demo's slabs: what it prints, what it says while it works, what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from pithline.cli import charge
from pithline.fields import parse_toml

DEMO = Path(__file__).parents[2] / "demo" / "charge.toml"
QUICK = ("--rounds", "2")


def ran(*words, code=0, **more):
    done = CliRunner().invoke(charge.command, [str(word) for word in words], **more)
    assert done.exit_code == code, (done.output, done.exception)
    return done


def refused(*words, **more):
    """What it says: refusals are turned into exit code 2 by the command above it."""
    done = CliRunner().invoke(charge.command, [str(word) for word in words], **more)
    assert done.exit_code != 0
    return f"{done.exception} {done.output}"


def test_every_slab_lies_or_stays_out():
    told = json.loads(ran(DEMO, *QUICK, "--cost", "310 EUR", "--days", "30 d", "--json").stdout)
    slabs = parse_toml(DEMO.read_text(), "charge.toml")["slab"]
    laid = [one["slab"] for layer in told["layers"] for one in layer["slabs"]]
    assert len(laid) + len(told["left_out"]) == sum(row.get("count", 1) for row in slabs)
    assert "3-2" in laid
    assert sum(one["cost_money"] for one in told["shares"]) == pytest.approx(310)
    for layer in told["layers"]:
        thick = max(one["thickness_m"] for one in layer["slabs"])
        assert layer["height_m"] == pytest.approx(thick + told["sticks"]["thickness_m"])


def test_into_a_file_it_tells_a_line_for_each_thickness_once_it_takes_long(monkeypatch):
    assert "%" not in ran(DEMO, *QUICK).stderr
    monkeypatch.setattr(charge, "_SOON", 0.0)
    lines = ran(DEMO, *QUICK).stderr.splitlines()
    told = [line.split("%")[1].split(":")[0].strip() for line in lines if "%" in line]
    assert told == ["81 mm", "54 mm"]
    assert "\r" not in "".join(lines)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--cost", "310 EUR"), "given together"),
        (("--cost", "much", "--days", "30 d"), "an amount and its currency"),
        (("--cost", "310 EUR", "--days", "long"), "days"),
        (("--cost", "310 EUR", "--days", "10 d"), "at most the load's 10"),
        (("--tolerance", "3"), "unit"),
        (("--kiln", "oven"), "oven"),
        (("--rounds", "-1"), "-1"),
    ],
)
def test_wrong_words_are_refused(words, told):
    assert told in refused(DEMO, *words)


ROOM = '[room]\nlength = "2 m"\nwidth = "1 m"\nheight = "1 m"\n'
SLAB = '[[slab]]\nname = "1"\nthickness = "80 mm"\nat = ["0 m: 50 cm", "{}"]\n'


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (SLAB.format("1 m: 40 cm"), "room"),
        ('[room]\nlength = "4 m"\nwidth = "1 m"\n' + SLAB.format("1 m: 40 cm"), "room.height"),
        (ROOM, "one slab or more"),
        ('[kiln]\nlength = "nan"\n' + SLAB.format("1 m: 40 cm"), "kiln.length"),
        ('[oven]\nlength = "4 m"', "oven"),
        (ROOM + SLAB.format("3 m: 40 cm"), "within the kiln"),
        (ROOM + SLAB.format("1 m: -40 cm"), "slab"),
        (ROOM + SLAB.format("1 m"), "slab"),
        (ROOM + 2 * SLAB.format("1 m: 40 cm"), "on one slab only"),
    ],
)
def test_a_wrong_file_is_refused(text, told):
    assert told in refused("-", input=text)

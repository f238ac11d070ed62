"""A stack's readings as written: what is understood, what is refused."""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np
import pytest

from pithline.dry.learning.readings import Beyond, Sees
from pithline.dry.learning.stack import learn_stack, prior_of, stack_air
from pithline.dry.learning.written import read_stack_readings
from pithline.errors import BadValue
from pithline.wood.species import species

DEMO = tomllib.loads((Path(__file__).parents[2] / "demo/readings.toml").read_text("utf-8"))
OAK = species("northern red oak")


def written(**changes):
    return read_stack_readings({**DEMO, **changes})


def stacked(**changes):
    return written(stack={**DEMO["stack"], **changes})


def test_the_demo():
    stack = written()
    assert stack.thickness == pytest.approx(0.081)
    (only,) = stack.phases
    assert only.months.name.startswith("Pittsburgh")
    assert [reading.day for reading in stack.readings] == [56, 112, 112, 176, 176, 240, 240]
    wet = next(reading for reading in stack.readings if reading.beyond is Beyond.WETTER)
    assert (wet.day, wet.depth) == (112, pytest.approx(0.016))
    share = stack.readings[0]
    assert (share.sees, share.value) == (Sees.SHARE, pytest.approx(7.53 / 8.42))


def test_the_demos_readings_narrow_the_forecast():
    found = learn_stack(written(), (0.25,), [0.0], np.random.default_rng(1), draws=100)
    before, after = found.days[0][0], found.days[1][0]
    assert after.high - after.low < 0.5 * (before.high - before.low)
    assert found.rate[1].low > found.rate[0].low
    assert any("extrapolated" in remark for remark in found.remarks)
    assert any("from memory" in remark for remark in found.remarks)


def test_green_and_oven_dry_weight_alone_tell_the_start():
    block = {"name": "W", "green": "8 kg", "dry": "5 kg"}
    (start,) = written(piece=[block], reading=[]).readings
    assert (start.day, start.sees, start.value) == (0, Sees.MEAN, pytest.approx(0.60))
    with pytest.raises(BadValue, match="or the oven-dry weight"):
        written(piece=[{"name": "W", "green": "8 kg"}], reading=[])


def test_sections_tell_the_start():
    piece = {
        **DEMO["piece"][0],
        "section": ["82.0 %", "78.6 %"],
        "green": "5.240 kg",
        "weight": ["2025-09-12: 3.560 kg"],
    }
    first, later = written(piece=[piece], reading=[]).readings
    assert (first.day, first.value) == (0, pytest.approx(0.803))
    # By hand: 5.240 / 1.803 is 2.906 kg oven-dry; 3.560 / 2.906 is 22.5 %.
    assert later.value == pytest.approx(0.225, abs=0.0005)
    assert later.bias > 0.012  # sections beside it are not the block itself


def test_a_whole_slab_strays_less_than_a_block():
    block, slab = (
        written(piece=[{**DEMO["piece"][0], "what": what, "dry": "4.6 kg"}], reading=[]).readings[1]
        for what in ("witness block", "slab")
    )
    assert slab.bias < block.bias


def test_prior():
    prior, remarks = prior_of(OAK, 0.081)
    assert prior.start == pytest.approx(
        0.80, abs=0.06
    )  # heartwood 80, sapwood 69 % (Wood Handbook, Table 4-1)
    assert prior.start_spread >= 0.10
    assert any(remark.startswith("start: ") for remark in remarks)
    given, _ = prior_of(OAK, 0.081, 0.62, 0.05)
    assert (given.start, given.start_spread) == (0.62, 0.05)
    assert prior_of(OAK, 0.028)[0].rate_spread < prior.rate_spread  # thick is extrapolated


def test_every_draw_has_weather_of_its_own():
    drawn = stack_air(written())(np.random.default_rng(1), 200)
    # Months stray by about 1.5 K, the shared error of half a degree with them: a fifth of scatter.
    warm = np.array([air.temperature for air in drawn])
    assert warm.std(axis=0).mean() == pytest.approx(np.hypot(1.5, 0.5), rel=0.2)


def test_phases_and_own_months():
    bare = {key: value for key, value in DEMO["stack"].items() if key != "place"}
    months = {"warmest": "24 C", "coldest": "-2 C"}
    lines = ["outdoors: 300 days", "kiln: 45 C, rest 6 %, 90 days, until 8 %"]
    stack = written(stack={**bare, "phase": lines}, months=months)
    assert [phase.name for phase in stack.phases] == ["outdoors", "kiln"]
    found = learn_stack(stack, (0.20, 0.10), [0.0, 389.0], np.random.default_rng(1), draws=100)
    # The kiln brings it down far sooner than the sky does; in each draw it ends on its own day.
    assert 300 < found.days[1][0].mid < 389
    assert np.isfinite(found.means[1]).all()
    with pytest.raises(BadValue, match="left out beside a place"):
        written(months=months)


def one_reading(**changes):
    """A table of one reading that is well but for the changes; None leaves a field out."""
    row = {"date": "2025-06-01", "shown": "22 %", "depth": "8 mm", "temperature": "8 C", **changes}
    return {"reading": [{key: value for key, value in row.items() if value is not None}]}


def one_piece(**changes):
    return {"piece": [{"name": "w", "green": "8 kg", "weight": ["2025-06-01: 7 kg"], **changes}]}


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"stacks": {}}, "one of stack, meter, reading, piece, months"),
        (one_reading(date="2025-01-01"), "Look at both dates"),
        (one_reading(depth="90 mm"), "within the slab"),
        (one_reading(depth=None), "how deep the tips"),
        (one_reading(shown=22), "unit"),
        (one_reading(meter="x"), "one of those described: pins"),
        ({"meter": [{"name": "a"}, {"name": "a"}]}, "given once"),
        ({"meter": [{"pins": "insulted"}]}, 'Did you mean "insulated"'),
        (one_piece(weight=["June: 7 kg"]), "2025-06-01: 7.62 kg"),
        (one_piece(weight=["2025-13-01: 7 kg"]), "date of the calendar"),
        (one_piece(weight=["2025-06-01: 9 kg"]), "snow, stickers"),
        (one_piece(dry="5 kg", section="60 %"), "left out"),
    ],
)
def test_refused(changes, told):
    with pytest.raises(BadValue, match=told):
        written(**changes)


def test_a_place_without_temperatures_asks_for_them():
    with pytest.raises(BadValue, match="warmest and the coldest month"):
        read_stack_readings({"stack": {k: v for k, v in DEMO["stack"].items() if k != "place"}})
    bare = {k: v for k, v in DEMO["stack"].items() if k != "place"}
    guess = read_stack_readings({"stack": {**bare, "warmest": "24 C", "coldest": "-2 C"}})
    assert guess.phases[0].months.guess


def test_targets_out_of_reach_are_refused():
    with pytest.raises(BadValue, match="from 4 to 60 %"):
        learn_stack(written(), (20,), [0.0], np.random.default_rng(1), draws=50)

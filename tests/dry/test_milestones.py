"""What a slab is ready for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pithline.dry.milestones import MILESTONES, milestones, next_milestone, use, uses
from pithline.errors import BadValue


def test_milestones_fall_and_lie_in_their_ranges():
    assert [m.name for m in MILESTONES] == ["kiln-ready", "fit to sell air-dry", "flatten", "indoor"]
    moistures = [m.moisture for m in milestones()]
    assert moistures == sorted(moistures, reverse=True)
    for each in (*MILESTONES, *uses()):
        assert each.low <= each.moisture <= each.high
        assert "read]" in each.source or "from memory]" in each.source or "common practice" in each.source


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("indoors most of the US", (8, 6, 10)),
        ("indoors dry southwest", (6, 4, 9)),
        ("outdoors most US", (12, 9, 14)),
    ],
)
def test_targets_as_printed(name, printed):
    # Wood Handbook, FPL-GTR-190, 2010, Table 13-2 (from memory).
    found = use(name)
    assert (found.moisture * 100, found.low * 100, found.high * 100) == pytest.approx(printed)


def test_a_place_of_use_moves_the_last_two():
    damp = milestones(use("southern coast"))
    by = {m.name: m.moisture for m in damp}
    assert by["indoor"] == pytest.approx(0.11)
    assert by["flatten"] == pytest.approx(0.13)
    assert by["kiln-ready"] == 0.25


def test_ones_own_setting_replaces_the_default():
    mine = replace(MILESTONES[1], moisture=0.17)
    assert {m.name: m.moisture for m in milestones(changed=[mine])}["fit to sell air-dry"] == 0.17


def test_what_comes_next():
    assert next_milestone(0.60).name == "kiln-ready"
    assert next_milestone(0.25).name == "fit to sell air-dry"
    assert next_milestone(0.09).name == "indoor"
    assert next_milestone(0.08) is None


def test_a_use_that_is_not_one_is_refused():
    with pytest.raises(BadValue, match="indoors, most of the US"):
        use("moon")
    with pytest.raises(BadValue, match="one of"):
        use("indoors")
    with pytest.raises(BadValue):
        use("")

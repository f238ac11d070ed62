"""Weights against published examples of sample boards."""

from __future__ import annotations

import pytest

from pithline.dry.kiln.sample_boards import estimated_dry_weight
from pithline.dry.learning.weighing import Weights, by_weight, weigh
from pithline.errors import BadValue
from tests.sources import table


@pytest.mark.parametrize("row", table("sample_boards"))
def test_moisture_by_weight(row):
    moisture, doubt = by_weight(float(row["weight"]), float(row["dry"]))
    assert moisture * 100 == pytest.approx(float(row["moisture_percent"]), abs=0.051)  # one decimal
    assert doubt == 0


def test_dry_weight_from_sections():
    # AH-188 (1991), Ch. 6, example (from memory): 4.46 lb at 66.5 % is 2.68 lb oven-dry.
    assert estimated_dry_weight(4.46, 0.665) == pytest.approx(2.68, abs=0.005)
    # By hand: 5.240 kg, sections of 82.0 and 78.6 %; later 3.150 kg, new sections show 9.0 %.
    assert estimated_dry_weight(5.240, (0.820 + 0.786) / 2) == pytest.approx(2.906, abs=0.0005)
    assert estimated_dry_weight(3.150, 0.09) == pytest.approx(2.890, abs=0.0005)


def test_three_percent_of_dry_weight_are_four_of_moisture():
    # By hand: (100 + 20) % times 3 %.
    assert by_weight(1.2, 1.0, 0.03)[1] == pytest.approx(0.036)


def test_without_an_oven_the_share_is_known():
    first, second = weigh(Weights("witness", 8.0, (60, 30), (6.0, 7.0)))
    assert (first.day, second.day) == (30, 60)
    assert (first.share, second.share) == (0.875, 0.75)
    assert first.moisture is None
    assert second.bias > first.bias  # the longer apart, the further a block may stray


def test_with_the_oven_every_weighing_is_a_moisture():
    (only,) = weigh(Weights("witness", 8.0, (60,), (6.0,), dry=5.0))
    assert only.moisture == pytest.approx(0.2)
    assert only.noise == pytest.approx(1.2 * 0.005)


def test_a_whole_slab_strays_only_with_its_dry_weight():
    (only,) = weigh(Weights("slab", 80.0, (60,), (60.0,), dry=50.0, dry_doubt=0.03, whole=True))
    assert only.bias == pytest.approx(1.2 * 0.03)


@pytest.mark.parametrize(
    ("piece", "told"),
    [
        (Weights("w", 8.0, (), ()), "one weight for each day"),
        (Weights("w", 8.0, (3,), (9.0,)), "snow, stickers"),
        (Weights("w", 8.0, (-3,), (7.0,)), "dates"),
        (Weights("w", 8.0, (3,), (7.0,), dry=9.0), "oven-dry weight"),
        (Weights("w", 8.0, (3,), (4.0,), dry=5.0), "Swap the two weights"),
        (Weights("w", float("nan"), (3,), (4.0,)), "green weight"),
    ],
)
def test_refused(piece, told):
    with pytest.raises(BadValue, match=told):
        weigh(piece)

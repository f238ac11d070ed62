"""Real butt logs: what the ends alone get wrong, and what one width past the flare cures.

Diameters under bark of sweetgum stems by height above the stump (Lenhart, stem analysis
of 39 trees, Texas, Nov 1992, in the R package FAwR). A handful is quoted here; the whole
set is read where a copy lies at hand.
"""

from __future__ import annotations

import csv
import itertools
import os
from collections import defaultdict
from pathlib import Path

import numpy as np
import pytest

from pithline.log import volume
from pithline.log.record import LogRecord
from pithline.log.written import from_options
from pithline.units import FOOT, INCH

# Under bark, inches, at 0, 3, 6, 9 and 12 ft above the stump. Source: Lenhart, as above.
QUOTED = {
    "SG01": (15.8, 12.2, 10.9, 10.9, 10.3),
    "SG20": (21.2, 18.6, 17.2, 16.8, 16.5),
    "SG33": (13.4, 11.0, 10.0, 9.1, 9.5),
    "SG39": (33.0, 24.8, 23.5, 22.6, 22.2),
}
STEP = 3


def butt_log(diameters, *taken: int) -> LogRecord:
    """The log of these sections, with only those sections taken between the ends."""
    return from_options(
        species="sweetgum",
        length=f"{(len(diameters) - 1) * STEP} ft",
        butt=f"{diameters[0]} in under bark",
        top=f"{diameters[-1]} in under bark",
        stations=[f"{k * STEP} ft: {diameters[k]} in under bark" for k in taken],
        confirm={"--top-is-wider"},
    )


def errors(diameters) -> tuple[float, float, float, float]:
    """Two ends alone, one width past the flare, Smalian, Huber; each against all sections. [fraction]"""
    last = len(diameters) - 1

    def integrated(*taken: int) -> float:
        return volume.volume_by_integration(butt_log(diameters, *taken).to_shape())

    true = integrated(*range(1, last))
    large, small, middle = (volume.area_of_diameter(diameters[k] * INCH) for k in (0, last, last // 2))
    length = last * STEP * FOOT
    smalian, huber = volume.smalian(length, large, small), volume.huber(length, middle)
    return integrated() / true - 1, integrated(1) / true - 1, smalian / true - 1, huber / true - 1


@pytest.mark.parametrize("tree", QUOTED)
def test_our_integration_of_quoted_trees_is_the_sum_of_their_frusta(tree):
    # Outside check: a stack of cone frusta over the printed sections, by hand.
    inches = QUOTED[tree]
    areas = [np.pi / 4 * (d * 0.0254) ** 2 for d in inches]
    stacked = sum(0.9144 / 3 * (a + np.sqrt(a * b) + b) for a, b in itertools.pairwise(areas))
    shape = butt_log(inches, 1, 2, 3).to_shape()
    assert volume.volume_by_integration(shape) == pytest.approx(stacked, rel=1e-9)


def test_one_width_past_the_flare_cures_quoted_butt_logs():
    found = np.array([errors(inches) for inches in QUOTED.values()])
    ends, flare, smalian, huber = found.mean(axis=0)
    assert ends > 0.08
    assert abs(flare) < ends / 3
    # Reference for butt logs of this set: Smalian far too high, Huber too low.
    assert smalian > ends > 0 > huber


def test_a_flared_log_is_asked_for_its_width_and_then_not_again():
    record = butt_log(QUOTED["SG39"])
    assert record.flared()
    assert "past the flare" in record.questions()[0]
    assert "16 %" in record.questions()[0]
    assert butt_log(QUOTED["SG39"], 1).questions() == []
    # The assumption that no width was taken is tried out with the butt narrowed.
    tried = {a.field: (low, high) for a, low, high in record.variants()}
    low, high = tried["log.stations"]
    volumes = [volume.volume_by_integration(r.to_shape()) for r in (low, high)]
    assert volumes[0] < volumes[1]
    true = volume.volume_by_integration(butt_log(QUOTED["SG39"], 1, 2, 3).to_shape())
    assert volumes[0] < true * 1.06
    assert volumes[1] > true


def whole_set() -> dict[str, list[float]]:
    place = os.environ.get("PITHLINE_REFERENCE")
    root = Path(place) if place else Path(__file__).parents[3] / "shared" / "reference"
    file = root / "logs" / "data" / "stem_taper_sweetgum_texas.csv"
    if not file.exists():
        pytest.skip("no copy of the sweetgum stems; set PITHLINE_REFERENCE to the folder above logs/data")
    stems: dict[str, dict[float, float]] = defaultdict(dict)
    for row in csv.DictReader(file.read_text(encoding="utf-8").splitlines()):
        stems[row["tree_id"]][float(row["h_above_stump_ft"])] = float(row["dib_in"])
    heights = [0.0, 3.0, 6.0, 9.0, 12.0]
    return {
        tree: [sections[h] for h in heights]
        for tree, sections in stems.items()
        if all(h in sections for h in heights)
    }


def test_the_whole_set_of_butt_logs():
    # 12 ft butt logs. The record's question promises "some 16 %" and a cure to a few per cent:
    # allowed is one point of the mean's own sampling error (sd 6 points over 30 trees).
    stems = whole_set()
    assert len(stems) >= 30
    ends, flare, smalian, huber = np.mean([errors(d) for d in stems.values()], axis=0)
    assert ends == pytest.approx(0.16, abs=0.012)
    assert 0.0 < flare < 0.04
    assert smalian > ends
    assert huber < -0.05

"""Which assumption is worth most: the beam planned anew as it might otherwise be."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest

from pithline.log.lie import Lie
from pithline.log.record import Assumption
from pithline.log.shape import LogShape
from pithline.saw.doubts import doubts
from pithline.saw.written.assumed import Assumed
from tests.saw.beam import LIE, TIMBER, beam, sawn


@dataclass
class Record:
    """As much of a log record as the planner asks for."""

    shape: LogShape
    ground: Lie = LIE

    def to_shape(self) -> LogShape:
        return self.shape

    def lie(self) -> Lie:
        return self.ground


def test_the_assumption_worth_most_comes_first():
    # Three slabs of 0.1 x 0.4 x 1.9 m3 at 1000 are worth 228. A beam of half the width is worth 114; a fifth
    # more width 273.6. A pith only 150 mm above the ground leaves two slabs: 152.
    made = sawn()
    bark = Assumption("log.bark", "0 mm", "200 mm", "none", "made up")
    ground = Assumption("lie", "24 cm", "15 cm", "24 cm", "made up")
    low = replace(LIE, pith_butt=0.15, pith_top=0.15)
    found = doubts(
        made,
        [
            (ground, Record(beam(), low), Record(beam())),
            (bark, Record(beam(0.2, 0.2)), Record(beam(0.48, 0.48))),
        ],
        TIMBER,
    )
    assert [d.field for d in found] == ["log.bark", "lie"]
    assert (found[0].net_low, found[0].net_high, found[0].swing) == pytest.approx((114, 273.6, 114))
    assert (found[1].net_low, found[1].net_high, found[1].swing) == pytest.approx((152, 228, 76))


def test_a_log_that_might_leave_nothing_to_saw_is_worth_nothing_then():
    narrow = Assumption("log.form", "square", "lath", "square", "made up")
    (only,) = doubts(sawn(), [(narrow, Record(beam(0.05, 0.05)), Record(beam()))], TIMBER)
    assert (only.net_low, only.swing) == pytest.approx((0, 228))


def test_a_mill_that_nobody_described_is_tried_otherwise():
    # The beam's four kerfs of 10 mm are what it has: at 8 mm three slabs take 332 mm, and still no fourth
    # fits. Unsealed ends lose 150 mm each: 1.7 of the 1.9 m are left, so 228 becomes 204.
    unsaid = [
        Assumed("mill.kerf", "10 mm", ""),
        Assumed("aims.sealed", "yes", ""),
        Assumed("aims.pith", "free", ""),
    ]
    found = doubts(sawn(), [], TIMBER, unsaid)
    assert [d.field for d in found] == ["aims.sealed", "mill.kerf"]
    assert (found[0].net_low, found[0].net_high, found[0].swing) == pytest.approx((204, 228, 24))
    assert (found[1].net_low, found[1].net_high) == pytest.approx((228, 228))

"""Lumber and mixed out of a log on offer, against the saw room's own plans and in their order."""

from __future__ import annotations

import numpy as np
import pytest

from pithline.money.market_boards import market_boards
from pithline.money.offered.log import OfferedLog
from pithline.money.offered.ripped import planned_products
from pithline.money.offered.worth import worth
from pithline.money.offered.yields import Yield, planned_yield
from pithline.saw.rip.ripped import rip_log
from pithline.slab.tally import TallyUnit
from pithline.slab.tallying import volume_unit
from pithline.units import BOARD_FOOT
from tests.money.offers_at_hand import call_of, costs_of, planner_of

PLANNER = planner_of()


def middle() -> OfferedLog:
    guess = call_of().guess
    assert guess is not None
    return OfferedLog.told(guess)


def made(price: float, edging: float = 0.0) -> tuple[Yield, Yield, Yield]:
    record = middle().middle
    boards = market_boards(price, PLANNER.aims.unit)
    return planned_products(record.to_shape(), record.lie(), *PLANNER.all, boards, edging)


def test_the_short_plans_are_those_of_the_saw_room():
    # At 13 a board foot some slabs of this log are better ripped and some are not.
    price = 13.0
    record = middle().middle
    boards = market_boards(price, PLANNER.aims.unit)
    full = rip_log(record.to_shape(), record.lie(), *PLANNER.all, boards)
    slabs, _, alone, mixed = full.ways
    live, lumber, both = made(price)
    assert 0 < both.edged < both.slabs
    assert live.value == pytest.approx(slabs.value)
    assert lumber.boards == pytest.approx(alone.value)
    assert both.value + both.boards == pytest.approx(mixed.value)
    assert both.edged == sum(each.ripped for each in full.slabs)
    assert (lumber.cuts, both.cuts) == (alone.cuts, mixed.cuts)


def test_slabs_alone_are_the_plan_that_the_verdict_rests_on():
    record = middle().middle
    assert made(4.2)[0] == planned_yield(record.to_shape(), record.lie(), *PLANNER.all)


def test_edging_that_costs_more_is_done_less():
    counts = [made(14.0, edging)[2].edged for edging in (0.0, 40.0, 400.0)]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] > 0
    assert counts[-1] == 0


def test_lumber_is_less_wood_than_the_slabs_it_is_ripped_from():
    price = 5.0
    _, lumber, _ = made(price)
    feet = lumber.boards / price
    assert lumber.value == 0
    assert lumber.edged == lumber.slabs
    assert lumber.tally * volume_unit(PLANNER.aims.unit) == pytest.approx(feet * BOARD_FOOT)
    # Kerfs, wane, and what whole inches leave over: under nine tenths, and edging leaves 55 to 80 % of
    # live-edge slabs (common practice, no source).
    assert 0.55 < feet * BOARD_FOOT / lumber.solid < 0.90


@pytest.mark.parametrize("unit", [TallyUnit.BF_SAWN, TallyUnit.M3])
def test_the_market_pays_by_the_board_foot_in_every_unit(unit):
    assert market_boards(4.2, unit).otherwise / volume_unit(unit) * BOARD_FOOT == pytest.approx(4.2)


def test_products_start_from_the_sum_itself_and_mixed_is_no_worse():
    def judged(price: str):
        call = call_of(lumber=price)
        return worth(call, costs_of(), PLANNER, np.random.default_rng(1), draws=300)

    low, high = judged("1 USD per bf"), judged("30 USD per bf")
    for one in (low, high):
        live, lumber, mixed = one.products
        assert live.profit == one.profit
        assert mixed.brings.p50 >= max(live.brings.p50, lumber.brings.p50) * 0.99
    # Nobody edges a slab for a dollar a board foot: then mixed is the live-edge log, draw by draw.
    assert low.products[2].profit == low.products[0].profit
    assert low.products[2].name.startswith("mixed: 0 of")

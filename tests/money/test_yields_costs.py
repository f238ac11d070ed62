"""Costs of one's own in the rates keep the sums whole."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pithline.money.offered.log import OfferedLog
from pithline.money.offered.yields import planned_yield, slab_values, solved
from pithline.saw.planning import plan
from tests.money.offers_at_hand import call_of, planner_of


def test_what_slabs_bring_is_counted_before_their_own_costs():
    planner = planner_of()
    costly = replace(planner.rates, per_slab=20.0, per_kg=0.4, per_month=3.0, per_cut_area=12.0)
    guess = call_of().guess
    assert guess is not None
    record = OfferedLog.told(guess).middle
    at = (record.to_shape(), record.lie(), planner.mill, planner.aims, costly, planner.timber)
    whole = plan(*at, compare=False)
    assert planned_yield(*at).value == pytest.approx(whole.value)
    assert slab_values(*solved(*at)) == pytest.approx([slab.value for slab in whole.slabs])
    assert whole.net < whole.value

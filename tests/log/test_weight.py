"""Green weight of logs against published figures."""

from __future__ import annotations

import pytest

from pithline.log.volume import bark_volume, volume_by_integration
from pithline.log.weight import BARK_DENSITY, green_weight
from pithline.log.written import from_options
from pithline.wood.species import species


def test_a_white_oak_log_lies_within_the_range():
    # 0.60 m x 3 m of white oak, 0.848 m3, weighs 840 kg by the extension tables' 990 kg/m3
    # (from memory): wood without its bark.
    log = from_options(species="white oak", length="3 m", butt="60 cm", top="60 cm", bark="0 mm")
    weight = green_weight(log.to_shape(), log.species)
    assert volume_by_integration(log.to_shape()) == pytest.approx(0.848, abs=0.001)
    assert weight.low < 840 < weight.high
    # Two tables of green wood rarely agree better than this.
    assert weight.mid == pytest.approx(840, rel=0.1)


def test_bark_adds_its_own_weight():
    bare, clad = (
        from_options(species="red oak", length="3 m", butt="60 cm", top="60 cm", bark=bark).to_shape()
        for bark in ("0 mm", "20 mm")
    )
    oak = species("red oak")
    low, mid, high = BARK_DENSITY
    more = bark_volume(clad)
    assert more > 0.1
    without, withit = green_weight(bare, oak), green_weight(clad, oak)
    assert withit.mid - without.mid == pytest.approx(more * mid, rel=1e-6)
    assert withit.low - without.low == pytest.approx(more * low, rel=1e-6)
    assert withit.high - without.high == pytest.approx(more * high, rel=1e-6)

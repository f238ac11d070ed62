"""Whole slabs once dry: outline, tally, what was lost."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.dry.dry_slab import Drying, dry_slab, drying_of, lost
from pithline.errors import BadValue
from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyRule, TallyUnit
from pithline.slab.tallying import tally
from pithline.wood.species import species

OAK = species("northern red oak")


def slab(left=(-0.28, -0.24), right=(0.30, 0.26), bevel=0.02, thickness=0.08):
    """Tapering from 0 to 3 m; the upper face narrower by `bevel` at each edge."""
    lower = np.stack([left, right], axis=1)
    upper = lower + np.array([bevel, -bevel])
    return SlabOutline(np.array([0.0, 3.0]), upper, lower, thickness)


def test_far_from_the_pith_every_size_is_the_handbooks():
    # Wood Handbook FPL-GTR-190, Ch. 4: S0 (30 - x) / 30; red oak 4.0 and 8.6 % (Table 4-3, from memory).
    drying = drying_of(OAK, 0.08)[1]
    assert (drying.radial, drying.tangential) == (
        pytest.approx(0.0293, abs=1e-4),
        pytest.approx(0.0631, abs=1e-4),
    )
    green, dry = slab(), dry_slab(slab(), 1000.0, drying)
    assert dry.rough.lower_width == pytest.approx(green.lower_width * (1 - drying.tangential), rel=1e-6)
    assert dry.rough.thickness == pytest.approx(0.08 * (1 - drying.radial), rel=1e-6)
    assert dry.planing == pytest.approx(0, abs=1e-5)
    # Tallied like any slab: width and thickness shrink alike, so the volume by both.
    counted = tally(dry.rough, TallyRule.MEAN, TallyUnit.M3, 0.0, 3.0)
    before = tally(green, TallyRule.MEAN, TallyUnit.M3, 0.0, 3.0)
    assert counted / before == pytest.approx((1 - drying.radial) * (1 - drying.tangential), rel=1e-6)


@given(height=st.floats(-0.3, 0.3), bevel=st.floats(0, 0.1))
def test_no_wood_is_won_by_drying_or_planing(height, bevel):
    green = slab(bevel=bevel)
    dry = dry_slab(green, height, Drying(0.029, 0.063))
    went = lost(green, dry, 0.0, 3.0)
    assert went.green > went.dry > went.flat > 0
    assert went.green == pytest.approx(went.flat + went.shrunk + went.planed)
    assert dry.flat.thickness <= dry.thinnest <= dry.rough.thickness + 1e-9


@given(height=st.floats(-0.3, 0.3))
def test_ripped_in_two_less_is_planed_away(height):
    dry = dry_slab(slab(bevel=0.0), height, Drying(0.029, 0.063))
    assert dry.ripped >= dry.flat.thickness - 1e-6


def test_ripped_in_two_a_flat_sawn_slab_loses_about_a_quarter():
    # Common practice, and the circle: half the width, a quarter of the cup.
    dry = dry_slab(slab((-0.15, -0.15), (0.15, 0.15), 0.0, 0.05), 0.6, Drying(0.029, 0.063))
    assert (dry.rough.thickness - dry.ripped) / dry.planing == pytest.approx(0.25, abs=0.05)


def test_only_the_run_counts():
    # The first station holds the pith's worst width; a run that leaves it out planes less away.
    green = slab((-0.4, -0.15), (0.4, 0.15))
    whole, part = (dry_slab(green, 0.2, Drying(0.029, 0.063), run) for run in (None, (2.0, 3.0)))
    assert part.flat.thickness > whole.flat.thickness


def test_more_shrinkage_is_on_the_far_side_of_the_range():
    low, mid, high = (dry_slab(slab(), 0.15, each) for each in drying_of(OAK, 0.08))
    assert low.cup < mid.cup < high.cup
    assert low.rough.thickness > mid.rough.thickness > high.rough.thickness


def test_wood_that_never_dried_keeps_its_size():
    dry = dry_slab(slab(bevel=0.0), 0.05, drying_of(OAK, 0.6)[1])
    assert dry.flat.thickness == pytest.approx(0.08)
    assert dry.rough.upper_width == pytest.approx(slab(bevel=0.0).upper_width)


def test_refused():
    with pytest.raises(BadValue, match='Write "8 %"'):
        drying_of(OAK, 8)
    with pytest.raises(BadValue, match="wood at a station"):
        dry_slab(slab(), 0.1, Drying(0.03, 0.06), (1.0, 2.0))

"""Ring angle across a slab."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.errors import BadValue
from pithline.saw.grain import grain_shares, mean_sin2, ring_angle

edges = st.tuples(st.floats(-0.6, 0.6), st.floats(-0.6, 0.6)).map(sorted).filter(lambda e: e[1] - e[0] > 1e-3)
# No face lies a millionth of a millimetre off the pith without lying on it.
heights = st.floats(-0.6, 0.6).filter(lambda y: y == 0 or abs(y) > 1e-9)


def test_two_thirds_of_a_slab_near_the_pith_is_quartersawn():
    # Own reference notes on sawing (computed by hand): R 300 mm, face 60 mm off the pith,
    # half width 294 mm, quarter from 104 mm outward, 65 % of the width.
    half = math.sqrt(0.3**2 - 0.06**2)
    assert half == pytest.approx(0.294, abs=5e-4)
    flat, rift, quarter = grain_shares(-half, half, 0.06)
    assert quarter == pytest.approx(0.65, abs=0.005)
    assert flat + rift + quarter == pytest.approx(1)
    assert math.degrees(ring_angle(0.104, 0.06)) == pytest.approx(60, abs=0.1)


def test_default_limits_are_those_of_architectural_woodwork():
    # AWI classes as quoted by a woodworking article, read: plain 0-30, rift 30-60, quarter 60-90.
    y = 0.1
    x30, x60 = y * math.tan(math.radians(30)), y * math.tan(math.radians(60))
    flat, rift, quarter = grain_shares(0.0, 0.2, y)
    assert (flat, rift, quarter) == (
        pytest.approx(x30 / 0.2),
        pytest.approx((x60 - x30) / 0.2),
        pytest.approx((0.2 - x60) / 0.2),
    )


def test_a_face_through_the_pith_is_all_quarter_and_a_limit_of_90_leaves_none():
    assert grain_shares(-0.2, 0.3, 0.0) == (0, 0, 1)
    assert grain_shares(-0.2, 0.3, 0.1, math.radians(45), math.pi / 2)[2] == 0


def test_a_face_without_width_has_no_shares():
    assert all(math.isnan(share) for share in grain_shares(0.1, 0.1, 0.05))


def test_limits_out_of_order_are_refused():
    with pytest.raises(BadValue, match=r"60 and 30 deg.*rising, from 0 to 90 deg"):
        grain_shares(-1, 1, 0.1, math.radians(60), math.radians(30))


@given(edges, heights, st.floats(0, 90), st.floats(0, 90))
def test_shares_agree_with_counting_points(edge, height, one, other):
    low, high = (math.radians(a) for a in sorted((one, other)))
    left, right = edge
    x = left + (np.arange(5000) + 0.5) / 5000 * (right - left)
    angle = ring_angle(x, height)
    flat, rift, quarter = grain_shares(left, right, height, low, high)
    # Two crossings of each limit, each caught to within one of 5000 cells.
    if height != 0:
        assert flat == pytest.approx((angle < low).mean(), abs=1e-3)
        assert quarter == pytest.approx((angle > high).mean(), abs=1e-3)
    assert flat + rift + quarter == pytest.approx(1)
    assert min(flat, rift, quarter) >= -1e-12


@given(edges, heights)
def test_mean_sin2_agrees_with_the_integral_and_its_mirror(edge, height):
    left, right = edge
    x = left + (np.arange(20000) + 0.5) / 20000 * (right - left)
    mean = mean_sin2(left, right, height)
    # Midpoint rule: the dip at the pith is as narrow as the height, so a thin dip is
    # caught to about one cell of 20000.
    assert mean == pytest.approx((np.sin(ring_angle(x, height)) ** 2).mean(), abs=2e-4)
    assert mean_sin2(-right, -left, -height) == pytest.approx(mean, abs=1e-12)


def test_mean_sin2_of_a_hair_is_the_value_at_the_point():
    assert mean_sin2(0.1, 0.1, 0.1) == pytest.approx(0.5)
    assert mean_sin2(-0.3, 0.3, 0.0) == 1

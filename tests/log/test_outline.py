"""Outlines: areas are those of the smooth curves, and pith and form survive scaling."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.log import outline
from pithline.log.shape import polygon_areas

reach = st.floats(0.02, 1.5)


def test_a_circle_has_exactly_its_area_and_starts_to_the_right():
    circle = outline.from_readings(0.4, 0.4, 0.4, 0.4)
    assert circle.shape == (outline.POINTS, 2)
    assert polygon_areas(circle) == pytest.approx(math.pi * 0.16, rel=1e-13)
    assert circle[0, 0] == pytest.approx(0.4, rel=3e-4)
    assert circle[0, 1] == 0


@given(reach, reach, reach, reach)
def test_four_readings_hold_four_quarter_ellipses(right, up, left, down):
    drawn = outline.from_readings(right, up, left, down)
    quarters = math.pi / 4 * (right * up + up * left + left * down + down * right)
    assert polygon_areas(drawn) == pytest.approx(quarters, rel=1e-12)
    assert outline.mean_diameter(drawn) == pytest.approx(math.sqrt((right + left) * (up + down)), rel=1e-12)
    assert outline.extent(drawn) == pytest.approx((right + left, up + down), rel=1e-9)
    # The readings are found again along their own directions, but for the swelling of 2.3e-4.
    for k, reading in enumerate((right, up, left, down)):
        assert outline.ray_length(drawn, k * math.pi / 2) == pytest.approx(reading, rel=5e-4)


@given(reach, reach, st.floats(-0.4, 0.4), st.floats(-0.4, 0.4))
def test_an_ellipse_keeps_its_area_wherever_the_pith_is(across, tall, right, up):
    drawn = outline.ellipse(across, tall, right * across, up * tall)
    assert polygon_areas(drawn) == pytest.approx(math.pi / 4 * across * tall, rel=1e-12)
    assert drawn.mean(axis=0) == pytest.approx((-right * across, -up * tall), abs=1e-12)


@given(reach, reach, reach, reach, st.floats(0.1, 2.0))
def test_scaling_reaches_the_size_and_keeps_the_piths_share(right, up, left, down, size):
    form = outline.from_readings(right, up, left, down)
    assert outline.mean_diameter(outline.scaled(form, diameter=size)) == pytest.approx(size, rel=1e-12)
    for wanted in ({"across": size}, {"across": size, "tall": size / 2}):
        scaled = outline.scaled(form, **wanted)
        assert outline.extent(scaled)[0] == pytest.approx(size, rel=1e-9)
        # The pith sits at the same share of the width.
        assert -scaled[:, 0].min() / np.ptp(scaled[:, 0]) == pytest.approx(left / (left + right), rel=1e-9)


def test_a_ray_finds_the_farthest_edge_of_a_bay():
    # A square with a notch from the right: the ray to the right leaves, enters and leaves again.
    notched = np.array([[1, -1], [1, 1], [-1, 1], [-1, -1]], dtype=float)
    assert outline.ray_length(notched, 0.0) == pytest.approx(1.0)
    assert outline.ray_length(notched, math.pi / 4) == pytest.approx(math.sqrt(2))


def test_readings_all_round_may_leave_a_bay():
    # A crotch's cloverleaf: long right and left, a bay above and below.
    hours = np.arange(12) * math.pi / 6
    reach = np.where(np.arange(12) % 6 < 1, 0.5, 0.3)
    reach[[3, 9]] = 0.15
    drawn = outline.from_around(hours, reach)
    shapely = pytest.importorskip("shapely")
    polygon = shapely.Polygon(drawn)
    assert polygon.is_valid
    assert polygon.convex_hull.area > 1.1 * polygon.area
    for angle, reading in zip(hours, reach, strict=True):
        # The bays' bottoms are rounded off by the polygon's steps of 3 degrees.
        assert outline.ray_length(drawn, angle) == pytest.approx(reading, rel=2e-3)


@given(st.lists(st.floats(0.1, 1.0), min_size=4, max_size=24), st.floats(0, 6.28))
def test_readings_all_round_stay_between_their_neighbours(reach, start):
    angle = start + np.arange(len(reach)) * 2 * math.pi / len(reach)
    drawn = outline.from_around(angle, np.array(reach))
    radius = np.hypot(drawn[:, 0], drawn[:, 1])
    # The scaling to the curve's area moves the vertices by their own step squared at most.
    assert min(reach) * 0.98 <= radius.min()
    assert radius.max() <= max(reach) * 1.02
    # The area against the same curve by scipy's own monotone cubic, integrated numerically.
    from scipy.integrate import quad
    from scipy.interpolate import PchipInterpolator

    n = len(reach)
    wrapped = PchipInterpolator(np.arange(-n, 2 * n + 1) * 2 * math.pi / n, np.resize(reach, 3 * n + 1))
    area = sum(
        quad(lambda a: wrapped(a) ** 2 / 2, k * 2 * math.pi / n, (k + 1) * 2 * math.pi / n)[0]
        for k in range(n)
    )
    assert polygon_areas(drawn) == pytest.approx(area, rel=1e-9)


def test_equal_readings_all_round_are_a_circle():
    drawn = outline.from_around(np.array([0.1, 1.0, 3.0, 4.5]), np.full(4, 0.4))
    assert polygon_areas(drawn) == pytest.approx(math.pi * 0.16, rel=1e-12)

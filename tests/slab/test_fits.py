"""Rectangles, ovals and pairs against closed forms, brute force and shapely's own containment."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import rotate, scale

from pithline.errors import BadValue
from pithline.slab.clear import Allowance, Band, clear_bands, on_stations
from pithline.slab.fits import Fit, Form, largest_rectangle, pair_top, rectangle_of
from pithline.slab.outline import SlabOutline
from pithline.slab.ovals import TOLERANCE, glued, largest_oval, largest_round, oval_of, polygons

TURNS = np.radians([0, -3, 3])
few = settings(max_examples=40)  # brute force is slow


def band(z, low, high):
    return Band(*(np.array(side, dtype=float) for side in (z, low, high)))


def slab(z, left, right, left_low=None, right_low=None):
    upper = np.column_stack([left, right]).astype(float)
    lower = upper if left_low is None else np.column_stack([left_low, right_low]).astype(float)
    return SlabOutline(np.array(z, dtype=float), upper, lower, 0.08)


@st.composite
def slabs(draw):
    """Crooked slabs whose edges may cross, so that the wood falls into parts."""
    steps = draw(st.lists(st.floats(0.05, 1.5), min_size=1, max_size=7))
    z = np.concatenate([[0.0], np.cumsum(steps)])
    edge = st.lists(st.floats(-0.1, 0.5), min_size=z.size, max_size=z.size)
    sides = [np.array(draw(edge)) for _ in range(4)]
    upper, lower = (np.column_stack([-a, np.maximum(b, -a)]) for a, b in (sides[:2], sides[2:]))
    return SlabOutline(z, upper, lower, 0.08)


def footprint(fit: Fit) -> shapely.Polygon:
    if fit.form is Form.RECTANGLE:
        flat = shapely.box(fit.z - fit.length / 2, fit.across - fit.width / 2,
                           fit.z + fit.length / 2, fit.across + fit.width / 2)  # fmt: skip
    else:
        flat = scale(shapely.Point(fit.z, fit.across).buffer(1, 64), fit.length / 2, fit.width / 2)
    return rotate(flat, fit.turned, use_radians=True, origin=(fit.z, fit.across))


def wood(bands) -> shapely.Geometry:
    # 1 µm of air: our sides touch the edges on purpose.
    return shapely.union_all(polygons(bands)).buffer(1e-6)


# Closed forms: geometry of textbooks.


def test_half_a_triangle_is_the_largest_rectangle_in_it():
    fit = largest_rectangle([band([0, 4], [-0.5, 0], [0.5, 0])])
    assert (fit.length, fit.width, fit.area) == pytest.approx((2.0, 0.5, 1.0), abs=1e-8)


def test_a_rectangle_in_an_ellipse_is_2ab():
    t = np.linspace(0, np.pi, 81)
    z, y = -2 * np.cos(t), 0.4 * np.sin(t)
    fit = largest_rectangle([band(z, -y, y)])
    # An 81-cornered ellipse: its corners lie on the true one, and 45° is among them.
    assert fit.area == pytest.approx(2 * 2 * 0.4, abs=1e-9)


@pytest.mark.parametrize(("top", "length", "width"), [(0.8, 4.0, 0.8), (0.2, 2.5, 0.5)])
def test_a_rectangle_in_a_trapezoid(top, length, width):
    # Width 1 - (1 - top) z/4: z (1 - (1 - top) z/4) is largest at z = 2/(1 - top), or at the end.
    fit = largest_rectangle([band([0, 4], [-0.5, -top / 2], [0.5, top / 2])])
    assert (fit.length, fit.width) == pytest.approx((length, width), abs=1e-6)


def test_a_circle_in_a_square_and_in_a_triangle():
    assert largest_round(polygons([band([0, 1], [0, 0], [1, 1])])).width == pytest.approx(
        1, abs=2 * TOLERANCE
    )
    sides = 1.0 + 2 * math.hypot(4, 0.5)
    radius = 2 * 2.0 / sides  # area over half the perimeter
    fit = largest_round(polygons([band([0, 4], [-0.5, 0], [0.5, 0])]))
    assert fit.width == pytest.approx(2 * radius, abs=2 * TOLERANCE)


def test_an_oval_in_a_triangle_is_steiners():
    # Steiner inellipse: pi / (3 sqrt 3) of the triangle's area, the largest ellipse in it (from memory).
    fit = largest_oval(polygons([band([0, 4], [-0.5, 0], [0.5, 0])]))
    assert fit.area == pytest.approx(math.pi / (3 * math.sqrt(3)) * 2.0, rel=1e-3)


def test_an_oval_in_a_rectangle_touches_all_sides():
    fit = largest_oval(polygons([band([0, 3], [0, 0], [1, 1])]))
    assert (fit.length, fit.width) == pytest.approx((3, 1), rel=0.005)


# Brute force.


@few
@given(slabs())
def test_no_rectangle_on_a_fine_grid_is_larger(outline):
    bands = clear_bands(outline)
    fit = largest_rectangle(bands)
    best = 0.0
    for b in bands:
        z = np.unique(np.concatenate([np.linspace(b.z[0], b.z[-1], 120), b.z]))
        low, high = np.interp(z, b.z, b.low), np.interp(z, b.z, b.high)
        for i in range(z.size):
            width = np.minimum.accumulate(high[i:]) - np.maximum.accumulate(low[i:])
            best = max(best, float(((z[i:] - z[i]) * width).max()))
    assert (fit.area if fit else 0.0) >= best - 1e-9


@few
@given(slabs())
def test_what_fits_lies_in_the_wood(outline):
    bands = clear_bands(outline)
    found = [largest_rectangle(bands, TURNS), largest_round(polygons(bands)), largest_oval(polygons(bands))]
    for fit in (f for f in found if f):
        assert wood(bands).covers(footprint(fit))


@few
@given(slabs())
def test_turning_never_loses_wood_and_shrinking_never_gains_it(outline):
    bands = clear_bands(outline)
    straight, turned = largest_rectangle(bands), largest_rectangle(bands, TURNS)
    assert (turned.area if turned else 0) >= (straight.area if straight else 0)
    small = largest_rectangle(clear_bands(outline, Allowance.of(across=0.08, edge=0.01, trim_butt=0.05)))
    assert (small.area if small else 0) <= (straight.area if straight else 0) + 1e-9


@few
@given(slabs(), st.floats(0.3, 2.0))
def test_the_widest_of_a_length_is_the_widest_on_a_grid(outline, length):
    bands = clear_bands(outline)
    fit = rectangle_of(bands, length, 0.05)
    best = 0.0
    for b in bands:
        for a in np.linspace(b.z[0], b.z[-1] - length, 150) if b.z[-1] - b.z[0] >= length else ():
            inside = (b.z > a) & (b.z < a + length)
            low = max([*b.low[inside], *np.interp([a, a + length], b.z, b.low)])
            high = min([*b.high[inside], *np.interp([a, a + length], b.z, b.high)])
            best = max(best, high - low)
    if best > 0.05:
        assert fit is not None
        assert wood(bands).covers(footprint(fit))
        # The first part that holds it is taken, so another part may be wider still.
        assert fit.width >= (best - 1e-9 if len(bands) == 1 else 0.05)


def test_a_size_that_is_a_hair_too_wide_does_not_fit():
    bands = clear_bands(slab([0, 3], [-0.3, -0.25], [0.3, 0.25]))
    assert rectangle_of(bands, 3.0, 0.5) is not None
    assert rectangle_of(bands, 3.0, 0.501) is None
    assert oval_of(polygons(bands), 2.0, 0.5) is not None
    assert oval_of(polygons(bands), 2.0, 0.6) is None
    with pytest.raises(BadValue, match="more than 0 m"):
        rectangle_of(bands, math.nan, 0.5)


# Clear wood.


def test_only_wood_under_both_faces_is_clear():
    bands = clear_bands(slab([0, 2], [-0.4, -0.4], [0.4, 0.4], [-0.3, -0.5], [0.2, 0.6]))
    (one,) = bands
    # Edges cross where -0.3 - 0.1 z = -0.4 and where 0.2 + 0.2 z = 0.4: both at 1 m.
    assert one.z == pytest.approx([0, 1, 2])
    assert one.low == pytest.approx([-0.3, -0.4, -0.4])
    assert one.high == pytest.approx([0.2, 0.4, 0.4])


def test_the_pith_strip_leaves_two_sides():
    left, right = clear_bands(slab([0, 2], [-0.4, -0.4], [0.3, 0.3]), Allowance.of(pith=0.05))
    assert (left.area, right.area) == pytest.approx((0.7, 0.5))


def test_shrinking_comes_before_trimming():
    (one,) = clear_bands(slab([0, 2], [-0.4, -0.4], [0.4, 0.4]), Allowance.of(0.1, 0.2, 0.02, across=0.1))
    assert (one.z[0], one.z[-1]) == pytest.approx((0.1, 1.8))
    assert (one.low[0], one.high[-1]) == pytest.approx((-0.34, 0.34))
    assert clear_bands(slab([0, 0.2], [-0.4, -0.4], [0.4, 0.4]), Allowance.of(0.1, 0.2)) == ()


def test_a_waist_without_wood_parts_the_slab():
    first, second = clear_bands(slab([0, 1, 2], [-0.3, 0.1, -0.3], [0.3, -0.1, 0.3]))
    # The edges meet a quarter before the waist: 0.6 at the ends, -0.2 in the middle.
    assert (first.z[-1], second.z[0]) == pytest.approx((0.75, 1.25))


@pytest.mark.parametrize("wrong", [{"edge": -0.01}, {"trim_top": math.nan}, {"across": 1.0}])
def test_allowances_that_cannot_be_are_refused(wrong):
    with pytest.raises(BadValue):
        Allowance.of(**wrong)


# A pair.


def test_a_pair_of_equal_slabs_is_twice_as_wide():
    one = [band([0, 4], [-0.3, -0.3], [0.3, 0.3])]
    first, second = pair_top(one, [one[0].mirrored()])
    assert (first.width, second.width) == pytest.approx((0.6, 0.6))
    assert first.length == pytest.approx(4)


@few
@given(slabs(), slabs())
def test_no_pair_on_a_fine_grid_is_larger(left, right):
    pair = pair_top(clear_bands(left), clear_bands(right))
    best = 0.0
    for one in clear_bands(left):
        for other in clear_bands(right):
            both = on_stations([one, other])
            if not both:
                continue
            z = np.unique(np.concatenate([np.linspace(both[0].z[0], both[0].z[-1], 60), both[0].z]))
            for i in range(z.size):
                widths = [
                    np.minimum.accumulate(np.interp(z, b.z, b.high)[i:])
                    - np.maximum.accumulate(np.interp(z, b.z, b.low)[i:])
                    for b in both
                ]
                area = np.where((widths[0] > 0) & (widths[1] > 0), (z[i:] - z[i]) * sum(widths), 0)
                best = max(best, float(area.max()))
    area = pair[0].area + pair[1].area if pair else 0.0
    assert area >= best - 1e-9
    if pair:
        assert pair[0].length == pair[1].length
        assert wood(clear_bands(left)).covers(footprint(pair[0]))
        assert wood(clear_bands(right)).covers(footprint(pair[1]))


def test_a_round_may_lie_across_the_joint():
    one = [band([0, 2], [-0.3, -0.3], [0.3, 0.3])]
    whole = glued(one, [one[0].mirrored()], (-0.3, 0.3))
    assert sum(p.area for p in whole) == pytest.approx(2.4, rel=1e-3)
    fit = largest_round(whole)
    assert fit.width == pytest.approx(1.2, abs=3 * TOLERANCE)
    assert fit.across == pytest.approx(0, abs=3 * TOLERANCE)

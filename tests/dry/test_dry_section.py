"""Dry sections against the handbook's dimensional change, and against finite elements."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pithline.dry.dry_section import dry_sections
from pithline.errors import BadValue
from pithline.saw.thickness import ring_shrinkage
from pithline.wood.shrinkage import shrinkage_to

FAR = 1e4  # so far from the pith that the rings are straight [m]


def section(left=-0.3, right=0.3, thickness=0.08, height=0.2, radial=0.029, tangential=0.063):
    edges = np.array([[left, right]])
    return dry_sections(edges, edges, thickness, height, radial, tangential)


def one(values):
    return float(values[0])


def test_flat_sawn_width():
    # Wood Handbook FPL-GTR-190 (2010), Ch. 4: S0 (30 - x) / 30; northern red oak 8.6 % tangential
    # (Table 4-3), 600 mm, to 8 %: 562.2 mm, worked out to 0.1 mm.
    dry = section(height=FAR, tangential=float(shrinkage_to(0.086, 0.08)))
    assert one(dry.upper_width) * 1000 == pytest.approx(562.2, abs=0.05)
    assert one(dry.cup) * 1000 == pytest.approx(0, abs=0.001)


def test_white_fir_between_two_moistures():
    # Wood Handbook, p. 13-17: 232 mm flat-sawn white fir, 8 to 11 %: 1.7 mm (species and start from memory).
    # By Eq. 13-3 it is 1.712 of a board that measures 232 mm at 8 %.
    at8, at11 = (
        one(section(-0.116, 0.116, 0.0254, FAR, 0.0, float(shrinkage_to(0.07, m))).upper_width)
        for m in (0.08, 0.11)
    )
    assert 232 * (at11 / at8 - 1) == pytest.approx(1.7, abs=0.05)
    # Its thickness is radial there: CR 0.00112 gives a factor of 1.00336; from 3.3 % (Table 4-3) to a digit.
    thick8, thick11 = (
        one(section(-0.116, 0.116, 0.0254, FAR, float(shrinkage_to(0.033, m)), 0.0).thickness)
        for m in (0.08, 0.11)
    )
    assert thick11 / thick8 == pytest.approx(1.00336, abs=0.0001)


def test_quarter_sawn_width_is_radial_and_thickness_tangential():
    dry = section(FAR, FAR + 0.2, 0.05, 0.0)
    assert one(dry.upper_width) == pytest.approx(0.2 * (1 - 0.029), rel=1e-5)
    assert one(dry.thickness) == pytest.approx(0.05 * (1 - 0.063), rel=1e-3)
    assert one(dry.cup) == pytest.approx(0, abs=1e-6)


@given(
    left=st.floats(-0.4, 0.1),
    width=st.floats(0.05, 0.6),
    height=st.floats(0.1, 0.5),
    thickness=st.floats(0.02, 0.1),
)
def test_thickness_agrees_with_the_planners_mean_over_the_rings(left, width, height, thickness):
    dry = section(left, left + width, thickness, height)
    mean = float(ring_shrinkage(left, left + width, height, 0.029, 0.063))
    # The planner's mean is of small strains along mid-height; the shapes' own are of second order: 0.1 %.
    assert one(dry.thickness) / thickness == pytest.approx(1 - mean, abs=0.004)


@given(height=st.floats(0.08, 0.6), width=st.floats(0.02, 0.2))
def test_small_cup_by_hand(height, width):
    # A ring's own height, w² / 8R, flattens by twice the difference of the shrinkages: once by the
    # shorter arc, once by the smaller angle.
    dry = section(-width / 2, width / 2, 1e-4, height, 0.001, 0.002)
    if width < height / 4:
        assert one(dry.cup) == pytest.approx(0.001 * width**2 / (4 * height), rel=0.02)
        assert bool(dry.hollow_up[0])


# With the pith just at mid-height it may open through either face: left out.
heights = st.floats(0.001, 0.4)


@given(left=st.floats(-0.4, 0.2), width=st.floats(0.05, 0.6), height=heights)
def test_upside_down_and_mirrored_it_is_the_same(left, width, height):
    # A point of the face just on the check goes with either half: left out.
    assume(np.abs(left + width * np.linspace(0, 1, 41)).min() > 1e-9)
    dry = section(left, left + width, 0.07, height)
    turned = section(left, left + width, 0.07, -height)
    mirrored = section(-left - width, -left, 0.07, height)
    for other in (turned, mirrored):
        assert one(other.flat) == pytest.approx(one(dry.flat), abs=1e-6)
        assert one(other.cup) == pytest.approx(one(dry.cup), abs=1e-9)
    assert one(turned.upper_width) == pytest.approx(one(dry.lower_width), abs=1e-9)


@given(left=st.floats(-0.4, 0.2), width=st.floats(0.05, 0.6), height=st.floats(-0.4, 0.4))
def test_no_other_tilt_leaves_more_when_planed(left, width, height):
    dry = section(left, left + width, 0.07, height)
    top, bottom = dry.upper[0], dry.lower[0]
    slopes = np.linspace(-0.3, 0.3, 601)[:, None]
    room = (top[:, 1] - slopes * top[:, 0]).min(axis=1) - (bottom[:, 1] - slopes * bottom[:, 0]).max(axis=1)
    best = (room / np.sqrt(1 + slopes[:, 0] ** 2)).max()
    assert one(dry.flat) >= best - 1e-6
    assert one(dry.flat) <= one(dry.thickness)


def test_equal_shrinkage_makes_no_cup_and_no_check():
    dry = section(-0.2, 0.3, 0.08, 0.01, 0.05, 0.05)
    assert one(dry.cup) == pytest.approx(0, abs=1e-12)
    assert one(dry.check) == pytest.approx(0, abs=1e-12)
    assert one(dry.flat) == pytest.approx(0.08 * 0.95)


def test_with_the_pith_in_it_it_must_open():
    assert one(section(height=0.03).check) > 0.001
    assert one(section(height=0.05).check) == 0  # just above the pith
    # By hand: all the way round, the rings lack 2 pi (t - r) / (1 - r) of the circle.
    assert one(section(height=0.0).check) == pytest.approx(
        2 * 0.04 * 0.971 * math.sin(math.pi * 0.034 / 0.971)
    )


def test_no_wood_no_size():
    dry = section(0.1, 0.1)
    assert (one(dry.upper_width), one(dry.cup), one(dry.flat)) == (0, 0, 0)


@pytest.mark.parametrize(
    ("left", "right", "height"), [(-0.2, 0.2, 0.12), (-0.05, 0.3, 0.08), (0.1, 0.35, 0.0)]
)
def test_shape_against_finite_elements(left, right, height):
    """The fan against an elastic plate that swells in place: another law, the same shape."""
    radial, tangential, thickness = 0.0004, 0.0010, 0.06  # small, as the elements are linear
    dry = section(left, right, thickness, height, radial, tangential)
    moved, across = swollen(left, right, height, thickness, radial, tangential)
    top = moved[-across:]
    chord = top[-1] - top[0]
    rel = top - top[0]
    rise = (chord[0] * rel[:, 1] - chord[1] * rel[:, 0]) / np.hypot(*chord)
    found = dry.upper[0] - dry.upper[0, 0]
    line = dry.upper[0, -1] - dry.upper[0, 0]
    ours = (line[0] * found[:, 1] - line[1] * found[:, 0]) / np.hypot(*line)
    share = np.linspace(0, 1, len(ours))
    theirs = np.interp(share, np.linspace(0, 1, across), rise)
    # 1 % of the cup, and a ten-millionth of the width: the elements leave out squares of shrinkage.
    assert np.abs(ours - theirs).max() < 0.01 * np.abs(theirs).max() + 1e-7
    assert np.hypot(*chord) == pytest.approx(one(dry.upper_width), abs=1e-6)  # of 250 to 400 µm lost


def swollen(left, right, height, thickness, radial, tangential, across=61, up=13):
    """Nodes of a free plate of 4-node elements once shrunk by rings about (0, 0), row by row from below."""
    from scipy.sparse import coo_array
    from scipy.sparse.linalg import spsolve

    x, y = np.meshgrid(np.linspace(left, right, across), height + thickness * (np.linspace(0, 1, up) - 0.5))
    nodes = np.stack([x.ravel(), y.ravel()], axis=1)
    size = np.array([(right - left) / (across - 1), thickness / (up - 1)])
    stiff = np.array([[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]])
    rows, columns, values, load = [], [], [], np.zeros(2 * len(nodes))
    for j in range(up - 1):
        for i in range(across - 1):
            first = j * across + i
            corner = [first, first + 1, first + across + 1, first + across]
            at = np.array([(2 * n, 2 * n + 1) for n in corner]).ravel()
            element = np.zeros((8, 8))
            for s in (-(3**-0.5), 3**-0.5):
                for t in (-(3**-0.5), 3**-0.5):
                    sx, sy = np.array([-1, 1, 1, -1]), np.array([-1, -1, 1, 1])
                    dx, dy = sx * (1 + sy * t) / 2 / size[0], sy * (1 + sx * s) / 2 / size[1]
                    b = np.zeros((3, 8))
                    b[0, 0::2], b[1, 1::2], b[2, 0::2], b[2, 1::2] = dx, dy, dy, dx
                    shape = (1 + sx * s) * (1 + sy * t) / 4
                    px, py = shape @ nodes[corner]
                    sin2, cross = px**2 / (px**2 + py**2), px * py / (px**2 + py**2)
                    strain = -np.array(
                        [
                            tangential + (radial - tangential) * sin2,
                            radial + (tangential - radial) * sin2,
                            2 * (radial - tangential) * cross,
                        ]
                    )
                    area = size[0] * size[1] / 4
                    element += b.T @ stiff @ b * area
                    load[at] += b.T @ stiff @ strain * area
            rows.append(np.repeat(at, 8))
            columns.append(np.tile(at, 8))
            values.append(element.ravel())
    matrix = coo_array(
        (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(len(load),) * 2
    ).tocsc()
    held = [0, 1, 2 * (across - 1) + 1]  # one corner, and the height of the next: no rigid motion
    free = np.setdiff1d(np.arange(len(load)), held)
    moved = np.zeros(len(load))
    moved[free] = spsolve(matrix[free][:, free], load[free])
    return nodes + moved.reshape(-1, 2), across


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ({"thickness": 0.0}, "12/4"),
        ({"height": math.nan}, "above the pith"),
        ({"tangential": 6.3}, "0 to 0.5"),
        ({"left": 0.4}, "left first"),
    ],
)
def test_refused(words, told):
    with pytest.raises(BadValue, match=told):
        section(**words)


def test_slanting_edges_do_not_thicken_a_slab():
    upper, lower = np.array([[-0.1, 0.15]]), np.array([[-0.25, 0.3]])
    dry = dry_sections(upper, lower, 0.08, FAR, 0.029, 0.063)
    assert one(dry.thickness) == pytest.approx(0.08 * (1 - 0.029), rel=1e-6)
    assert one(dry.upper_width) == pytest.approx(0.25 * (1 - 0.063), rel=1e-6)

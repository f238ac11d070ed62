"""Volume formulas against published examples, and integration against exact solids."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.log import volume
from pithline.log.outline import from_readings
from pithline.log.shape import LogShape
from pithline.units import FOOT, INCH

CUBIC_FOOT = FOOT**3


def lofted(*sections: tuple[float, float], bark: float = 0.0) -> LogShape:
    """Round sections (place, diameter) about a straight pith. [m]"""
    z, d = np.array(sections).T
    outlines = np.array([from_readings(*[r / 2] * 4) for r in d])
    return LogShape.of(z, outlines, np.full(z.size, bark))


def test_published_example_in_feet():
    # University of Missouri, "Cubic Log Volume": 10 and 12 in ends, 16 ft. Its page rounds the areas
    # (10.568 against 10.5689), so three decimals are allowed.
    small, large = (volume.area_of_diameter(d * INCH) for d in (10, 12))
    length = 16 * FOOT
    for formula, printed in ((volume.smalian, 10.647), (volume.cone, 10.588), (volume.neiloid, 10.568)):
        assert formula(length, large, small) / CUBIC_FOOT == pytest.approx(printed, abs=0.001)


def test_published_example_in_metres():
    # The same page: 25 and 29 cm, 5 m; printed to a millionth.
    small, large = volume.area_of_diameter(0.25), volume.area_of_diameter(0.29)
    assert volume.smalian(5, large, small) == pytest.approx(0.287848, abs=1e-6)
    assert volume.cone(5, large, small) == pytest.approx(0.286801, abs=1e-6)
    assert volume.neiloid(5, large, small) == pytest.approx(0.286452, abs=1e-6)


@given(st.floats(0.05, 3.0), st.floats(0.05, 3.0), st.floats(0.3, 30.0))
def test_identities_of_the_formulas(large, small, length):
    # From memory, any mensuration text: Newton = (Smalian + 2 Huber)/3 for any middle.
    middle = (large + small) / 2
    mixed = (volume.smalian(length, large, small) + 2 * volume.huber(length, middle)) / 3
    assert volume.newton(length, large, middle, small) == pytest.approx(mixed, rel=1e-12)
    # Newton is exact for a cone: its middle has the mean diameter.
    mean = ((math.sqrt(large) + math.sqrt(small)) / 2) ** 2
    cone = volume.cone(length, large, small)
    assert volume.newton(length, large, mean, small) == pytest.approx(cone, rel=1e-12)
    # ... and for a neiloid: its middle has the mean of d^(2/3).
    third = ((math.cbrt(large) + math.cbrt(small)) / 2) ** 3
    neiloid = volume.neiloid(length, large, small)
    assert volume.newton(length, large, third, small) == pytest.approx(neiloid, rel=1e-12)
    assert neiloid <= cone * (1 + 1e-12) <= volume.smalian(length, large, small) * (1 + 2e-12)


@given(st.floats(0.1, 1.0), st.floats(0.1, 1.0), st.floats(0.3, 30.0))
def test_smalian_errs_twice_as_much_as_huber_on_a_cone(d, other, length):
    # Computed identity: Smalian - V = pi L (D-d)^2/24, V - Huber = half of it.
    large, small = volume.area_of_diameter(max(d, other)), volume.area_of_diameter(min(d, other))
    middle = volume.area_of_diameter((d + other) / 2)
    true, gap = volume.cone(length, large, small), math.pi * length * (d - other) ** 2 / 24
    assert volume.smalian(length, large, small) - true == pytest.approx(gap, abs=1e-9)
    assert true - volume.huber(length, middle) == pytest.approx(gap / 2, abs=1e-9)


@given(st.lists(st.floats(0.1, 1.2), min_size=2, max_size=6), st.floats(0.2, 3.0))
def test_integration_is_exact_for_stacked_cones(diameters, step):
    shape = lofted(*((k * step, d) for k, d in enumerate(diameters)))
    areas = [volume.area_of_diameter(d) for d in diameters]
    stacked = sum(volume.cone(step, a, b) for a, b in itertools.pairwise(areas))
    assert volume.volume_by_integration(shape) == pytest.approx(stacked, rel=1e-12)
    # Describing the same solid at more stations changes nothing.
    finer = shape.at(np.union1d(shape.z, np.linspace(0, shape.length, 17)))
    assert volume.volume_by_integration(finer) == pytest.approx(stacked, rel=1e-12)


def test_integration_agrees_with_a_mesh_of_the_same_solid():
    # trimesh's signed volume of the triangulated loft; each side face is split into two flat
    # triangles, so only untwisted lofts (parallel edges) agree to the last digit.
    trimesh = pytest.importorskip("trimesh")
    shape = lofted((0, 0.82), (0.9, 0.70), (4.2, 0.64))
    n, points = shape.z.size, shape.outlines.shape[1]
    vertices = np.concatenate(
        [np.column_stack([o, np.full(points, z)]) for o, z in zip(shape.outlines, shape.z, strict=True)]
    )
    vertices = np.vstack([vertices, [0, 0, 0], [0, 0, shape.length]])
    faces = []
    for s in range(n - 1):
        for k in range(points):
            a, b = s * points + k, s * points + (k + 1) % points
            faces += [[a, b, b + points], [a, b + points, a + points]]
    for k in range(points):
        top = (n - 1) * points
        faces += [[n * points, (k + 1) % points, k], [n * points + 1, top + k, top + (k + 1) % points]]
    mesh = trimesh.Trimesh(vertices, faces, process=False)
    assert mesh.is_watertight
    assert volume.volume_by_integration(shape) == pytest.approx(mesh.volume, rel=1e-9)


def test_bark_of_a_cylinder():
    # A tube: pi/4 (D^2 - d^2) L. The vertices move outward by the bark: off by their swelling, 2e-4 of it.
    shape = lofted((0, 0.60), (3, 0.60), bark=0.02)
    tube = math.pi / 4 * (0.64**2 - 0.60**2) * 3
    assert volume.bark_volume(shape) == pytest.approx(tube, rel=5e-4)


def test_girth_and_oval():
    assert volume.area_of_girth(math.pi * 0.5) == pytest.approx(volume.area_of_diameter(0.5))
    # Computed identity: the mean of two diameters overstates an oval by (a - b)^2/(4ab).
    a, b = 0.82, 0.76
    over = volume.area_of_diameter((a + b) / 2) / volume.area_of_diameter(a, b) - 1
    assert over == pytest.approx((a - b) ** 2 / (4 * a * b))
    assert volume.cylinder(3, 0.2) == pytest.approx(0.6)

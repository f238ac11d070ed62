"""The opened log: every slab once, to scale, in order, and well-formed."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from pithline.saw.plan import Plan
from pithline.sheets.opened_log import opened_log
from tests.sheets.test_with_planner import worked_out

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def plan() -> Plan:
    return worked_out(roll=0.4)


def leaves(drawing: str, kind: str) -> list[np.ndarray]:
    return [
        np.array([[float(v) for v in p.split(",")] for p in e.get("points", "").split()])
        for e in ET.fromstring(drawing).iter(f"{SVG}polygon")
        if e.get("class") == kind
    ]


def test_every_slab_is_a_leaf_of_its_own_length_and_width(plan: Plan) -> None:
    drawing = opened_log(plan)
    faces = leaves(drawing, "wide-face")
    assert len(faces) == len(plan.slabs)
    scale = None
    for slab, points in zip(plan.slabs, faces, strict=True):
        n = len(points) // 2
        left, right = points[:n], points[n:][::-1]
        width = np.hypot(*(right - left).T)
        wide = max((slab.outline.upper_width, slab.outline.lower_width), key=lambda w: float(w.sum()))
        # Paper is written to 0.001 mm; every leaf must have the one scale.
        ratio = width.max() / wide.max()
        scale = scale or ratio
        assert ratio == pytest.approx(scale, rel=1e-3)
        assert width == pytest.approx(wide * scale, abs=0.01)
        along = np.hypot(*((left[-1] + right[-1]) / 2 - (left[0] + right[0]) / 2))
        drift = slab.outline.upper.mean(axis=1)[[0, -1]]
        assert along == pytest.approx(math.hypot(plan.shape.length, drift[1] - drift[0]) * scale, rel=2e-3)


def test_leaves_follow_each_other_clockwise_without_touching(plan: Plan) -> None:
    drawing = opened_log(plan)
    faces = leaves(drawing, "wide-face")
    pith = next(e for e in ET.fromstring(drawing).iter(f"{SVG}circle"))
    middle = np.array([float(pith.get("cx", 0)), float(pith.get("cy", 0))])
    away = [f.mean(axis=0) - middle for f in faces]
    turned = [math.atan2(x, -y) for x, y in away]  # clockwise from straight up
    assert turned == sorted(turned)
    shapely = pytest.importorskip("shapely")
    solid = [shapely.Polygon(f).buffer(-1e-6) for f in faces]
    assert not any(a.intersects(b) for k, a in enumerate(solid) for b in solid[k + 1 :])


def test_one_slab_stands_upright_and_inches_are_said_in_inches(plan: Plan) -> None:
    one = replace(plan, slabs=plan.slabs[:1])
    drawing = opened_log(one, "inch")
    assert len(leaves(drawing, "wide-face")) == 1
    assert '"' in "".join(e.text or "" for e in ET.fromstring(drawing).iter(f"{SVG}text"))


def test_the_pith_line_is_drawn_on_the_slab_that_holds_it(plan: Plan) -> None:
    lines = [e for e in ET.fromstring(opened_log(plan)).iter(f"{SVG}line") if e.get("class") == "pith"]
    assert len(lines) == sum(s.holds_pith for s in plan.slabs)

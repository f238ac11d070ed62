"""Drawings of stacks and slabs: to scale, in order, and never promising more than fits."""

import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest

from pithline.sheets.slab_outline import fit_words, glued_outline, slab_outline, slab_thumb
from pithline.sheets.slab_place import slab_place
from pithline.sheets.stack_view import STICK, Bar, stack_view
from pithline.slab.clear import clear_bands
from pithline.slab.fits import Fit, Form, largest_rectangle
from pithline.slab.outline import SlabOutline

SVG = "{http://www.w3.org/2000/svg}"


def boxes(svg, name):
    """Corners of every polygon of a class: (left, right, top, foot) by its slab. [mm]"""
    found = {}
    for shape in ElementTree.fromstring(svg).iter(f"{SVG}polygon"):
        if shape.get("class") == name:
            points = np.array([p.split(",") for p in shape.get("points").split()], float)
            (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
            found[shape.get("data-slab") or len(found)] = (x0, x1, y0, y1)
    return found


@pytest.fixture
def outline():
    upper = np.array([[-0.36, 0.38], [-0.31, 0.33], [-0.26, 0.27]])
    lower = upper + np.array([-0.03, 0.03])
    return SlabOutline(np.array([0, 1.5, 3.0]), upper, lower, 0.08)


def test_bars_lie_to_scale_in_their_layers():
    bars = [Bar("1-1", 0.6, 0.08, 1), Bar("1-2", 0.4, 0.054, 2, 2), Bar("1-3", 0.3, 0.054, 2, 1)]
    svg = stack_view(bars, "shed", stick=0.02)
    scale = float(re.search(r"1:(\d+(?:\.\d+)?)", svg)[1])
    drawn = boxes(svg, "slab")
    for bar in bars:
        left, right, top, foot = drawn[bar.label]
        # Points are written to 0.001 mm.
        assert (right - left) * scale / 1000 == pytest.approx(bar.width, abs=1e-4)
        assert (foot - top) * scale / 1000 == pytest.approx(bar.thickness, abs=1e-4)
    assert drawn["1-3"][1] < drawn["1-2"][0]  # spot 1 is left of spot 2
    assert (drawn["1-1"][2] - drawn["1-2"][3]) * scale / 1000 == pytest.approx(0.02, abs=1e-4)


def test_what_was_not_measured_is_dashed_and_a_label_may_lead_on():
    svg = stack_view([Bar("1-1", None, None, 1, href="/rack/1-1/?a=1&b=2")], 'shed "2"')
    assert "stroke-dasharray" in svg
    assert ElementTree.fromstring(svg).find(f"{SVG}a").get("href") == "/rack/1-1/?a=1&b=2"
    assert STICK == 0.025


def test_an_empty_stack_is_drawn_without_bars():
    assert "0 slabs" in stack_view([], "shed")


def test_a_fit_is_drawn_inside_the_clear_wood(outline):
    bands = clear_bands(outline)
    fit = largest_rectangle(bands)
    svg = slab_outline(outline, clear=bands, fits=[fit])
    (inner,) = boxes(svg, "fit rectangle").values()
    (outer,) = boxes(svg, "upper-face").values()
    assert outer[0] <= inner[0] + 1e-3
    assert inner[1] <= outer[1] + 1e-3
    assert outer[2] <= inner[2] + 1e-3
    assert inner[3] <= outer[3] + 1e-3
    scale = float(re.search(r"1:(\d+(?:\.\d+)?)", svg)[1])
    assert (inner[1] - inner[0]) * scale / 1000 == pytest.approx(fit.length, abs=1e-4)


def test_words_of_a_fit_never_promise_more_than_there_is():
    fit = Fit(Form.RECTANGLE, 2.0399, 0.5409, 1, 0)
    assert fit_words(fit) == "2.03 m × 540 mm"
    assert fit_words(fit, "inch") == '6\' 8 1/4" × 21 1/4"'  # 80.311 in and 21.295 in, down to 1/16
    assert fit_words(Fit(Form.ROUND, 0.9, 0.9, 1, 0)) == "900 mm across"


def test_a_pair_shows_its_joint(outline):
    ring = clear_bands(outline)[0].ring
    svg = glued_outline([ring], [Fit(Form.OVAL, 2, 0.4, 1.5, 0)])
    assert 'class="joint"' in svg
    assert "2.00 m × 400 mm" in svg


def test_a_thumbnail_is_small(outline):
    svg = slab_thumb(outline)
    assert len(svg) < 500
    assert "style" not in svg


def test_the_slab_is_shaded_where_it_lay():
    turn = np.linspace(0, 2 * math.pi, 73)[:-1]
    ring = 0.4 * np.column_stack([np.cos(turn), np.sin(turn)])
    slabs = [
        {"number": n, "upper_m": u, "lower_m": u - 0.08, "green_m": 0.08} for n, u in ((1, 0.2), (2, 0.05))
    ]
    plan = {
        "log": {"outlines_under_bark_m": [ring.tolist()], "length_m": 4.0},
        "roll_rad": 0.0,
        "pitch_m_per_m": 0.01,
        "slabs": slabs,
    }
    svg = slab_place(plan, 2)
    shapes = [s for s in ElementTree.fromstring(svg).iter(f"{SVG}polygon") if s.get("class") == "slab"]
    assert [s.get("fill") for s in shapes] == ["white", "#c9b27c"]
    assert "slab 2 in the butt" in svg

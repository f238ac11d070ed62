"""End faces as they are taped."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from pithline.log.outline import from_readings
from pithline.sheets.faces import face

READ = {"right": 0.418, "up": 0.395, "left": 0.402, "down": 0.365}


def test_readings_are_drawn_to_scale_with_their_figures():
    svg = face("butt", "butt", from_readings(*READ.values()), READ, bark=0.02)
    root = ElementTree.fromstring(svg)
    scale = float(re.search(r"1:(\d+)", svg)[1])
    for line in root.iter("{http://www.w3.org/2000/svg}line"):
        name = line.get("data-reading")
        if name:
            length = np.hypot(
                float(line.get("x2")) - float(line.get("x1")), float(line.get("y2")) - float(line.get("y1"))
            )
            assert length * scale / 1000 == pytest.approx(READ[name], abs=0.0005)  # drawn to 0.01 mm at 1:14
            assert f"{READ[name] * 1000:.0f} mm" in svg


@pytest.mark.parametrize("some", [{}, {"up": 0.4}, {"left": 0.3, "right": 0.2}])
def test_a_face_half_taped_is_drawn_without_an_outline(some):
    svg = face("top", "top", None, some, system="inch")
    ElementTree.fromstring(svg)
    assert svg.count("data-reading") == len(some)
    assert 'class="wood"' not in svg


def test_everything_lies_on_the_paper():
    outline = from_readings(0.1, 0.9, 0.7, 0.2)
    svg = face("top", "butt", outline, {"right": 0.1, "up": 0.9, "left": 0.7, "down": 0.2}, bark=0.03)
    width, height = (float(n) for n in re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg).groups())
    points = re.findall(r'points="([^"]+)"', svg)
    for point in " ".join(points).split():
        x, y = (float(n) for n in point.split(","))
        assert 0 <= x <= width
        assert 0 <= y <= height

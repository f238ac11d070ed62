"""A stack from side and end: to scale, sticks in line over timbers, loads never shown too small; its card."""

import io
import re
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from pithline.dry.laying.stack import by_order
from pithline.dry.laying.standing import standing
from pithline.dry.laying.written_stack import read_stack
from pithline.sheets.pile_json import pile_record
from pithline.sheets.stack_card import stack_card
from pithline.sheets.stack_sides import stack_sides

SVG = "{http://www.w3.org/2000/svg}"
DEMO = Path(__file__).parents[2] / "demo" / "stack.toml"


@pytest.fixture(scope="module")
def laid():
    written = read_stack(tomllib.loads(DEMO.read_text(encoding="utf-8")))
    stack = by_order(written.slabs, written.sawn, written.ground, written.stickers)
    return stack, standing(stack, written.known)


def boxes(svg, name):
    """Left, right, top and foot of every polygon of a class. [mm]"""
    for shape in ElementTree.fromstring(svg).iter(f"{SVG}polygon"):
        if shape.get("class") == name:
            points = np.array([p.split(",") for p in shape.get("points").split()], float)
            yield shape.get("data-slab"), (*points[:, 0][[0, 1]], points[:, 1].min(), points[:, 1].max())


def test_slabs_are_drawn_to_scale_in_both_views(laid):
    svg = stack_sides(*laid, "Stack")
    metres = float(re.search(r"1:(\d+)", svg)[1]) / 1000
    side, end = dict(boxes(svg, "slab-side")), dict(boxes(svg, "slab"))
    for one in laid[0].slabs:
        name, slab = one.slab.name, one.slab
        for view, size in ((side, slab.length), (end, slab.width)):
            left, right, top, foot = view[name]
            # Points are written to 0.001 mm.
            assert (right - left) * metres == pytest.approx(size, abs=1e-4)
            assert (foot - top) * metres == pytest.approx(slab.thickness, abs=1e-4)


def test_every_stick_lies_over_a_timber(laid):
    svg = stack_sides(*laid, "Stack")
    timbers = sorted((left + right) / 2 for _, (left, right, _, _) in boxes(svg, "timber"))
    assert len(timbers) == len(laid[0].stickers.rows)
    sticks = [(left + right) / 2 for _, (left, right, _, _) in boxes(svg, "stick")]
    assert max(min(abs(x - t) for t in timbers) for x in sticks) < 2e-3


def test_loads_are_written_rounded_up(laid):
    svg = stack_sides(*laid, "Stack")
    told = [float(t) for t in re.findall(r'class="row-load">(\d+) kg<', svg)]
    assert len(told) == len(laid[1].row_loads)
    assert all(0 <= shown - load < 1 for shown, load in zip(told, laid[1].row_loads, strict=True))


def test_the_record_adds_up(laid):
    record = pile_record(*laid)
    assert record["floor_load_kn_m2"] == pytest.approx(record["floor_load_kg_m2"] * 9.80665 / 1000)
    layers = sum(layer["mass_kg"] for layer in record["layers"])
    assert record["wood_mass_kg"] == pytest.approx(layers)
    # Sticks and top weight rest on the timbers; the timbers themselves do not.
    assert layers + 250 < sum(record["bolsters"]["loads_kg"]) < record["mass_kg"]


def test_the_card_says_first_what_must_be_put_right(laid):
    from dataclasses import replace

    from pypdf import PdfReader

    stack, _ = laid
    weak = replace(stack, ground=replace(stack.ground, bears=100.0))
    pages = PdfReader(io.BytesIO(stack_card(weak, standing(weak, {}), "Stack"))).pages
    text = pages[0].extract_text()
    assert text.index("First put right") < text.index("Sticks and timbers")
    assert "Looked after" in pages[1].extract_text()

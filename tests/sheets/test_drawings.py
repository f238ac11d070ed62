"""Drawings: well-formed, to scale, mirrored at the top, labelled."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from pithline.saw.plan import Plan
from pithline.sheets.end_view import end_view
from pithline.sheets.placing import band, chord, rolled, round_scale
from pithline.sheets.side_view import side_view
from pithline.sheets.slab_faces import slab_faces
from pithline.sheets.svg import Svg, columned, spread

NS = "{http://www.w3.org/2000/svg}"


def read(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def scale(root: ElementTree.Element) -> float:
    title = root.find(f"{NS}title")
    assert title is not None
    assert title.text is not None
    return float(title.text.rsplit("1:", 1)[1])


def classed(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [e for e in root.iter() if e.get("class") == name]


def words(root: ElementTree.Element) -> list[str]:
    return [e.text or "" for e in root.iter(f"{NS}text")]


def points(element: ElementTree.Element) -> np.ndarray:
    return np.array([[float(v) for v in p.split(",")] for p in element.get("points", "").split()])


def pith(root: ElementTree.Element) -> tuple[float, float]:
    (mark,) = classed(root, "pith")
    return float(mark.get("cx", "nan")), float(mark.get("cy", "nan"))


@pytest.mark.parametrize("end", ["butt", "top"])
def test_cuts_of_an_end_stand_to_scale_above_the_pith(plan: Plan, end: str) -> None:
    root = read(end_view(plan, end))  # type: ignore[arg-type]
    n, (_, pith_y) = scale(root), pith(root)
    drawn = {int(e.get("data-cut", "0")): e for e in classed(root, "cut")}
    assert sorted(drawn) == [c.number for c in plan.cuts]
    for cut in plan.cuts:
        line = drawn[cut.number]
        assert line.get("y1") == line.get("y2")
        # Drawn through the middle of the kerf; paper is written to 0.001 mm.
        height = (pith_y - float(line.get("y1", "nan"))) * n / 1000
        assert height == pytest.approx(cut.upper - plan.kerf / 2, abs=0.001 * n / 1000)


def test_the_paper_is_as_large_as_its_unit_says(plan: Plan) -> None:
    root = read(end_view(plan, "butt", width=90, height=80))
    view = [float(v) for v in root.get("viewBox", "").split()]
    assert root.get("width") == f"{view[2]:g}mm"
    assert view[2] == 90
    assert view[3] <= 80


def test_the_top_is_mirrored_and_both_ends_say_from_where_they_are_seen(plan: Plan) -> None:
    butt, top = read(end_view(plan, "butt")), read(end_view(plan, "top"))
    assert "Butt, seen from the butt" in words(butt)
    assert "Top, seen from the top" in words(top)
    assert scale(butt) == scale(top)
    # The circles' middle lies 20 mm to the right of the pith, seen from the butt.
    for root, side in ((butt, 1), (top, -1)):
        (wood,) = (e for e in classed(root, "wood"))
        x = points(wood)[:, 0]
        offset = ((x.min() + x.max()) / 2 - pith(root)[0]) * scale(root) / 1000
        assert offset == pytest.approx(0.02 * side, abs=1e-4)


def test_every_cut_and_slab_is_numbered_at_both_ends(plan: Plan) -> None:
    for end in ("butt", "top"):
        root = read(end_view(plan, end))  # type: ignore[arg-type]
        assert [e.text for e in classed(root, "cut-number")] == [str(c.number) for c in plan.cuts]
        assert [e.text for e in classed(root, "slab-number")] == [f"slab {s.number}" for s in plan.slabs]


def test_thin_slabs_are_numbered_beside_the_log(long_plan: Plan) -> None:
    root = read(end_view(long_plan, "butt"))
    assert {e.text for e in classed(root, "slab-number")} == {f"s{s.number}" for s in long_plan.slabs}


def test_a_zone_that_reaches_the_end_is_drawn_full_and_one_inside_dashed(plan: Plan) -> None:
    rot, figure = classed(read(end_view(plan, "butt")), "zone")
    assert rot.get("stroke-dasharray") is None
    assert figure.get("stroke-dasharray")
    assert {"R", "F"} <= set(words(read(end_view(plan, "butt"))))


def test_side_view_is_to_scale_in_both_directions(plan: Plan) -> None:
    root = read(side_view(plan))
    n = scale(root)
    cuts = classed(root, "cut")
    assert len(cuts) == len(plan.cuts)
    run = float(cuts[0].get("x2", "nan")) - float(cuts[0].get("x1", "nan"))
    assert run * n / 1000 == pytest.approx(plan.shape.length, abs=1e-3)
    (rail,) = classed(root, "rail")
    (line,) = classed(root, "pith")
    above = float(line.get("y1", "nan")) - points(rail)[:2, 1].max()
    assert above * n / 1000 == pytest.approx(plan.setup.rail_butt, abs=1e-3)
    assert {"438 mm", "440 mm", "400 mm"} <= set(words(root))


@pytest.mark.parametrize("text", [2.4, 9.0])
def test_heights_beside_a_thin_log_do_not_run_into_each_other(plan: Plan, text: float) -> None:
    # Letters as large as that leave as little room as a thin log does.
    beside: dict[str, list[tuple[float, float]]] = {}
    for e in read(side_view(plan, text=text)).iter():
        turned = re.fullmatch(r"translate\(([\d.]+) ([\d.]+)\) rotate\(-90\)", e.get("transform", ""))
        if turned:
            y, long = float(turned[2]), 0.5 * text * len(str(e.text))
            begin = {"start": y, "middle": y + long / 2, "end": y + long}[e.get("text-anchor", "start")]
            beside.setdefault(turned[1], []).append((begin - long, begin))
    assert [len(two) for two in beside.values()] == [2, 2]
    for upper, lower in beside.values():
        assert upper[1] < lower[0]


def test_inches_are_shown_where_asked(plan: Plan) -> None:
    told = words(read(side_view(plan, "inch")))
    assert '17 1/4"' in told  # 438 mm is 17.244 in
    assert not any("mm" in t for t in told)


def test_slab_faces_give_widths_sizes_and_the_counted_run(plan: Plan) -> None:
    root = read(slab_faces(plan))
    n = scale(root)
    assert [e.text for e in classed(root, "slab-number")] == [f"slab {s.number}" for s in plan.slabs]
    for slab, face in zip(plan.slabs, classed(root, "upper-face"), strict=True):
        p = points(face)
        at_butt = p[np.isclose(p[:, 0], p[:, 0].min())][:, 1]
        assert np.ptp(at_butt) * n / 1000 == pytest.approx(slab.outline.upper_width[0], abs=1e-3)
    # 2 (0.36² - 0.288²)^0.5 = 0.432 m: the chord of the butt at the first face, 0.318 - 0.03 off its middle.
    assert "432" in words(root)
    assert "12/4 · 80 mm green, 77 mm rough dry, 65 mm finished · 4.10 m counted · 0.129 m³" in words(root)
    assert len(classed(root, "not-counted")) == 2 * len(plan.slabs)


def test_text_is_escaped() -> None:
    drawing = Svg(10, 10, "a < b & c")
    drawing.write((1, 1), '3" <script>')
    root = read(drawing.render())
    assert '3" <script>' in words(root)


def test_rolling_anticlockwise_moves_the_right_side_up() -> None:
    assert rolled(np.array([1.0, 0.0]), np.pi / 2) == pytest.approx([0.0, 1.0])


def test_band_of_a_square_is_the_strip_between_the_lines() -> None:
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    strip = band(square, 0.25, 0.75)
    assert np.ptp(strip[:, 1]) == pytest.approx(0.5)
    assert np.ptp(strip[:, 0]) == pytest.approx(1.0)
    assert len(band(square, 2.0, 3.0)) == 0
    assert chord(square, 0.5) == (0.0, 1.0)
    assert chord(square, 1.5) is None


def test_scales_are_usual_ones_and_fit() -> None:
    assert round_scale(0.8, 0.8, 100, 100) == 8
    assert round_scale(0.81, 0.8, 100, 100) == 10


def test_spread_keeps_order_and_distance_and_moves_little() -> None:
    placed = spread([1.0, 1.2, 1.4, 9.0], 2.0)
    assert np.diff(placed).min() >= 2.0 - 1e-9
    assert placed == pytest.approx([-0.8, 1.2, 3.2, 9.0])


def test_crowded_labels_keep_the_first_and_the_last() -> None:
    kept = columned([0.3 * i for i in range(20)], 2.5, most=2)
    assert {0, 19} <= set(kept)
    assert len(kept) < 20
    assert max(column for column, _ in kept.values()) == 1


def test_colour_carries_no_meaning(plan: Plan) -> None:
    for svg in (end_view(plan, "butt"), side_view(plan), slab_faces(plan)):
        paints = set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg))
        assert {p for p in paints if not p.startswith("url(#")} <= {"black", "white", "none"}

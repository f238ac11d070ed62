"""Charts: the drawing says what the table says, and fits a strict page."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from xml.etree import ElementTree

import pytest

from pithline.errors import BadValue
from pithline.sheets.charts import Chart, bars, line_with_range, stacked, tornado

SVG = "{http://www.w3.org/2000/svg}"


def charts() -> list[Chart]:
    return [
        line_with_range(
            [0, 1, 2],
            [60, 40, 25],
            [65, 48, 33],
            [70, 55, 41],
            title="Drying",
            across="months",
            upward="moisture [%]",
            marks=[(30, "fibre saturation")],
        ),
        bars(["kerf", "edges"], [0.16, 0.01], title="Where the wood went", along="m³"),
        stacked(["ours", "plain"], [("slabs", [1.2, 0.9]), ("kerf", [0.2, 0.4])], title="Yield", along="m³"),
        tornado(["bark", "sweep"], [90, 70], [110, 105], 100, title="Doubt", along="EUR"),
    ]


def test_charts_drawn_at_the_same_time_do_not_spoil_each_other():
    alone = [chart.svg for chart in charts()]
    with ThreadPoolExecutor(4) as pool:
        together = list(pool.map(lambda _: [chart.svg for chart in charts()], range(12)))
    assert all(each == alone for each in together)


@pytest.mark.parametrize("chart", charts(), ids=["line", "bars", "stacked", "tornado"])
def test_a_chart_may_stand_in_a_page_that_forbids_styles(chart):
    root = ElementTree.fromstring(chart.svg)
    assert root.get("role") == "img"
    assert root.get("aria-label")
    assert not [e for e in root.iter() if "style" in e.attrib or e.tag == f"{SVG}style"]
    assert "http" not in re.sub(r'(xmlns(:\w+)?|{)="?http[^"]*"', "", chart.svg)


@pytest.mark.parametrize("chart", charts(), ids=["line", "bars", "stacked", "tornado"])
def test_every_number_stands_in_the_table(chart):
    assert all(len(row) == len(chart.heads) for row in chart.rows)


def test_text_stays_text():
    shown = "".join(ElementTree.fromstring(charts()[1].svg).itertext())
    assert all(words in shown for words in ("kerf", "Where the wood went", "m³"))


def test_bars_are_as_long_as_their_numbers():
    # A bar is a path of four corners; its width on the page is in proportion to the value.
    root = ElementTree.fromstring(bars(["a", "b"], [4.0, 1.0], title="t", along="n").svg)
    widths = []
    for path in root.iter(f"{SVG}path"):
        xs = [float(x) for x, _ in re.findall(r"[ML] ([\d.]+) ([\d.]+)", path.get("d", ""))]
        if path.get("fill") == "#666666":
            widths.append(max(xs) - min(xs))
    assert len(widths) == 2
    assert widths[0] / widths[1] == pytest.approx(4.0, rel=1e-3)


def test_both_sides_of_a_doubt_are_named():
    shown = "".join(ElementTree.fromstring(charts()[3].svg).itertext())
    assert "at the low" in shown
    assert "at the high" in shown


def test_the_largest_doubt_stands_on_top():
    assert charts()[3].rows[0][0] == "sweep"


def test_the_same_numbers_draw_the_same_bytes():
    assert charts()[0].svg == charts()[0].svg


def test_nothing_to_draw_is_refused():
    with pytest.raises(BadValue, match="of one length, and not empty"):
        bars([], [], title="t", along="n")
    with pytest.raises(BadValue, match="must be 0 or more"):
        stacked(["a"], [("p", [-1.0])], title="t", along="n")

"""The sheet for the log: one page, every figure of the plan on it as text."""

from __future__ import annotations

import io
import math
import re

import pypdf
import pytest

from pithline.saw.plan import Plan
from pithline.sheets.cut_sheet import cut_sheet
from pithline.sheets.if_late import best_stop, stops
from pithline.units import show_length


def pages(pdf: bytes) -> list[str]:
    """Text of each page with single plain spaces."""
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    return [re.sub(r"\s+", " ", page.extract_text().replace("\u00a0", " ")) for page in reader.pages]


def test_the_sheet_is_one_a4_page_with_every_cut(plan: Plan) -> None:
    pdf = cut_sheet(plan, "hollow oak · northern red oak", dated="8 Nov 2025")
    assert pdf.startswith(b"%PDF-")
    box = pypdf.PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    # ISO 216: A4 is 210 x 297 mm; a point is 1/72 in.
    assert float(box.width) / 72 * 25.4 == pytest.approx(210, abs=0.1)
    assert float(box.height) / 72 * 25.4 == pytest.approx(297, abs=0.1)
    (told,) = pages(pdf)
    assert "hollow oak · northern red oak" in told
    assert "8 Nov 2025" in told
    for cut in plan.cuts:
        face = round(cut.face_butt * 1000)
        signed = f"+{face}" if face > 0 else f"−{-face}"
        row = f"{cut.number} {cut.set_to * 1000:.0f} mm {signed} {signed} {cut.width * 1000:.0f} {cut.frees}"
        assert row in told
    for slab in plan.slabs:
        # Rounded up: nobody may lift more than he read.
        assert f"{math.ceil(slab.weight_high - 1e-9)}" in told
        assert f"slab {slab.number} 12/4 · 80 mm green" in told


@pytest.mark.parametrize(
    "needed",
    [
        "438 mm", "878 mm", "838 mm", "35 mm", "90 mm",  # rail and ledge
        "First cut: mill set to 120 mm",
        "Bracket screws above the pith mark, from 350 mm 350 mm",
        "80 mm green, 77 mm rough dry, 65 mm finished",
        "dried to 8 %",
        "EUR 689 to EUR 827",
        "mean of faces",
        "as measured",
        "Assumed: log.bark 20 mm",
        "kg at most",
        "Dust where chips should fly: sharpen",
        "You must push: stop",
        "The cut drifts: stop",
        "Bar hot",
        "Seal both ends",
        "Number it",
        "Photo",
        "If the day runs short",
        "Chainsaw trousers",
        "Chock the log on both sides",
        "Wedges",
        "A second person within call",
        "the makers' manuals",
        "Butt, seen from the butt",
        "Top, seen from the top",
        "From the side",
    ],
)  # fmt: skip
def test_the_sheet_says_what_is_needed_at_the_log(told: str, needed: str) -> None:
    assert needed in told


@pytest.fixture(scope="module")
def told() -> str:
    from tests.sheets.conftest import hand_plan

    return pages(cut_sheet(hand_plan(), "hollow oak"))[0].replace("’", "'")


@pytest.mark.parametrize(("paper", "system"), [("a4", "metric"), ("us-letter", "inch")])
def test_twenty_cuts_still_fit_one_page_in_print_of_nine_points(
    long_plan: Plan, paper: str, system: str
) -> None:
    pdf = cut_sheet(long_plan, "hollow oak", paper, system)  # type: ignore[arg-type]
    (told,) = pages(pdf)
    for cut in long_plan.cuts:
        assert show_length(cut.set_to, system) in told  # type: ignore[arg-type]
        assert f" {cut.frees} " in told
    sizes = []
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    reader.pages[0].extract_text(
        visitor_text=lambda text, cm, tm, font, size: sizes.append(size) if "slab 19" in text else None
    )
    assert min(sizes) >= 9


def test_more_cuts_go_on_overleaf_and_say_so(plan: Plan) -> None:
    from tests.sheets.conftest import hand_plan

    first, second = pages(cut_sheet(hand_plan(44, 0.005), "hollow oak"))
    assert "goes on overleaf" in first
    assert "page 2 of 2" in second
    assert "set mill to" in first
    assert "set mill to" in second  # the headings come again
    assert " slab 44 " in second


def test_the_same_plan_gives_the_same_bytes(plan: Plan) -> None:
    # No clock: the date comes in from above.
    assert cut_sheet(plan, "hollow oak") == cut_sheet(plan, "hollow oak")


def test_without_rates_the_sheet_speaks_of_volume_not_of_money() -> None:
    from tests.sheets.conftest import hand_plan

    (told,) = pages(cut_sheet(hand_plan(currency=""), "hollow oak"))
    assert "EUR" not in told
    assert "Net" not in told


def test_stops_add_up_to_the_plan(plan: Plan) -> None:
    last = stops(plan)[-1]
    assert last.net == pytest.approx(plan.net)
    assert last.minutes == pytest.approx(plan.minutes)
    assert last.slabs == tuple(s.number for s in plan.slabs)


def test_the_best_stop_is_where_a_minute_earned_most(long_plan: Plan) -> None:
    stop = best_stop(long_plan)
    assert stop is not None
    assert stop.per_minute == max(s.per_minute for s in stops(long_plan))
    assert stop.cut < len(long_plan.cuts)  # the last slabs are narrow and take their time

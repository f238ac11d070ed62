"""The sheet of a log on offer, read back from the PDF: one page, the page's words, boxes and blanks."""

from __future__ import annotations

import io
import re

import numpy as np
import pypdf
import pytest

from pithline.money.offered.worth import Worth, worth
from pithline.saw.written.assumed import Assumed
from pithline.sheets.doubts_chart import doubts_chart
from pithline.sheets.offer_sheet import AGREED, AT_THE_LOG, offer_sheet
from pithline.sheets.worth_words import CAUTION, Told, worth_words
from tests.money.offers_at_hand import call_of, costs_of, planner_of

GUESSES = (
    Assumed("call.taper", "4 mm/m to 16 mm/m", "a guess"),
    Assumed("call.load", "70 kg", "guess: two people"),
    Assumed("costs.load", "70 %", "FAO Forestry Paper 99, from memory"),
)


def text(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


@pytest.fixture(scope="module")
def judged() -> tuple[Worth, Told]:
    call = call_of(lumber="4.20 per bf", asked="150 USD", tree_protection=False, plant_movement=False)
    made = worth(call, costs_of(), planner_of(), np.random.default_rng(1), draws=200)
    return made, Told(call, "USD", "bf as sawn", GUESSES, ("Rates were turned over.",))


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("system", ["metric", "inch"])
def test_all_of_the_answer_is_on_one_page(judged, paper, system):
    made, told = judged
    (page,) = text(offer_sheet(made, told, "Log 3 · ridge oak", paper, system, "2025-02-14"))
    words = worth_words(made, told, system)
    said = [words.sentence, *words.reasons, words.most, words.share, CAUTION, *AT_THE_LOG, *AGREED]
    said += [row.note for row in (*words.ways, *words.products)]
    said += [cell for row in words.sums for cell in (row.low, row.mid, row.high)]
    said += ["Log 3 · ridge oak", "2025-02-14", "the owner asks 150 USD", "Rates were turned over."]
    for each in said:
        assert " ".join(each.split()) in page
    for doubt in made.doubts[:6]:
        assert doubt.name in page


def test_sizes_are_told_as_the_reader_measures(judged):
    metric = text(offer_sheet(*judged, "a log", system="metric"))[0]
    inch = text(offer_sheet(*judged, "a log", system="inch"))[0]
    assert "girth 2.30 m to 2.70 m over bark, 1.30 m from the butt" in metric
    assert "38 km by road" in metric
    # 2.3 m and 2.7 m are 90.55 and 106.30 in, to a sixteenth; 38 km are 23.6 miles.
    assert "girth 7' 6 9/16\" to 8' 10 5/16\" over bark" in inch
    assert "24 mi by road" in inch


def test_a_box_is_crossed_only_where_it_was_ticked(judged):
    page = text(offer_sheet(*judged, "a log"))[0]
    boxes = page[page.index("Ask and tick") :]
    assert len(re.findall("×", boxes)) == 1
    assert re.search(r"× The owner's written permission", boxes)
    unasked = call_of(permission=False, tree_protection=False, plant_movement=False)
    told = Told(unasked, "USD", "bf", (), ())
    assert "×" not in text(offer_sheet(judged[0], told, "a log"))[0]


def test_guesses_and_memory_keep_their_marks(judged):
    page = text(offer_sheet(*judged, "a log"))[0]
    assert "taper 4 mm/m to 16 mm/m*" in page
    assert "Of costs: load 70 %†." in page


def test_a_long_name_is_broken_and_not_cut_off(judged):
    name = "W" * 120
    pages = pypdf.PdfReader(io.BytesIO(offer_sheet(*judged, f"Log 3 · {name}"))).pages
    assert len(pages) == 1
    raw = pages[0].extract_text().replace("\u200b", "")
    runs = [len(run) for run in re.findall("W{4,}", raw)]
    assert sum(runs) == 120
    # A W is at least 0.9 of its size wide; the title has 11 pt or more, the page 186 mm.
    assert max(runs) * 0.9 * 11 <= 186 / 25.4 * 72


def test_a_doubt_names_its_unit(judged):
    spans = {name: span for name, span, *_ in worth_words(*judged, "metric").doubts}
    # As they were written in the call, or stand as defaults in the table of calls.
    assert spans["girth"] == "2.30 m to 2.70 m"
    assert spans["set-up"] == "1 to 3 h"
    assert spans["handling a trip"] == "3 to 8 min"
    assert spans["price level"] == "80 to 115 %"
    assert spans["time to sell"] == "2 to 16 months"
    assert spans["taper"] == "4.0 mm/m to 16.0 mm/m"


def test_a_sheet_without_doubts_has_no_chart(judged):
    assert doubts_chart((), "USD") is None
    assert len(doubts_chart(judged[0].doubts, "USD", 3).rows) == 3

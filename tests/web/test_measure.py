"""The page Measure: typed numbers with the tape's unit, faces as the person there sees them."""

from __future__ import annotations

import math
import re

import pytest

from pithline.web.measure.asking import record_of
from pithline.web.measure.drawn import draw
from pithline.yard.models import Log
from tests import book

SAID = {
    "tape": "mm", "along": "m", "log.length": "4.2",
    "log.butt.up": "395", "log.butt.down": "365", "log.butt.left": "402", "log.butt.right": "418",
    "log.top.across": "644 mm", "log.top.tall": "25 in", "log.top.seen_from": "top",
}  # fmt: skip


@pytest.fixture
def log():
    """A log that waits for the tape."""
    return book.enter("take_log", name="hollow oak", species="northern red oak")


def test_bare_numbers_get_the_tapes_unit_and_others_keep_theirs():
    words = {
        "tape": "in",
        "along": "ft",
        "log": {
            "length": "13 3/4",
            "butt": {"diameter": "31 1/2", "bark": "over"},
            "top": {"diameter": "640 mm"},
            "stations": [{"at": "3", "girth": "92,5"}],
            "sweep": {"amount": "1 3/8", "towards": "2 o'clock"},
            "zones": [{"from": "0.5", "to": "2", "depth": "6", "clock": "centre", "kind": "rot"}],
        },
        "lie": {"pith_butt": "25", "slope": "-15 %"},
    }
    assert record_of(words) == {
        "log": {
            "length": "13 3/4 ft",
            "butt": {"diameter": "31 1/2 in", "bark": "over"},
            "top": {"diameter": "640 mm"},
            "stations": [{"at": "3 ft", "girth": "92.5 in"}],
            "sweep": {"amount": "1 3/8 in", "towards": "2 o'clock"},
            "zones": [{"from": "0.5 ft", "to": "2 ft", "depth": "6 in", "clock": "centre", "kind": "rot"}],
        },
        "lie": {"pith_butt": "25 in", "slope": "-15 %"},
    }


def test_measures_are_kept_as_typed_with_their_units(client, log):
    assert client.post("/measure/1/", SAID).status_code == 303
    kept = Log.objects.get()
    assert kept.state == Log.State.MEASURED
    assert kept.record["log"]["butt"] == {
        "up": "395 mm", "down": "365 mm", "left": "402 mm", "right": "418 mm",
    }  # fmt: skip
    assert kept.record["log"]["top"]["tall"] == "25 in"
    page = client.get("/measure/1/").content.decode()
    assert 'name="log.butt.up" value="395 mm"' in page


def test_the_demo_log_goes_through_the_form_unchanged(client, demo_log):
    """What the page shows of a record and gets back is that record."""
    page = client.get("/measure/1/").content.decode()
    form = page[page.index('class="entry measure"') :]
    typed = dict(re.findall(r'<input type="(?:text|date)"[^>]* name="([^"]+)" value="([^"]*)"', form))
    typed |= {
        name: re.search(r'<option value="([^"]*)" selected', body)[1]
        for name, body in re.findall(r'<select[^>]* name="([^"]+)".*?>(.*?)</select>', form, re.S)
        if " selected" in body
    }
    typed |= dict(re.findall(r'<textarea[^>]* name="([^"]+)"[^>]*>([^<]*)</textarea>', form))
    before = Log.objects.get().record
    answer = client.post("/measure/1/", {k: v.replace("&#x27;", "'") for k, v in typed.items()})
    assert answer.status_code == 303
    after = Log.objects.get().record
    before["log"]["species"] = "Northern red oak"  # as the book has written it since the log was entered
    assert after == before


def test_a_wider_top_is_asked_about_and_a_tick_confirms_it(client, log):
    wider = {**SAID, "log.top.across": "900", "log.top.tall": "900"}
    refused = client.post("/measure/1/", wider)
    assert refused.status_code == 422
    assert "is wider than the butt" in refused.content.decode()
    assert client.post("/measure/1/", {**wider, "top_is_wider": "yes"}).status_code == 303


def test_refusals_stand_beside_the_reading(client, log):
    answer = client.post("/measure/1/", {**SAID, "log.stations.3.at": "9", "log.stations.3.across": "700"})
    assert answer.status_code == 422
    # The one row that was filled comes back as the first.
    field = re.search(r'<div class="field wrong">(.*?)</div>', answer.content.decode(), re.S)
    assert field is not None
    assert 'name="log.stations.0.at" value="9"' in field[1]
    assert "between the ends" in field[1]


def test_the_faces_are_drawn_while_numbers_go_in_and_nothing_is_kept(client, log):
    answer = client.post("/measure/1/faces/", {"tape": "mm", "log.butt.up": "395"})
    page = answer.content.decode()
    assert answer.status_code == 200
    assert page.count("<svg") == 2
    assert page.count('data-reading="up"') == 1
    assert 'class="wood"' not in page  # one reading makes no outline yet
    assert "length is still to come" in page or "is still to come" in page
    whole = client.post("/measure/1/faces/", SAID).content.decode()
    assert whole.count('class="wood"') == 2
    assert "Green weight with bark" in whole
    assert "take the high weight" in whole
    assert "Assumed, not measured" in whole
    assert "--station" not in whole  # options of the command line mean nothing here
    assert Log.objects.get().record is None


def drawn_side(svg: str, name: str) -> float:
    """How far to the right of the pith mark a reading ends on paper. [mm]"""
    found = re.search(rf'<line x1="([-\d.]+)"[^>]* x2="([-\d.]+)"[^>]*data-reading="{name}"', svg)
    assert found is not None
    return float(found[2]) - float(found[1])


@pytest.mark.parametrize("seen", ["top", "butt"])
def test_right_is_the_persons_right_wherever_they_stand(seen):
    end = {"up": "322 mm", "down": "312 mm", "left": "200 mm", "right": "400 mm", "seen_from": seen}
    record = {"log": {"length": "4.2 m", "butt": {"diameter": "80 cm"}, "top": end}, "lie": {}}
    drawn = draw("oak", "northern red oak", record, False, "metric")
    assert drawn_side(drawn.top.svg, "right") > 0 > drawn_side(drawn.top.svg, "left")
    assert f"you stand at the {seen}" in drawn.top.svg


def test_the_sheet_for_the_finger_tells_where_the_middle_is(log):
    """A tap on the pith as drawn must give back the pith as written."""
    end = {"across": "600 mm", "tall": "500 mm", "pith_right": "40 mm", "pith_up": "-30 mm"}
    record = {"log": {"length": "4.2 m", "butt": {"diameter": "80 cm"}, "top": end}, "lie": {}}
    svg = draw("oak", "northern red oak", record, False, "metric").top.svg
    sheet = re.search(r'data-scale="([\d.]+)" data-x="([\d.]+)" data-y="([\d.]+)"', svg)
    pith = re.search(r'<circle cx="([\d.]+)" cy="([\d.]+)"[^>]*class="pith"', svg)
    assert sheet is not None
    assert pith is not None
    scale, x, y = (float(n) for n in sheet.groups())
    right = (float(pith[1]) - x) * scale / 1000
    up = (y - float(pith[2])) * scale / 1000
    # The outline is a polygon whose extent is within a millimetre of the ellipse's.
    assert right == pytest.approx(0.040, abs=0.001)
    assert up == pytest.approx(-0.030, abs=0.001)


def test_the_range_of_volume_holds_the_volume(log):
    record = {"log": {"length": "4 m", "butt": {"diameter": "60 cm"}, "top": {"diameter": "60 cm"}}}
    facts = {fact.name: fact for fact in draw("oak", "northern red oak", record, False, "metric").facts}
    wood = facts["Wood under bark"]
    value, low, high = (float(text.split()[0]) for text in (wood.value, wood.low, wood.high))
    # A straight cylinder: pi r^2 l; shown to a litre.
    assert value == pytest.approx(math.pi * 0.3**2 * 4, abs=0.001)
    assert low < value < high

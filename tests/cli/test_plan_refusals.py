"""What ``pithline plan`` refuses: field, value, rule and the next step, exit code 2, nothing left behind."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "demo" / "hollow-oak.toml"
SAID = {
    "--species": "red oak",
    "--length": "3 m",
    "--butt": "62 cm",
    "--top": "54 cm",
    "--thickness": "80 mm green",
    "--draws": "0",
}
LOG = """[log]
species = "red oak"
length = "3 m"
butt = { diameter = "62 cm" }
top = { diameter = "54 cm" }
"""


def words(**changed: str) -> list[str]:
    """The least options, some of them changed or added."""
    said = {**SAID, **{f"--{name.replace('_', '-')}": value for name, value in changed.items()}}
    return [*(word for pair in said.items() for word in pair), "--no-compare"]


OPTIONS = [
    # The log.
    ({"species": "red oka"}, "log.species", "red oka", 'Did you mean "Northern red oak"?'),
    ({"species": "plastic"}, "log.species", "plastic", "pithline species --find"),
    ({"length": "3"}, "log.length", "3", "a length with its unit. A number alone could be any unit"),
    ({"length": "-3 m"}, "log.length", "-3 m", "zero or more. Leave out the minus sign"),
    ({"length": "3 mm"}, "log.length", "3 mm", "at least 30 cm and at most 30 m"),
    ({"butt": "nan cm"}, "log.butt.diameter", "nan cm", "a length with its unit (mm, cm, m, in, ft)"),
    ({"top": "inf m"}, "log.top.diameter", "inf m", "a length with its unit"),
    ({"butt": "62 m"}, "log.butt.diameter", "62 m", "at most 5 m. Measure again, or look at the unit"),
    ({"butt": "0 cm"}, "log.butt.diameter", "0 cm", "at least 6 cm"),
    (
        {"butt": "up 40 cm, down -5 cm, left 30 cm, right 30 cm"},
        "log.butt.down",
        "-50 mm",
        "more than 0: the pith mark has to lie inside the outline. In a half log, mark another point",
    ),
    (
        {"bark": "40 cm"},
        "log.butt bark",
        "400 mm",
        "thinner than the least radius there (310 mm). Measure the bark",
    ),
    ({"bark": "-3 mm"}, "log.bark.thickness", "-3 mm", "zero or more. Leave out the minus sign"),
    ({"sweep": "2 m towards 2 o'clock"}, "log.sweep.amount", "2 m", "at most 1 m"),
    ({"sweep": "35 mm"}, "log.sweep", "35 mm", "an amount and a side. Write"),
    ({"station": "5 m: 60 cm"}, "log.stations[1].at", "5 m", "between the ends"),
    ({"bearers": "-5 cm"}, "lie.bearers", "-5 cm", "zero or more"),
    # The mill.
    ({"bar": "15 cm"}, "mill.bar", "15 cm", "at least 20 cm and at most 4 m"),
    ({"bar_lost": "90 cm"}, "mill.bar", "90 cm", "longer than bar_lost, 90 cm, and clearance, 20 mm"),
    ({"kerf": "9"}, "mill.kerf", "9", "a length with its unit"),
    ({"kerf": "90 mm"}, "mill.kerf", "90 mm", "at most 25 mm"),
    ({"step": "0 mm"}, "mill.step", "0 mm", "at least 0.5 mm"),
    ({"depth_min": "40 cm"}, "mill.depth_min", "40 cm", "less than mill.depth_max, 33 cm"),
    ({"pace": "fast"}, "mill.pace", "fast", 'a sawing pace with its unit (min/m2, min/ft2). Write "5'),
    (
        {"rail": "3 m"},
        "mill.rail",
        "3.00 m",
        "3.60 m or longer for this log. Join rails, or cut the log to 2.40 m",
    ),
    # What is wanted: the depth of 330 mm less the kerf of 9 mm leaves 321 mm.
    (
        {"thickness": "400 mm green"},
        "aims.thickness",
        "400 mm green",
        "13 mm to 321 mm green: your mill sets 13 mm to 330 mm, with the kerf of 9 mm in it. Choose another",
    ),
    ({"thickness": "5 mm green"}, "aims.thickness", "5 mm green", "13 mm to 321 mm green"),
    ({"thickness": "80 mm"}, "aims.thickness[1]", "80 mm", 'Write "80 mm green", "80 mm rough dry"'),
    ({"thickness": "80"}, "aims.thickness[1]", "80", "A number alone could be any unit"),
    (
        {"thickness": "12/4 finished"},
        "aims.thickness[1]",
        "12/4 finished",
        "rough dry, which is what a quarter",
    ),
    ({"moisture": "80 %"}, "aims.moisture", "80 %", "at least 4 % and at most 30 %"),
    (
        {"moisture": "8"},
        "aims.moisture",
        "8",
        'a share with its unit. A number alone could be any unit. Write "8 %"',
    ),
    ({"tally": "wider"}, "aims.tally", "wider", '"true volume". Did you mean "wide face"?'),
    ({"unit": "gallons"}, "aims.unit", "gallons", 'one of "m3", "bf as sawn", "bf nominal"'),
    ({"pith": "out"}, "aims.pith", "out", 'one of "through", "box", "free"'),
    ({"follow": "moon"}, "aims.follow", "moon", 'one of "pith", "bark", "best"'),
    ({"bark_way": "maybe"}, "aims.bark", "maybe", 'one of "on", "stripped", "off"'),
    ({"roll": "30"}, "aims.roll", "30", 'an angle with its unit, or "free"'),
    ({"pitch": "50 %"}, "aims.pitch", "50 %", "at most 20 %"),
    (
        {"end_trim": "1.5 m"},
        "aims.end_trim",
        "1.5 m + 1.5 m",
        "less than the log's length, 3 m. Seal the ends",
    ),
    ({"pith_deduction": "150 %"}, "aims.pith_deduction", "150 %", "at most 100 %"),
    # Money.
    ({"rate": "11 per bf"}, "rates.currency", "missing", 'given with prices. Add currency = "EUR"'),
    ({"rate": "EUR 11"}, "rates.rate[1]", "EUR 11", 'an amount per m3 or bf or ft3. Write "9.50 per bf"'),
    (
        {"rate": "EUR 11 per bf", "currency": "USD"},
        "rates.currency",
        "EUR, USD",
        "one currency. Convert the others",
    ),
    ({"rate": "11 per bf", "currency": "EURO"}, "rates.currency", "EURO", "a three-letter code"),
    (
        {"cut_cost": "EUR 14 per bf", "rate": "EUR 11 per bf"},
        "rates.cut_cost",
        "EUR 14 per bf",
        "per m2 or ft2",
    ),
    ({"rate": "EUR 11 per bf", "width_premium": "60 cm"}, "rates.width", "60 cm", 'Write "60 cm: 15 %"'),
    # Uses and orders in their short form.
    ({"use": "-3 of a: 30 cm x 1 m, at 5"}, "rates.use: how many", "-3", "a whole number and then a name"),
    ({"use": "1.5 of a: 30 cm x 1 m, at 5"}, "rates.use: how many", "1.5", 'Write "bench: 38 cm x 1.5 m'),
    ({"order": "3 of : 30 cm x 1 m"}, "aims.order: how many", "3", "and then a name"),
    (
        {"use": "a: 30 cm x 1 m, at nan"},
        "rates.use: price",
        "nan",
        'a plain amount, 0 or more. Write "at 180"',
    ),
    ({"use": "a: 30 cm x 1 m, at -3"}, "rates.use: price", "-3", "a plain amount"),
    ({"order": "a: 30 cm x 1 m, at 9 EUR"}, "aims.order: price", "9 EUR", "a plain amount"),
    ({"use": "a: 30 cm x 1 m, at 5, flat, quarter"}, "rates.use: grain", "flat, quarter", "said once"),
    (
        {"use": "a: 30 cm x 1 m, at 5, at 6"},
        "rates.use: price",
        "5.0, 6.0",
        "said once. Leave one of the two out",
    ),
]


@pytest.mark.parametrize(
    ("changed", "field", "value", "rule"), OPTIONS, ids=lambda v: v if isinstance(v, str) else ""
)
def test_an_option_that_cannot_be_is_refused(pithline, changed, field, value, rule):
    answer = pithline("plan", *words(**changed))
    assert answer.code == 2
    assert answer.out == ""
    assert answer.err.startswith(f'Refused: {field} is "{value}"; it must be ')
    assert rule in answer.err
    assert "Traceback" not in answer.err


def test_an_order_named_as_a_use_is_refused(pithline):
    # The field card says "1 a" of both, and --sold "1 of a" could mean either.
    two = {"use": "1 of a: 30 cm x 1 m, at 50", "order": "1 of a: 25 cm x 1 m, at 5"}
    answer = pithline("plan", *words(rate="EUR 11 per bf", **two))
    assert answer.code == 2
    assert answer.err.startswith('Refused: aims.order.name is "a"; it must be another name than any use has')


def test_pieces_sold_without_a_face_are_refused(pithline):
    answer = pithline("plan", *words(sold="1 of a"))
    assert answer.code == 2
    assert answer.err == 'Refused: sold is "1 of a"; it must be told with a face. Add --face "118 mm".\n'


def test_a_use_of_a_thickness_that_is_not_on_the_menu_is_told(pithline):
    answer = pithline("plan", *words(rate="EUR 11 per bf", use="top: 30 cm x 1 m, at 900, 10/4"))
    assert answer.code == 0
    assert "No top is cut: it asks for 10/4, which is not on the thickness menu." in " ".join(
        answer.out.split()
    )


FILES = [
    (LOG.replace('"3 m"', '"3 m'), r"log.toml, line 3, column 1\d: "),
    (LOG.replace("species =", "species"), r"log.toml, line 2, column \d+: "),
    (LOG.replace('"3 m"', "nan"), 'log.length is nan; it must be a length with its unit.*Write "80 mm"'),
    (LOG.replace('"3 m"', "3.0"), "log.length is 3.0; it must be a length with its unit"),
    (LOG.replace("length", "lenght"), "log.lenght is .*Did you mean length?"),
    (LOG + '[mill]\nbrand = "x"\n', "mill.brand is "),
    (LOG + '[aims]\nthickness = "12/4"\n[sow]\n', "sow"),
    (LOG.replace('length = "3 m"\n', ""), "log.length is .*missing"),
    (LOG.replace('top = { diameter = "54 cm" }', 'top = "54 cm"'), 'log.top is "54 cm"; it must be a table'),
    (LOG + '[lie]\npith_butt = "20 cm"\npith_top = "30 cm"\n', r"lie.pith_butt is .*at least 326 mm"),
]


@pytest.mark.parametrize(("text", "told"), FILES)
def test_a_record_that_cannot_be_is_refused(pithline, tmp_path, text, told):
    file = tmp_path / "log.toml"
    file.write_text(text)
    answer = pithline("plan", file)
    assert answer.code == 2
    assert answer.out == ""
    assert re.search(told, answer.err)
    assert "Traceback" not in answer.err


def test_a_bar_too_short_for_every_cut_says_how_much_width_must_come_off_and_where(pithline):
    # Butt 620 mm and two barks of 16.4 mm: 653 mm. The bar cuts 600 - 140 - 20 = 440 mm, so
    # 213 mm must go there; at the top, 540 mm and two barks of 15 mm, 131 mm; or 600 + 213 mm of bar.
    told = pithline("plan", *words(bar="60 cm"))
    assert told.code == 2
    assert "the widest is 653 mm over bark at 0.00 m from the butt, your bar cuts 440 mm" in told.err
    assert "(460 mm less 20 mm clearance)" in told.err
    assert "Take 213 mm off the width at 0.00 m from the butt, 131 mm at 3.00 m" in told.err
    assert "or use a bar of 813 mm or longer" in told.err


def test_a_bar_as_long_as_the_refusal_says_is_long_enough(pithline):
    # What the refusal promises holds; a slab of 300 mm leaves the planner no narrow place to go.
    wide = words(thickness="300 mm green", bark_way="off", bar="60 cm")
    longer = re.search(r"a bar of (\d+) mm", pithline("plan", *wide).err)
    assert longer
    assert pithline("plan", *words(thickness="300 mm green", bark_way="off", bar=f"{longer[1]} mm")).code == 0


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"least_width": "70 cm"}, "No slab reaches 700 mm in width over 1.20 m in this log (widest 620 mm)"),
        ({"least_length": "4 m"}, "No slab can be 4.00 m long: 2.90 m is left between the end trims"),
        (
            {"rate": "EUR 0.1 per bf", "cut_cost": "EUR 500 per m2"},
            "No slab pays for its own cut under these rates, costs and pith rule. Look at the cost per m²",
        ),
    ],
)
def test_a_log_that_leaves_nothing_to_saw_says_what_is_in_the_way(pithline, changed, told):
    answer = pithline("plan", *words(**changed))
    assert answer.code == 2
    assert told in answer.err


def test_a_log_too_near_the_ground_says_how_far_to_raise_it(pithline, tmp_path):
    file = tmp_path / "log.toml"
    file.write_text(LOG + '[lie]\nslope = "80 %"\n')
    wanted = ("--thickness", "300 mm green", "--least-width", "40 cm", "--draws", "0", "--no-compare")
    told = pithline("plan", file, *wanted)
    assert told.code == 2
    raise_by = re.search(r"lies too low.*Raise it on bearers by about (\d+) mm", told.err)
    assert raise_by
    file.write_text(LOG + f'[lie]\nslope = "80 %"\nbearers = "{int(raise_by[1]) + 1} mm"\n')
    assert pithline("plan", file, *wanted).code == 0


def test_a_top_wider_than_the_butt_is_a_question_with_its_answer(pithline):
    asked = pithline("plan", *words(top="70 cm"))
    assert asked.code == 2
    assert asked.err == (
        "Question: The top (70.0 cm under bark) is wider than the butt (62.0 cm). "
        "If it is so, say --top-is-wider; if not, correct the record.\n"
    )
    assert pithline("plan", *words(top="70 cm"), "--top-is-wider").code == 0


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (["--thickness", "12/4"], "Give a record FILE, or at least --species, --length, --butt and --top"),
        (["no-such-log.toml"], "no-such-log.toml cannot be read: No such file or directory. Look"),
        (words(draws="-3"), "Invalid value for '--draws': -3 is not in the range 0<=x<=100000."),
        (words(seed="-1"), "Invalid value for '--seed': -1 is not in the range x>=0."),
        (words(paper="a3"), "Invalid value for '--paper': 'a3' is not one of 'a4', 'us-letter'."),
        (words(units="furlong"), "Invalid value for '--units': 'furlong' is not one of 'metric', 'inch'."),
        (
            [*words(), "--thicknes", "12/4"],
            "No such option '--thicknes'. (Did you mean one of: '--both-sides', '--thickness'?)",
        ),
    ],
)
def test_a_command_line_that_cannot_be_is_refused(pithline, line, told):
    answer = pithline("plan", *line)
    assert answer.code == 2
    assert answer.out == ""
    assert told in " ".join(answer.err.split())


@pytest.mark.parametrize("option", ["sheet", "svg", "csv", "dxf", "model"])
def test_a_place_that_cannot_be_written_leaves_nothing_behind(pithline, tmp_path, option):
    occupied = tmp_path / "occupied"
    if option in ("svg", "csv"):
        occupied.write_text("a file where a folder is needed")
    else:
        occupied.mkdir()
    before = sorted(tmp_path.rglob("*"))
    other = ("--model", tmp_path / "m.csv") if option != "model" else ("--csv", tmp_path)
    answer = pithline("plan", DEMO, "--draws", "0", "--no-compare", *other, f"--{option}", occupied)
    assert answer.code == 2
    assert f'Refused: --{option} is "{occupied}' in answer.err
    assert "it must be a place that can be written." in answer.err
    assert answer.out == ""
    assert sorted(tmp_path.rglob("*")) == before


def test_a_refused_plan_leaves_its_old_sheet_alone(pithline, tmp_path):
    sheet = tmp_path / "oak.pdf"
    sheet.write_text("last week's sheet")
    assert pithline("plan", *words(bar="60 cm"), "--sheet", sheet).code == 2
    assert sheet.read_text() == "last week's sheet"
    assert list(tmp_path.iterdir()) == [sheet]

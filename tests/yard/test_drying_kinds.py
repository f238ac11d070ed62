"""Drying in the book: months, stacks, phases, samples, readings, kiln loads."""

from __future__ import annotations

import datetime

import pytest
from django.db import DatabaseError, transaction

from pithline.errors import BadValue
from pithline.yard.models import (
    KilnLoad,
    Loaded,
    Month,
    Phase,
    Reading,
    Sample,
    Slab,
    Stack,
    Stay,
    Weighing,
)
from tests.book import done, enter

DAY = datetime.date


@pytest.fixture
def slabs(demo_log):
    size = {"thickness": "80 mm", "length": "3 m", "widths": ["40 cm / 45 cm"]}
    enter("tally_slabs", log="1", slabs=[size] * 4)


@pytest.fixture
def stack(slabs):
    enter("add_place", name="long shed", kind="shed")
    return enter("build_stack", name="A", place="long shed", built_on="2026-03-02", slabs=["1-1", "1-2"])


@pytest.fixture
def kiln():
    return enter("keep_profile", kind="kiln", name="box", table={"like": "small dehumidifier"})


def test_months_are_kept_replaced_and_say_where_they_come_from():
    enter("add_place", name="long shed")
    rows = [
        {"month": 1, "temperature": "32 F", "humidity": "71 %"},
        {"month": 2, "temperature": "2 C", "humidity": "57 %"},
    ]
    enter("set_months", place="long shed", months=rows, basis="published", source="a table near by")
    enter("set_months", place="long shed", months=[{**rows[1], "temperature": "3 C"}])
    kept = [(m.month, m.temperature_c, m.humidity_percent, m.basis) for m in Month.objects.all()]
    assert kept == [(1, pytest.approx(0), 71, "published"), (2, 3, 57, "guess")]
    with pytest.raises(BadValue, match="source"):
        enter("set_months", place="long shed", months=rows, basis="measured")
    with pytest.raises(BadValue, match="said once"):
        enter("set_months", place="long shed", months=[rows[0], rows[0]])
    for wrong in ({"humidity": "71"}, {"humidity": "0.5 %"}, {"temperature": "90 C"}, {"month": 13}):
        with pytest.raises(BadValue):
            enter("set_months", place="long shed", months=[rows[0] | wrong])


def test_phases_follow_one_another_without_overlap(stack):
    enter("begin_phase", stack="A", kind="outdoor", begins_on="2026-03-02")
    enter(
        "begin_phase", stack="A", kind="indoor", begins_on="2026-09-01", temperature="20 C", humidity="45 %"
    )
    enter("begin_phase", stack="A", kind="shed", begins_on="2026-06-01")
    kept = [(p.kind, p.begins_on, p.ends_on) for p in Phase.objects.order_by("begins_on")]
    assert kept == [
        ("outdoor", DAY(2026, 3, 2), DAY(2026, 6, 1)),
        ("shed", DAY(2026, 6, 1), DAY(2026, 9, 1)),
        ("indoor", DAY(2026, 9, 1), None),
    ]
    assert Phase.objects.first().place.name == "long shed"
    with pytest.raises(BadValue, match="ends_on"):
        enter("begin_phase", stack="A", kind="kiln", begins_on="2026-07-01", ends_on="2026-10-01")
    line = done("end_phase", stack="A", ends_on="2027-01-01").entry
    assert Phase.objects.get(kind="indoor").ends_on == DAY(2027, 1, 1)
    enter("undo_entry", entry=str(line.order))
    assert Phase.objects.get(kind="indoor").ends_on is None
    with pytest.raises(BadValue, match="ends_on"):
        enter("end_phase", stack="A", ends_on="2026-03-01")


def test_the_same_day_again_replaces_a_phase(stack):
    enter("begin_phase", stack="A", kind="outdoor", begins_on="2026-03-02")
    enter("begin_phase", stack="A", kind="shed", begins_on="2026-03-02")
    assert [p.kind for p in Phase.objects.all()] == ["shed"]


def test_a_stack_is_laid_with_places_and_its_turns_are_counted(stack):
    row = {"layer": 1, "from_end": "0 m"}
    enter(
        "lay_stack",
        stack="A",
        slabs=[
            {"slab": "1-3", "from_left": "60 cm", **row},
            {"slab": "1-1", "from_left": "0 cm", "end_for_end": True, **row},
        ],
        sticker_places=["20 cm", "80 cm"],
        bears="100 lb/ft2",
        top_weight="300 kg",
    )
    laid = {s.label: (s.layer, s.spot, s.across_m, s.end_for_end) for s in Slab.objects.filter(stack=stack)}
    assert laid == {
        "1-1": (1, 1, 0, True),
        "1-2": (None, None, None, None),
        "1-3": (1, 2, 0.6, None),
    }
    assert Slab.objects.get(number=3).state == "drying"
    kept = Stack.objects.get()
    # 1 lb/ft2 is 4.88243 kg/m2 (NIST SP 811, 2008, appendix B.8).
    assert kept.bears_kg_m2 == pytest.approx(488.243, abs=0.001)
    assert (kept.sticker_places_m, kept.top_weight_kg) == ([0.2, 0.8], 300)
    with pytest.raises(BadValue, match="sticker_places"):
        enter("lay_stack", stack="A", sticker_places=["80 cm", "20 cm"])
    with pytest.raises(BadValue, match="named once"):
        enter("lay_stack", stack="A", slabs=[{"slab": "1-1", **row}] * 2)


def test_ends_and_covers_have_their_day(stack):
    enter("seal_ends", log="1", sealed_on="2026-02-20")
    enter("seal_ends", slabs=["1-1", "1-2"], sealed_on="2026-03-02")
    enter("cover_stack", stack="A", roof="put on", ends="shaded", done_on="2026-03-03")
    kept = enter("cover_stack", stack="A", roof="taken off")
    assert Slab.objects.get(number=1).log.ends_sealed_on == DAY(2026, 2, 20)
    assert Slab.objects.get(number=2).ends_sealed_on == DAY(2026, 3, 2)
    assert (kept.covered_on, kept.ends_shaded_on) == (None, DAY(2026, 3, 3))
    for said in ({}, {"log": "1", "slabs": ["1-1"]}):
        with pytest.raises(BadValue, match="one of the two"):
            enter("seal_ends", **said)


def test_where_a_slab_lay_from_when_to_when_is_known(stack):
    enter("build_stack", name="B", built_on="2026-05-01")
    enter("move_slab", slabs=["1-1"], stack="B", moved_on="2026-06-01")
    enter("move_slab", slabs=["1-1"], stack="B", layer=3, moved_on="2026-07-01")
    line = done("move_slab", slabs=["1-1"], stack="", place="long shed", moved_on="2026-08-01").entry
    stays = [(s.stack.name, s.begins_on, s.ends_on) for s in Stay.objects.filter(slab__number=1)]
    assert stays == [
        ("A", DAY(2026, 3, 2), DAY(2026, 6, 1)),
        ("B", DAY(2026, 6, 1), DAY(2026, 8, 1)),
    ]
    enter("undo_entry", entry=str(line.order))
    assert Stay.objects.get(slab__number=1, ends_on=None).stack.name == "B"
    enter("split_slab", slab="1-1", way="cross", at=["1.2 m"])
    assert Stay.objects.filter(slab__suffix="b").count() == 2
    assert not Stay.objects.filter(slab__number=1, slab__suffix="", ends_on=None).exists()
    enter("scrap_slab", slab="1-2")
    assert not Stay.objects.filter(slab__number=2, ends_on=None).exists()


def test_samples_are_cut_weighed_and_oven_dried(stack):
    block = enter("cut_sample", name="W1", slab="1-2", weight="9 lb", cut_on="2026-03-01")
    assert (block.kind, block.species, block.thickness_m) == ("witness", "Northern red oak", 0.08)
    assert (block.stack, block.green_kg) == (stack, pytest.approx(4.0823, abs=1e-4))
    enter("weigh_piece", sample="w1", weight="3.6 kg", weighed_on="2026-04-01", scale="5 g")
    enter("weigh_piece", slab="1-1", weight="61 kg", weighed_on="2026-04-01")
    enter("change_sample", sample="W1", oven_dry="2.4 kg", done=True)
    assert [w.weight_kg for w in Weighing.objects.all()] == [3.6, 61]
    with pytest.raises(BadValue, match="oven_dry"):
        enter("change_sample", sample="W1", oven_dry="5 kg")
    with pytest.raises(BadValue, match="oven_dry"):
        enter("weigh_piece", sample="W1", weight="2.3 kg")
    with pytest.raises(BadValue, match="that it weighed when it was cut"):
        enter("weigh_piece", sample="W1", weight="40 lb")
    with pytest.raises(BadValue, match="on or after 2026-03-01, when it was cut"):
        enter("weigh_piece", sample="W1", weight="3.5 kg", weighed_on="2026-02-28")
    with pytest.raises(BadValue, match="one of the two"):
        enter("weigh_piece", weight="2.3 kg")
    for wrong in ({"name": "w1"}, {"slab": None}, {"log": "1", "slab": None}, {"thickness": "80"}):
        with pytest.raises(BadValue):
            enter("cut_sample", **{"name": "W2", "slab": "1-2"} | wrong)
    assert enter("cut_sample", name="B1", kind="board", log="1", thickness="3 in", start="72 %").stack is None
    assert Sample.objects.count() == 2


def test_a_reading_is_kept_as_it_was_shown(stack):
    enter(
        "read_meter",
        slab="1-1",
        meter="insulated pin",
        shown="23.5 %",
        depth="25 mm",
        wood_temperature="50 F",
    )
    enter("read_meter", slab="1-1", meter="pin", beyond="wet", depth="25 mm", set_to="northern red oak")
    enter("read_meter", slab="1-1", meter="pinless", shown="14 %")
    deep, wet, flat = Reading.objects.order_by("created_at")
    assert (deep.shown_percent, deep.depth_m, deep.wood_c) == (23.5, 0.025, pytest.approx(10))
    assert (wet.shown_percent, wet.beyond) == (None, "wet")
    assert flat.depth_m is None
    for wrong in (
        {"meter": "pin"},
        {"meter": "pin", "shown": "20 %", "beyond": "wet"},
        {"meter": "pinless", "shown": "20 %", "depth": "5 mm"},
        {"meter": "pin", "shown": "20"},
        {"meter": "radio", "shown": "20 %"},
    ):
        with pytest.raises(BadValue):
            enter("read_meter", slab="1-1", **wrong)
    for columns in ({"meter": "pin"}, {"meter": "pin", "shown_percent": 20.0, "slab": None}):
        with pytest.raises(DatabaseError), transaction.atomic():
            Reading.objects.create(**{"slab": deep.slab, "read_on": "2026-04-01"} | columns)


def test_a_load_runs_from_paper_to_what_it_did_to_each_slab(stack, kiln):
    load = enter(
        "load_kiln", slabs=[{"slab": "1-1", "layer": 1, "share": "60 %"}, {"slab": "1-3"}], code="t3-b1"
    )
    assert (load.number, load.kiln, load.code, load.started_at) == (1, kiln, "T3-B1", None)
    with pytest.raises(BadValue, match="one load only"):
        enter("load_kiln", slabs=[{"slab": "1-1"}])
    enter("change_load", load="1", slabs=[{"slab": "1-4"}], out=["1-3"], target="8 %")
    line = done("start_load", load="1", started="2026-05-01 08:00").entry
    inside = {one.slab.label: one.slab for one in Loaded.objects.select_related("slab__log")}
    assert set(inside) == {"1-1", "1-4"}
    assert (inside["1-1"].stack, inside["1-4"].state) == (None, "drying")
    assert Stay.objects.get(slab__number=1).ends_on == DAY(2026, 5, 1)
    with pytest.raises(BadValue, match="before the load was started"):
        enter("change_load", load="1", slabs=[{"slab": "1-3"}])
    enter("undo_entry", entry=str(line.order))
    assert Slab.objects.get(number=1).stack == stack
    enter("start_load", load="1", started="2026-05-01 08:00")
    step = enter(
        "set_kiln", load="1", set_at="2026-05-02 08:00", dry_bulb="110 F", wet_bulb="106 F", samples="41 %"
    )
    assert (step.dry_bulb_c, step.samples_percent) == (pytest.approx(43.33, abs=0.01), 41)
    for wrong in ({"set_at": "2026-04-01"}, {"wet_bulb": "50 C"}, {"dry_bulb": None}):
        with pytest.raises(BadValue):
            enter("set_kiln", **{"load": "1", "set_at": "2026-05-03", "dry_bulb": "45 C"} | wrong)
    # 56 °C in the core for 30 min: ISPM 15.
    for wrong in ({}, {"core": "55 C", "core_held": "60 min"}, {"core": "60 C", "core_held": "20 min"}):
        with pytest.raises(BadValue, match="sterilised"):
            enter("end_load", load="1", ended="2026-06-01", sterilised="yes", **wrong)
    load = enter(
        "end_load", load="1", ended="2026-06-01", energy="310 kWh", conditioned="no",
        sterilised="yes", core="57 C", core_held="45 min",
    )  # fmt: skip
    enter("mark_loaded", load="1", slab="1-4", marks="a check opened at the top", sterilised="no")
    marks = {o.slab.label: (o.sterilised, o.conditioned, o.space_share) for o in load.loaded.all()}
    assert marks == {"1-1": (True, False, 0.6), "1-4": (False, False, None)}
    assert (load.energy_kwh, load.core_c, load.core_held_min) == (310, 57, 45)
    with pytest.raises(BadValue, match="not ended"):
        enter("set_kiln", load="1", dry_bulb="40 C")


@pytest.mark.parametrize(
    ("top", "spray", "probe", "marks"),
    [
        ("49 C", False, {}, (False, False)),
        ("71 C", True, {}, (None, None)),  # it could, and nobody said
        ("71 C", True, {"core": "50 C", "core_held": "40 min"}, (False, None)),
        ("71 C", True, {"core": "58 C", "core_held": "20 min"}, (False, None)),
        ("71 C", False, {"core": "58 C", "core_held": "40 min"}, (None, False)),
    ],
)
def test_a_load_that_ends_says_what_its_kiln_could_not(slabs, top, spray, probe, marks):
    enter("keep_profile", kind="kiln", name="hot box", table={"top": top, "spray": spray}, usual=True)
    enter("load_kiln", slabs=[{"slab": "1-1"}])
    enter("start_load", load="1", started="2026-05-01 08:00")
    load = enter("end_load", load="1", ended="2026-06-01", **probe)
    assert (load.sterilised, load.conditioned) == marks
    assert [(one.sterilised, one.conditioned) for one in load.loaded.all()] == [marks]


def test_own_schedules_are_read_in_turn(slabs, kiln):
    steps = [
        {"down_to": "40 %", "dry_bulb": "40 C", "wet_bulb": "38 C"},
        {"down_to": "8 %", "dry_bulb": "50 C", "humidity": "40 %"},
    ]
    load = enter("load_kiln", slabs=[{"slab": "1-1"}], steps=steps, kiln="BOX")
    assert [s["down_to_percent"] for s in load.steps] == [40, 8]
    assert load.steps[1] == {
        "down_to_percent": 8, "dry_bulb_c": 50, "wet_bulb_c": None, "humidity_percent": 40,
    }  # fmt: skip
    for wrong in (
        {"steps": steps[::-1]},
        {"steps": [steps[0] | {"wet_bulb": "41 C"}]},
        {"steps": [steps[0] | {"humidity": "50 %"}]},
        {"steps": steps, "code": "T3-B1"},
        {"code": "T99-B1"},
        {"kiln": "none such"},
    ):
        with pytest.raises(BadValue):
            enter("load_kiln", slabs=[{"slab": "1-2"}], **wrong)
    assert KilnLoad.objects.count() == 1


def test_instants_are_by_the_clock_of_the_yard(slabs, kiln):
    enter("set_preference", name="zone", value="America/New_York")
    enter("load_kiln", slabs=[{"slab": "1-1"}])
    # Clocks went forward at 2:00 on 2026-03-08 there (IANA time zone database).
    with pytest.raises(BadValue, match="put forward"):
        enter("start_load", load="1", started="2026-03-08 02:30")
    load = enter("start_load", load="1", started="2026-03-08 03:30")
    assert load.started_at == datetime.datetime(2026, 3, 8, 7, 30, tzinfo=datetime.UTC)


LOGGED = """Time;Temp (F);RH %
01/13/2026 00:00;41,0;80
01/13/2026 06:00;39,2;82
01/13/2026 06:00;39,4;82
01/20/2026 06:00;39,2;85
"""


def test_a_loggers_file_is_used_only_when_what_is_odd_was_agreed_to():
    from pithline.yard.files import keep
    from pithline.yard.models import Logger

    enter("add_place", name="long shed")
    file = keep(LOGGED.encode(), "text/csv")
    said = {"name": "post", "file": file.sha256, "place": "long shed", "note": "on the north post"}
    kept = enter("keep_logger", **said)
    odd = {"fahrenheit", "decimal comma", "doubled", "gap"}
    assert {each["kind"] for each in kept.found} == odd
    assert (kept.begins_on, kept.ends_on, kept.readings) == (DAY(2026, 1, 13), DAY(2026, 1, 20), 3)
    assert not kept.used
    with pytest.raises(BadValue, match="agreed to first"):
        enter("judge_logger", logger="post", use="yes", agreed=["gap"])
    with pytest.raises(BadValue, match="odd about this file"):
        enter("judge_logger", logger="post", agreed=["order"])
    assert enter("judge_logger", logger="post", agreed=["gap", "doubled"]).used
    assert not enter("judge_logger", logger="post", use="no").used
    other = keep(b"no table at all", "text/csv")
    for wrong in ({}, {"name": "other", "file": other.sha256}, {"name": "other"}):
        with pytest.raises(BadValue):
            enter("keep_logger", **said | wrong)
    assert Logger.objects.count() == 1


def test_months_may_be_those_of_a_shipped_place():
    enter("add_place", name="long shed")
    enter("set_months", place="long shed", like="pittsburgh")
    assert Month.objects.count() == 12
    assert {m.basis for m in Month.objects.all()} == {"published"}
    assert "Pittsburgh" in Month.objects.first().source
    for wrong in ({"like": "Nowhere"}, {"like": "pittsburgh", "months": [{"month": 1}]}, {}):
        with pytest.raises(BadValue):
            enter("set_months", place="long shed", **wrong)

"""From the book's records to what the drying model takes."""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from pithline.errors import BadValue
from pithline.yard.drying_air import air_phases, months_of
from pithline.yard.drying_facts import drying_facts, facts_of_stack, own_milestones
from pithline.yard.drying_line import NO_PHASE, NO_STAY, line_of
from pithline.yard.models import Place, Slab, Stack, Stay
from tests.book import enter

DAY = datetime.date


@pytest.fixture
def stack(demo_log):
    enter("add_place", name="long shed", kind="shed")
    size = {"thickness": "80 mm", "length": "3 m", "widths": ["40 cm"], "sawn_on": "2026-02-20"}
    enter("tally_slabs", log="1", slabs=[size, size, {**size, "thickness": "52 mm"}])
    return enter(
        "build_stack", name="A", place="long shed", built_on="2026-03-02", slabs=["1-1", "1-2", "1-3"]
    )


def slab(number=1):
    return Slab.objects.get(number=number)


def told(line):
    return [(one.kind, one.begins, one.ends, one.assumed) for one in line]


def test_a_slab_without_any_entry_dries_where_it_lies_and_it_is_said(stack):
    assert told(line_of(slab())) == [
        ("shed", DAY(2026, 2, 20), DAY(2026, 3, 2), NO_STAY),
        ("shed", DAY(2026, 3, 2), None, NO_PHASE),
    ]


def test_a_slab_of_an_older_book_is_taken_to_lie_in_its_stack(stack):
    Stay.objects.all().delete()
    assert told(line_of(slab())) == [
        ("shed", DAY(2026, 2, 20), DAY(2026, 3, 2), NO_STAY),
        ("shed", DAY(2026, 3, 2), None, NO_PHASE),
    ]


def test_phases_moves_and_a_kiln_make_one_line(stack):
    enter("begin_phase", stack="A", kind="outdoor", begins_on="2026-03-02")
    enter("build_stack", name="B", built_on="2026-01-01")
    enter(
        "begin_phase", stack="B", kind="indoor", begins_on="2026-01-01", temperature="20 C", humidity="40 %"
    )
    enter("move_slab", slabs=["1-1"], stack="B", moved_on="2026-09-01")
    enter("keep_profile", kind="kiln", name="box", table={})
    enter("load_kiln", slabs=[{"slab": "1-1"}])
    enter("start_load", load="1", started="2026-10-01 08:00")
    enter("set_kiln", load="1", set_at="2026-10-01 09:00", dry_bulb="43 C", wet_bulb="40 C")
    enter("set_kiln", load="1", set_at="2026-10-08 09:00", dry_bulb="54 C", humidity="50 %")
    enter("end_load", load="1", ended="2026-10-20")
    line = line_of(slab())
    assert told(line) == [
        ("shed", DAY(2026, 2, 20), DAY(2026, 3, 2), NO_STAY),
        ("outdoor", DAY(2026, 3, 2), DAY(2026, 9, 1), ""),
        ("indoor", DAY(2026, 9, 1), DAY(2026, 10, 1), ""),
        ("kiln", DAY(2026, 10, 1), DAY(2026, 10, 8), ""),
        ("kiln", DAY(2026, 10, 8), DAY(2026, 10, 20), ""),
        ("shed", DAY(2026, 10, 20), None, NO_STAY),
    ]
    assert (line[3].wet_bulb, line[4].humidity, line[4].load) == (40, 0.5, 1)
    kiln, _ = air_phases(line[3:5], DAY(2026, 10, 20))
    assert [(p.temperature, p.kiln) for p in kiln] == [(43, True), (54, True)]
    assert told(line_of(slab(2))) == [
        ("shed", DAY(2026, 2, 20), DAY(2026, 3, 2), NO_STAY),
        ("outdoor", DAY(2026, 3, 2), None, ""),
    ]


def test_a_line_becomes_the_models_phases(stack):
    enter("begin_phase", stack="A", kind="indoor", begins_on="2026-03-02")
    line = line_of(slab())[1:]
    phases, remarks = air_phases(line, DAY(2026, 3, 12))
    assert [(p.days, p.temperature) for p in phases] == [(10, 20)]
    # 8.5 % at 21.1 °C and 45 %, Wood Handbook, FPL-GTR-190, 2010, Table 4-2; one last digit for the 1.1 °C.
    assert phases[0].emc == pytest.approx(0.085, abs=0.001)
    assert "a guess" in remarks[0]
    with pytest.raises(BadValue, match="known for all of long shed"):
        air_phases(line_of(slab(1))[:1], DAY(2026, 3, 2))
    enter("set_months", place="long shed", like="Pittsburgh")
    phases, _ = air_phases(line_of(slab()), DAY(2026, 3, 12))
    assert [p.days for p in phases] == [10, 10]
    assert not months_of(Place.objects.get()).guess
    enter("set_months", place="long shed", months=[{"month": 5, "temperature": "15 C", "humidity": "70 %"}])
    guess = months_of(Place.objects.get())
    assert guess.guess
    assert guess.temperature[4] == 15


def test_a_loggers_days_take_the_place_of_the_months(stack):
    from pithline.yard.files import keep

    enter("set_months", place="long shed", like="Pittsburgh")
    enter("begin_phase", stack="A", kind="shed", begins_on="2026-03-02")
    rows = [
        f"2026-03-{day:02} {hour:02}:00,{day}.5,{74 + hour}"
        for day in range(5, 12)
        for hour in (0, 6, 12, 18)
    ]
    file = keep("\n".join(["time,temperature C,humidity %", *rows]).encode(), "text/csv")
    enter("keep_logger", name="post", file=file.sha256, place="long shed")
    phases, _ = air_phases(line_of(slab())[1:], DAY(2026, 3, 20))
    assert [(p.days, p.logged is not None) for p in phases] == [(3, False), (7, True), (9 - 1, False)]
    logged = phases[1].logged
    np.testing.assert_allclose(logged.temperature, np.arange(5, 12) + 0.5)
    assert sum(p.days for p in phases) == (DAY(2026, 3, 20) - DAY(2026, 3, 2)).days
    # Only its part, where the slab came later.
    phases, _ = air_phases(line_of(slab())[1:], DAY(2026, 3, 8))
    np.testing.assert_allclose(phases[1].logged.temperature, [5.5, 6.5, 7.5])
    enter("judge_logger", logger="post", use="no")
    phases, _ = air_phases(line_of(slab())[1:], DAY(2026, 3, 20))
    assert [p.logged for p in phases] == [None]


def test_a_logger_begun_at_noon_does_not_shorten_the_stay(stack):
    from pithline.yard.files import keep

    enter("set_months", place="long shed", like="Pittsburgh")
    enter("begin_phase", stack="A", kind="shed", begins_on="2026-03-02")
    hours = [DAY(2026, 3, 5) + datetime.timedelta(days=n // 4) for n in range(2, 26)]
    rows = [f"{day} {n % 4 * 6:02}:00,{n / 4:.2f},{70 + n % 4}" for n, day in enumerate(hours, 2)]
    file = keep("\n".join(["time,temperature C,humidity %", *rows]).encode(), "text/csv")
    enter("keep_logger", name="post", file=file.sha256, place="long shed")  # 5 March 12:00 to 11 March 06:00
    phases, _ = air_phases(line_of(slab())[1:], DAY(2026, 3, 20))
    assert [(p.days, p.logged is not None) for p in phases] == [(3, False), (6, True), (9, False)]


def test_a_loggers_file_is_read_once_for_all_slabs(stack, monkeypatch):
    from pithline.yard import drying_air
    from pithline.yard.actions import loggers
    from pithline.yard.files import keep

    enter("set_months", place="long shed", like="Pittsburgh")
    enter("begin_phase", stack="A", kind="shed", begins_on="2026-03-02")
    rows = [f"2026-03-{5 + n // 4:02} {n % 4 * 6:02}:00,{n / 3:.2f},{60 + n % 4}" for n in range(28)]
    file = keep("\n".join(["time,temperature C,humidity %", *rows]).encode(), "text/csv")
    enter("keep_logger", name="ridge post", file=file.sha256, place="long shed")
    read, times = loggers.read_logger, []
    monkeypatch.setattr(loggers, "read_logger", lambda *words: times.append(words) or read(*words))
    drying_air._days.cache_clear()
    for _ in range(5):
        phases, _remarks = air_phases(line_of(slab())[1:], DAY(2026, 3, 20))
    assert [p.days for p in phases] == [3, 7, 8]
    assert len(times) == 1


def test_samples_stand_for_slabs_of_their_wood_and_thickness(stack):
    enter("cut_sample", name="W1", slab="1-1", weight="8 kg", cut_on="2026-02-21", start="80 %")
    enter("weigh_piece", sample="W1", weight="6 kg", weighed_on="2026-06-20")
    facts = {one.label: one for one in facts_of_stack(stack)[0]}
    assert [len(facts[label].weights) for label in ("1-1", "1-2", "1-3")] == [1, 1, 0]
    block = facts["1-2"].weights[0]
    assert (block.green, block.days, block.weights) == (8, (120,), (6,))
    # 8 kg at 80 % hold 8/1.8 kg of dry wood, so 6 kg are at 35 %.
    assert [r.value for r in facts["1-2"].readings] == [pytest.approx(0.80), pytest.approx(0.35)]


def test_readings_are_corrected_and_what_cannot_be_used_is_said(stack):
    said = {"slab": "1-1", "read_on": "2026-06-20", "wood_temperature": "22.7 C"}
    enter("read_meter", meter="insulated pin", shown="24 %", depth="8 mm", set_to="red oak", **said)
    enter("read_meter", meter="insulated pin", beyond="wet", depth="30 mm", set_to="red oak", **said)
    enter("read_meter", meter="pinless", shown="19 %", **said)
    enter("read_meter", meter="pin", shown="24 %", set_to="red oak", **said)
    enter("read_meter", meter="pin", shown="24 %", depth="8 mm", set_to="black walnut", **said)
    enter("read_meter", meter="pin", shown="24 %", depth="8 mm", **said | {"read_on": "2026-01-01"})
    facts = drying_facts(slab())
    assert [(r.day, r.beyond, round(r.depth, 3)) for r in facts.readings] == [
        (120, "", 0.008), (120, "wetter", 0.03), (120, "", 0.02),
    ]  # fmt: skip
    assert facts.readings[0].value == pytest.approx(0.24, abs=0.006)
    unused = [remark for remark in facts.remarks if remark.startswith("not used")]
    assert len(unused) == 3
    assert any("how deep" in remark for remark in unused)
    assert any("walnut" in remark for remark in unused)
    assert any("Douglas-fir" in remark for remark in facts.remarks)


def test_green_and_oven_dry_weight_alone_tell_the_start(stack):
    enter("cut_sample", name="W1", slab="1-1", weight="8 kg", cut_on="2026-02-21", oven_dry="5 kg")
    facts = {one.label: one for one in facts_of_stack(stack)[0]}
    (start,) = facts["1-1"].readings
    assert (start.day, start.value) == (0, pytest.approx(0.60))


def test_a_slab_weighed_green_is_its_own_sample(stack):
    enter("weigh_piece", slab="1-1", weight="90 kg", weighed_on="2026-02-25")
    enter("weigh_piece", slab="1-1", weight="70 kg", weighed_on="2026-08-24")
    enter("weigh_piece", slab="1-2", weight="70 kg", weighed_on="2026-08-24")
    (own,) = drying_facts(slab()).weights
    assert (own.green, own.whole, own.days) == (90, True, (185,))
    late = drying_facts(slab(2))
    assert late.weights == ()
    assert any("was not weighed green" in remark for remark in late.remarks)


def test_a_whole_stack_takes_few_queries(stack, django_assert_max_num_queries):
    with django_assert_max_num_queries(25):
        facts, wrong = facts_of_stack(Stack.objects.get())
    assert ([one.label for one in facts], wrong) == (["1-1", "1-2", "1-3"], [])


def test_milestones_are_those_of_the_book():
    enter("set_preference", name="flatten_at", value="12 %")
    assert {each.name: each.moisture for each in own_milestones()} == {
        "kiln-ready": 0.25, "fit to sell air-dry": 0.20, "flatten": pytest.approx(0.12), "indoor": 0.08,
    }  # fmt: skip


def test_facts_go_through_the_model(stack):
    from pithline.dry.phases import air_through

    enter("set_months", place="long shed", like="Pittsburgh")
    facts = drying_facts(slab())
    phases, _ = air_phases(facts.line, DAY(2027, 2, 20))
    assert air_through(phases, facts.begins).days == 365

"""Plans in the book: kept whole with inputs, version and sheet; cuts as they were made."""

from __future__ import annotations

import pytest

from pithline import __version__
from pithline.errors import BadValue
from pithline.yard.files import read_file
from pithline.yard.models import Cut, Log, Plan, Preference
from tests.book import demo_tables, enter


@pytest.fixture
def kit():
    tables = demo_tables()
    for kind in ("mill", "aims", "rates"):
        enter("keep_profile", kind=kind, name=f"my {kind}", table=tables[kind])
    return tables


def test_a_plan_is_kept_whole(demo_log, kit):
    plan = enter("keep_plan", log="1", draws=20)
    plan.refresh_from_db()
    assert (plan.number, plan.chosen, plan.version) == (1, True, __version__)
    assert plan.inputs["mill"]["bar"] == "42 in"
    assert plan.inputs["log"]["felled"] == "2025-11-08"
    assert read_file(plan.sheet).startswith(b"%PDF")
    totals = plan.answer["totals"]
    assert plan.tally == totals["total_tally"]
    assert plan.net_minor == pytest.approx(100 * totals["net_money"], abs=0.5)
    assert (plan.currency, Preference.objects.get(name="currency").value) == ("USD", "USD")
    assert Log.objects.get().state == Log.State.PLANNED


def test_a_plan_kept_equals_the_command_lines_answer(demo_log, kit):
    from pithline.sheets.plan_json import plan_document
    from pithline.yard.planning import inputs_of, reckon

    plan = enter("keep_plan", log="1", draws=0)
    # From the very tables of the file, past the book.
    straight = plan_document(reckon(inputs_of(demo_tables()), draws=0))
    assert plan.answer["totals"] == straight["totals"]
    assert plan.answer["cuts"] == straight["cuts"]


def test_choosing_another_plan_lets_go_of_the_first(demo_log, kit):
    enter("keep_plan", log="1", draws=0)
    enter("keep_plan", log="1", draws=0, name="thin", aims={"thickness": "8/4"}, choose=False)
    assert Plan.objects.get(chosen=True).number == 1
    enter("choose_plan", plan="1/2")
    assert Plan.objects.get(chosen=True).name == "thin"
    with pytest.raises(BadValue, match="plan"):
        enter("choose_plan", plan="1/3")


def test_a_log_that_was_not_measured_is_not_planned():
    enter("take_log", name="ash", species="white ash")
    with pytest.raises(BadValue, match="measured"):
        enter("keep_plan", log="1")


def test_rates_in_another_currency_than_the_books_are_refused(demo_log, kit):
    enter("keep_plan", log="1", draws=0)
    euros = kit["rates"] | {"currency": "EUR"}
    with pytest.raises(BadValue, match="USD, the currency of this book"):
        enter("keep_plan", log="1", draws=0, rates=euros)
    assert Plan.objects.count() == 1


def test_settings_fill_what_the_aims_leave_out(demo_log):
    enter("set_preference", name="unit", value="bf as sawn")
    enter("set_preference", name="moisture", value="12 %")
    plan = enter("keep_plan", log="1", draws=0, aims={"thickness": "12/4", "moisture": "9 %"})
    assert plan.tally_unit == "bf"
    assert plan.answer["aims"]["moisture_fraction"] == pytest.approx(0.09)
    assert plan.net_minor is None


def test_moved_cuts_are_kept_and_never_worth_more(demo_log, kit):
    best = enter("keep_plan", log="1", draws=0)
    height = best.answer["cuts"][1]["kerf_upper_m"]
    moved = enter("keep_plan", log="1", draws=0, moved=f"follow {height + 0.01:.4f}")
    assert moved.inputs["moved"]
    assert moved.net_minor <= best.net_minor
    with pytest.raises(BadValue, match="moved"):
        enter("keep_plan", log="1", draws=0, moved="up a bit")


def test_tallied_slabs_know_their_planned_ones(demo_log, kit):
    plan = enter("keep_plan", log="1", draws=0)
    slab = enter("tally_slab", log="1", thickness="80 mm", length="4 m", widths=["50 cm"])
    assert (slab.plan, slab.planned_number) == (plan, 1)
    with pytest.raises(BadValue, match="planned"):
        enter("tally_slab", log="1", thickness="80 mm", length="4 m", widths=["50 cm"], planned=99)


def test_a_cut_is_noted_and_put_right(demo_log):
    enter("note_cut", log="1", cut=1, face_butt="-12 mm", face_top="-11 mm", took="14 min")
    cut = enter("note_cut", log="1", cut=1, face_top="-9 mm", note="ran off at the knot")
    assert Cut.objects.count() == 1
    assert (cut.face_butt_m, cut.face_top_m, cut.minutes) == (-0.012, -0.009, 14)
    with pytest.raises(BadValue, match="cut"):
        enter("note_cut", log="1", cut=0)

"""Tally: numbers that stay, sizes from the tape, counts by the book's rule."""

from __future__ import annotations

import pytest

from pithline.errors import BadValue
from pithline.units import BOARD_FOOT
from pithline.yard.kinds import Clash
from pithline.yard.models import Log, Size, Slab
from tests.book import enter

ROW = {"thickness": "80 mm", "length": "2.4 m", "widths": ["45 cm / 55 cm"]}


def test_slabs_are_numbered_from_the_top_of_their_log(demo_log):
    labels = [enter("tally_slab", log="1", **ROW).label for _ in range(3)]
    assert labels == ["1-1", "1-2", "1-3"]
    assert Log.objects.get().state == Log.State.SAWN


def test_a_number_said_is_kept_and_the_next_goes_on_from_it(demo_log):
    assert enter("tally_slab", log="1", number=7, **ROW).number == 7
    assert enter("tally_slab", log="1", **ROW).number == 8


def test_two_phones_with_one_number_are_shown_and_not_resolved(demo_log):
    enter("tally_slab", log="1", number=3, **ROW)
    with pytest.raises(Clash, match="1-3"):
        enter("tally_slab", log="1", number=3, **(ROW | {"thickness": "52 mm"}))
    assert Slab.objects.count() == 1


def test_the_size_of_a_straight_slab_is_plain_geometry(demo_log):
    slab = enter("tally_slab", log="1", **ROW)
    size = slab.sizes.get()
    # 2.4 m x 0.08 m x the mean of 0.45 and 0.55 m.
    assert size.volume_m3 == pytest.approx(0.096)
    assert size.tally == pytest.approx(0.096)
    assert (size.tally_unit, size.tally_rule) == ("m3", "mean of faces, m3")
    assert (size.mean_width_m, size.least_width_m) == (pytest.approx(0.5), pytest.approx(0.45))


@pytest.mark.parametrize(
    ("rule", "width"), [("narrow face", 0.45), ("mean of faces", 0.50), ("wide face", 0.55)]
)
def test_the_books_rule_counts(demo_log, rule, width):
    enter("set_preference", name="tally", value=rule)
    enter("set_preference", name="unit", value="bf as sawn")
    size = enter("tally_slab", log="1", **ROW).sizes.get()
    assert size.tally == pytest.approx(2.4 * 0.08 * width / BOARD_FOOT)


def test_a_nominal_tally_counts_by_surface_measure(demo_log):
    enter("set_preference", name="unit", value="bf nominal")
    # 12 in wide, 8 ft long: 8 square feet of surface measure; 12/4 is 3 in thick, so 24 bf.
    row = {"thickness": "12/4", "length": "8 ft", "widths": ["12 in"]}
    slab = enter("tally_slab", log="1", **row)
    assert slab.nominal == "12/4"
    assert slab.sizes.get().tally == 24
    with pytest.raises(BadValue, match="12/4"):
        enter("tally_slab", log="1", **ROW)


def test_widths_at_places_go_on_to_the_ends(demo_log):
    widths = ["0.4 m: 60 cm", "2.0 m: 40 cm"]
    size = enter("tally_slab", log="1", thickness="50 mm", length="2.4 m", widths=widths).sizes.get()
    assert size.outline["z_m"] == [0.0, 0.4, 2.0, 2.4]
    # 0.4 x 0.6 + 1.6 x 0.5 + 0.4 x 0.4 = 1.2 m2.
    assert size.mean_width_m == pytest.approx(1.2 / 2.4)


def test_widths_without_places_are_spread_from_end_to_end(demo_log):
    said = ["60 cm / 64 cm", "50 cm / 54 cm", "40 cm / 44 cm"]
    size = enter("tally_slab", log="1", thickness="50 mm", length="3 m", widths=said).sizes.get()
    assert size.outline["z_m"] == [0.0, 1.5, 3.0]
    assert size.mean_width_m == pytest.approx(0.52)


def test_fractions_of_an_inch_are_no_two_faces(demo_log):
    size = enter("tally_slab", log="1", thickness="3 1/8 in", length="8 ft", widths=["17 1/2 in"]).sizes.get()
    assert size.mean_width_m == pytest.approx(17.5 * 0.0254)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"thickness": "80"}, "thickness"),
        ({"thickness": "2 m"}, "thickness"),
        ({"length": "0 m"}, "length"),
        ({"widths": []}, "widths"),
        ({"widths": ["45"]}, "widths"),
        ({"widths": ["1 m: 45 cm", "50 cm"]}, "widths"),
        ({"widths": ["1 m: 45 cm", "0.5 m: 50 cm"]}, "widths"),
        ({"widths": ["3 m: 45 cm"]}, "widths"),
        ({"moisture": "300 %"}, "moisture"),
        ({"weight": "nan kg"}, "weight"),
        ({"stack": "nowhere"}, "stack"),
        ({"planned": 4}, "planned"),
        ({"nominal": "thick"}, "nominal"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_a_slab_that_cannot_be_meant_is_refused_whole(demo_log, change, field):
    with pytest.raises(BadValue, match=field):
        enter("tally_slab", log="1", **(ROW | change))
    assert not Slab.objects.exists()


def test_many_at_once_are_all_or_none_and_say_which_row(demo_log):
    enter("tally_slabs", log="1", slabs=[ROW, ROW | {"number": 5}])
    assert [s.number for s in Slab.objects.all()] == [1, 5]
    with pytest.raises(BadValue, match=r"slabs\[2\]"):
        enter("tally_slabs", log="1", slabs=[ROW, ROW | {"place": "nowhere"}])
    assert Slab.objects.count() == 2


def test_a_customers_log_gives_a_customers_slabs():
    enter("add_contact", name="The neighbour")
    enter("take_log", name="ash", species="white ash", owner="customer", owner_contact="the neighbour")
    slab = enter("tally_slab", log="1", **ROW)
    assert (slab.owner, slab.owner_contact.name) == ("customer", "The neighbour")


def test_a_slab_dried_and_flattened_keeps_its_past(demo_log):
    enter("tally_slab", log="1", weight="71 lb", **ROW)
    slab = enter("resize_slab", slab="1-1", state="dry", thickness="75 mm", moisture="9 %")
    slab = enter("resize_slab", slab="1-1", state="flattened", thickness="68 mm", widths=["44 cm"])
    sizes = list(slab.sizes.all())
    assert [s.state for s in sizes] == ["green", "dry", "flattened"]
    assert [s.current for s in sizes] == [False, False, True]
    assert [s.thickness_m for s in sizes] == [pytest.approx(t) for t in (0.080, 0.075, 0.068)]
    assert sizes[0].weight_kg == pytest.approx(32.2, abs=0.05)
    assert sizes[1].outline["carried_over"] == ["length", "widths"]
    assert slab.state == Slab.State.FLATTENED
    with pytest.raises(BadValue, match="thickness"):
        enter("resize_slab", slab="1-1", state="green", weight="30 kg")


def test_one_current_size_a_slab_is_a_rule_of_the_database(demo_log):
    from django.db import IntegrityError, transaction

    slab = enter("tally_slab", log="1", **ROW)
    with pytest.raises(IntegrityError), transaction.atomic():
        Size.objects.create(slab=slab, current=True)

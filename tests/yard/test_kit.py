"""People, places, kit, settings, money, notes."""

from __future__ import annotations

import pytest

from pithline.errors import BadValue
from pithline.yard.models import Attachment, Contact, Part, Place, Preference, Profile, Want
from pithline.yard.money import shown
from pithline.yard.preferences import SETTINGS, SOURCES, setting
from tests.book import demo_tables, done, enter


def test_people_and_places_are_changed_where_said_and_left_where_not():
    enter("add_contact", name="Ana Reyes", phone="555 0100")
    enter("add_place", name="Hollow", contact="ana reyes", latitude="42.5", longitude="-72.25 deg")
    enter("change_contact", contact="Ana Reyes", email="ana@example.com")
    place = enter("change_place", place="hollow", name="Creek hollow", contact="")
    person = Contact.objects.get()
    assert (person.phone, person.email) == ("555 0100", "ana@example.com")
    assert (place.name, place.contact, place.latitude_deg) == ("Creek hollow", None, 42.5)
    with pytest.raises(BadValue, match="not in the book yet"):
        enter("add_place", name="creek HOLLOW")
    for wrong in ({"latitude": "91"}, {"latitude": "nan"}, {"zone": "Mars/Base"}, {"kind": "moon"}):
        with pytest.raises(BadValue):
            enter("change_place", place="creek hollow", **wrong)
    assert Place.objects.count() == 1


def test_a_profile_is_read_before_it_is_kept_and_one_is_usual():
    mill = demo_tables()["mill"]
    assert enter("keep_profile", kind="mill", name="long bar", table=mill).usual
    enter("keep_profile", kind="mill", name="short bar", table=mill | {"bar": "25 in"}, usual=True)
    assert Profile.objects.get(usual=True).name == "short bar"
    enter("make_usual", kind="mill", name="long bar")
    assert Profile.objects.get(usual=True).name == "long bar"
    with pytest.raises(BadValue, match="kerf"):
        enter("keep_profile", kind="mill", name="wrong", table=mill | {"kerf": "9"})
    assert Profile.objects.count() == 2


def test_parts_wear_with_the_hours_of_their_mill():
    enter("keep_profile", kind="mill", name="big saw", table={})
    enter("run_hours", mill="big saw", reads="100 h")
    enter("fit_part", mill="big saw", part="chain", life="12 h", spares=2)
    mill = enter("run_hours", mill="big saw", ran="3 h 30 min")
    part = Part.objects.get()
    assert (mill.hours, part.fitted_at_hours, part.life_hours) == (103.5, 100, 12)
    with pytest.raises(BadValue, match="last time"):
        enter("run_hours", mill="big saw", reads="90 h")
    enter("fit_part", mill="big saw", part="Chain", spares=1)
    assert Part.objects.get().fitted_at_hours == 103.5


def test_the_first_amount_fixes_the_currency_for_good(demo_log):
    row = {"log": "1", "thickness": "8 cm", "length": "2 m", "widths": ["40 cm"]}
    with pytest.raises(BadValue, match="with its code the first time"):
        enter("tally_slab", cost="120", **row)
    line = done("tally_slab", cost="120.50 USD", **row).entry
    slab = enter("tally_slab", cost="95", **row)
    assert slab.cost_minor == 9500
    assert shown(slab.cost_minor) == "95.00 USD"
    with pytest.raises(BadValue, match="USD, the currency"):
        enter("price_slab", slab="1-1", asking="80 EUR")
    with pytest.raises(BadValue, match="smallest coin"):
        enter("price_slab", slab="1-1", asking="80.005")
    # An undo of the first amount does not let a second currency in.
    enter("undo_entry", entry=str(line.order))
    assert Preference.objects.get(name="currency").value == "USD"
    with pytest.raises(BadValue, match="holds amounts"):
        enter("set_preference", name="currency", value="EUR")


@pytest.mark.parametrize("text", ["1,000 USD", "12,50", "-5 USD", "USD", "USD 5 USD", "1e9", "five"])
def test_amounts_that_can_be_misread_are_refused(demo_log, text):
    enter("tally_slab", log="1", thickness="8 cm", length="2 m", widths=["40 cm"])
    with pytest.raises(BadValue, match="asking"):
        enter("price_slab", slab="1-1", asking=text)


def test_every_setting_reads_its_default_and_says_where_it_comes_from():
    for field in SETTINGS.fields:
        value = setting(field.name)
        assert (value is None) == (field.default is None)
        assert field.help
    # The rest begin empty: nothing to name a source for.
    plain = {"yard", "person", "label_stock"}
    assert {f.name for f in SETTINGS.fields} - plain == set(SOURCES)


def test_a_setting_is_checked_kept_as_typed_and_let_go():
    enter("set_preference", name="moisture", value="10 %")
    assert setting("moisture") == pytest.approx(0.10)
    assert Preference.objects.get(name="moisture").value == "10 %"
    for name, value in (("moisture", "10"), ("zone", "Nowhere"), ("system", "cubits"), ("colour", "red")):
        with pytest.raises(BadValue):
            enter("set_preference", name=name, value=value)
    enter("set_preference", name="moisture")
    assert setting("moisture") == pytest.approx(0.08)


def test_notes_photos_and_wishes(demo_log):
    from pithline.yard.files import keep

    file = keep(b"%PDF-1.4 a sheet", "application/pdf")
    assert keep(b"%PDF-1.4 a sheet", "application/pdf") == file
    enter("write_note", about="log 1", text="gate is locked after six")
    enter("attach_photo", about="log 1", file=file.sha256, kind="sheet")
    assert Attachment.objects.get().subject == demo_log.pk
    enter("detach_photo", about="log 1", file=file.sha256)
    assert not Attachment.objects.exists()
    want = enter("ask_for", what="round table", form="round", length="1.2 m", thickness="45 mm")
    assert (want.length_m, want.width_m) == (1.2, 1.2)
    assert enter("settle_want", want=str(want.pk)).met
    for about in ("log 9", "slab 1-9", "river 3", "", "want x", "plan 1/1", "place x", "mill x"):
        with pytest.raises(BadValue, match="about"):
            enter("write_note", about=about, text="x")
    with pytest.raises(BadValue, match="width"):
        enter("ask_for", what="table top", length="2 m")
    assert Want.objects.count() == 1

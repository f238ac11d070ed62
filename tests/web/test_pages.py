"""Every page answers, on an empty and on a filled book, and none carries script or style of its own."""

from __future__ import annotations

import re

import pytest

from pithline.yard.models import Contact, Entry, Place, Preference, Profile
from tests import book

PAGES = [
    "/", "/journal/", "/logs/", "/logs/?state=offered", "/logs/?state=nonsense", "/logs/new/", "/measure/",
    "/settings/", "/settings/book/", "/settings/passphrase/", "/settings/places/", "/settings/places/add/",
    "/settings/contacts/add/", "/settings/mill/new/", "/settings/aims/new/", "/settings/rates/new/",
    "/drying/", "/drying/loads/new/",
    "/search/", "/search/?q=oak", "/search/?q=14-3", "/search/?q=%00", "/enter/",
]  # fmt: skip
OF_A_LOG = ["/logs/1/", "/logs/1/answer/", "/logs/1/change/", "/logs/1/note/", "/measure/1/"]


@pytest.mark.parametrize("page", PAGES)
def test_pages_answer_on_an_empty_book(client, page):
    assert_clean(client.get(page))


@pytest.mark.parametrize("page", [*PAGES, *OF_A_LOG])
def test_pages_answer_on_the_demo_book(client, demo_log, page):
    book.enter("add_place", name="creek hollow", access="Gate at the ridge road.")
    book.enter("write_note", about="log 1", text="Bring the long ropes.")
    assert_clean(client.get(page))


def assert_clean(answer) -> None:
    """200, a strict policy, and nothing in the page that the policy would stop."""
    assert answer.status_code == 200
    policy = answer.headers["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
    page = answer.content.decode()
    assert not re.search(r"<script(?![^>]*\bsrc=)", page)
    assert "<style" not in page
    assert not re.search(r"<[^>]+\s(style|on[a-z]+)=", page)
    assert not re.search(r'(src|href|action)="(https?:)?//', page)  # no asset from the internet
    labelled = set(re.findall(r'<label[^>]* for="([^"]+)"', page))
    asked = re.findall(r'<(?:input|select|textarea)(?![^>]*type="hidden")[^>]*\bid="([^"]+)"', page)
    assert set(asked) <= labelled
    ids = re.findall(r'\bid="([^"]+)"', page)
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize(
    "page", ["/logs/99/", "/measure/99/", "/files/" + "0" * 64 + "/", "/settings/mill/x/"]
)
def test_what_is_not_there_is_404(client, page):
    assert client.get(page).status_code == 404


def test_an_empty_book_offers_the_first_log_and_a_demo(client):
    page = client.get("/").content.decode()
    assert "/logs/new/" in page
    assert "demo" in page


def test_the_week_tells_offers_and_the_next_log_day(client, demo_log):
    book.enter("take_log", name="barn walnut", species="black walnut", answer_by="2000-01-01")
    book.enter("change_log", log="1", saw_on="2999-12-31")
    page = client.get("/").content.decode()
    assert "Answer: 2 barn walnut" in page
    assert "late" in page
    assert "31 December" in page
    assert "a chosen plan" in page  # what that day still lacks


def test_an_entry_is_undone_from_the_week_and_both_stay_in_the_journal(client):
    book.enter("take_log", name="oak", species="northern red oak")
    book.enter("decide_log", log="1", decision="take")
    line = Entry.objects.get(kind="decide_log")
    answer = client.post("/journal/undo/", {"entry": str(line.id), "back": "/"}, follow=True)
    page = answer.content.decode()
    assert "Undone. The journal keeps both." in page
    assert Entry.objects.count() == 3
    assert "offered" in client.get("/logs/1/").content.decode()


def test_the_journal_names_slabs_and_what_was_undone(client, demo_log):
    for _ in range(2):
        book.enter("tally_slab", log="1", thickness="80 mm", length="3 m", widths=["60 cm / 64 cm"])
    book.enter("build_stack", name="A", slabs=["1-2", "1-1"])
    book.enter("undo_entry", entry=str(Entry.objects.get(kind="build_stack").id))
    page = client.get("/journal/").content.decode()
    assert "name A, slabs 1-2 · 1-1" in page
    assert "Build a stack: name A" in page


def test_a_log_sawn_by_eye_was_neither_taped_nor_planned(client):
    book.enter("take_log", name="oak", species="northern red oak")
    book.enter("decide_log", log="1", decision="take")
    book.enter("tally_slab", log="1", thickness="80 mm", length="3 m", widths=["60 cm / 64 cm"])
    page = client.get("/logs/1/").content.decode()
    done = re.findall(r'<li class="(done)?"[^>]*>(\w+)</li>', page)
    assert [name for mark, name in done if mark] == ["Offered", "Answered", "Sawn"]


def test_an_undo_that_something_was_built_on_says_so(client):
    book.enter("take_log", name="oak", species="northern red oak")
    first = Entry.objects.get()
    book.enter("decide_log", log="1", decision="take")
    page = client.post("/journal/undo/", {"entry": str(first.id)}, follow=True).content.decode()
    assert "Not undone." in page
    assert Entry.objects.count() == 2


def test_a_log_leads_from_offer_to_plan(client):
    client.post("/logs/new/", {"name": "oak", "species": "northern red oak"})
    assert "Answer the offer" in client.get("/logs/1/").content.decode()
    client.post("/logs/1/answer/", {"decision": "take"})
    assert "Measure it" in client.get("/logs/1/").content.decode()
    client.post("/measure/1/", {"log.length": "4.2", "log.butt.diameter": "780", "log.top.diameter": "640"})
    assert "Plan the cuts" in client.get("/logs/1/").content.decode()


def test_settings_are_kept_all_or_none(client):
    good = {"system": "inch", "zone": "America/New_York"}
    assert client.post("/settings/book/", {**good, "currency": "dollars"}).status_code == 422
    assert Preference.objects.count() == 0
    assert client.post("/settings/book/", good).status_code == 303
    assert dict(Preference.objects.values_list("name", "value")) == good
    # Emptied, the default holds again.
    assert client.post("/settings/book/", {"system": "inch"}).status_code == 303
    assert dict(Preference.objects.values_list("name", "value")) == {"system": "inch"}


def test_a_mill_is_kept_as_typed_and_shown_again(client):
    sent = {"name": "rail mill", "mill.bar": "42 in", "mill.kerf": "9 mm"}
    assert client.post("/settings/mill/new/", sent).status_code == 303
    mill = Profile.objects.get()
    assert mill.table == {"bar": "42 in", "kerf": "9 mm"}
    page = client.get(f"/settings/mill/{mill.pk}/").content.decode()
    assert 'name="mill.bar" value="42 in"' in page
    assert "3/8 in or .404 chain cuts 8 to 10 mm" in page  # the source of the default
    refused = client.post(f"/settings/mill/{mill.pk}/", {**sent, "mill.kerf": "9"})
    assert refused.status_code == 422
    assert Profile.objects.get().table["kerf"] == "9 mm"


def test_rates_take_lists_and_rows(client):
    sent = {
        "name": "yard",
        "rates.currency": "USD",
        "rates.rate": "12/4: 11 per bf\n8/4: 9.50 per bf",
        "rates.width.0.from": "60 cm",
        "rates.width.0.premium": "15 %",
    }
    assert client.post("/settings/rates/new/", sent).status_code == 303
    assert Profile.objects.get().table == {
        "currency": "USD",
        "rate": ["12/4: 11 per bf", "8/4: 9.50 per bf"],
        "width": [{"from": "60 cm", "premium": "15 %"}],
    }


def test_places_and_contacts_are_entered_and_put_right(client):
    assert client.post("/settings/contacts/add/", {"name": "A. Neighbour"}).status_code == 303
    sent = {"name": "creek hollow", "contact": "a. neighbour", "latitude": "-45.5", "kind": "forest"}
    assert client.post("/settings/places/add/", sent).status_code == 303
    place = Place.objects.get()
    assert (place.contact, place.latitude_deg) == (Contact.objects.get(), -45.5)
    page = client.get(f"/settings/places/{place.pk}/").content.decode()
    assert 'value="-45.5"' in page
    assert client.post(f"/settings/places/{place.pk}/", {**sent, "name": "oak hollow"}).status_code == 303
    assert Place.objects.get().name == "oak hollow"
    assert Place.objects.get().latitude_deg == -45.5
    twice = client.post("/settings/places/add/", sent | {"name": "Oak Hollow"})
    assert twice.status_code == 422


def test_who_enters_is_remembered_on_the_device(client):
    client.post("/settings/device/", {"who": "Robin", "device": "phone"})
    client.post("/logs/new/", {"name": "oak", "species": "northern red oak"})
    assert (Entry.objects.get().who, Entry.objects.get().device) == ("Robin", "phone")
    assert "by Robin on phone" in client.get("/").content.decode()


def test_times_are_told_by_the_yards_clock(client):
    import datetime

    book.enter("take_log", name="oak", species="northern red oak")
    Entry.objects.update(received_at=datetime.datetime(2025, 7, 1, 3, 30, tzinfo=datetime.UTC))
    assert "1 Jul 2025, 03:30" in client.get("/journal/").content.decode()
    book.enter("set_preference", name="zone", value="America/New_York")
    # Eastern daylight time is four hours behind UTC (IANA time zone data).
    assert "30 Jun 2025, 23:30" in client.get("/journal/").content.decode()


def test_what_is_missing_is_said_in_our_own_frame(client):
    page = client.get("/logs/99/").content.decode()
    assert "There is no log 99 in the book." in page
    assert 'aria-label="Pages"' in page
    assert "There is no such page." in client.get("/nowhere/").content.decode()


def test_a_mills_hours_wear_its_parts(client):
    book.enter("keep_profile", kind="mill", name="rail mill", table={})
    book.enter("keep_profile", kind="mill", name="old mill", table={})
    mill = Profile.objects.get(name="rail mill")
    at = f"/settings/mill/{mill.pk}/"
    assert (
        client.post(f"{at}part/", {"part": "nose bearing", "life": "40 h", "spares": "1"}).status_code == 303
    )
    assert client.post(f"{at}hours/", {"ran": "12 h 30 min"}).status_code == 303
    page = client.get(at).content.decode()
    assert "12.5 h" in page
    assert "27.5 h" in page  # 40 - 12.5
    assert client.post(f"{at}hours/", {"ran": "30 h"}).status_code == 303
    assert "worn out by the hours" in client.get(at).content.decode()
    refused = client.post(f"{at}hours/", {"reads": "3 h"})
    assert refused.status_code == 422
    assert client.post("/settings/mill/usual/", {"name": "old mill"}).status_code == 303
    assert Profile.objects.get(usual=True).name == "old mill"


def test_a_refusal_without_a_form_is_told_on_a_page_and_is_no_fault(client):
    answer = client.post("/settings/mill/usual/", {"name": "no such mill"})
    assert answer.status_code == 422
    assert "Nothing was entered." in answer.content.decode()


def test_a_photo_is_taken_in_shown_small_and_refused_when_it_is_none(client, demo_log):
    import io

    from PIL import Image

    def picture(size):
        file = io.BytesIO()
        Image.new("RGB", size, "peru").save(file, "JPEG")
        file.seek(0)
        file.name = "oak.jpg"
        return file

    sent = {"about": "log 1", "caption": "the butt", "back": "/logs/1/"}
    answer = client.post("/files/", {**sent, "photo": picture((900, 600))})
    assert (answer.status_code, answer.headers["Location"]) == (303, "/logs/1/")
    page = client.get("/logs/1/").content.decode()
    assert 'alt="the butt"' in page
    assert "about log 1, caption the butt" in client.get("/journal/").content.decode()
    address = re.search(r'<img src="(/files/[0-9a-f]{64}/small/)"', page)[1]
    small = client.get(address)
    with Image.open(io.BytesIO(small.content)) as shown:
        assert shown.size == (360, 240)
    assert "immutable" in small.headers["Cache-Control"]

    fake = io.BytesIO(b"<svg onload=alert(1)>")
    fake.name = "oak.jpg"
    answer = client.post("/files/", {**sent, "photo": fake}, follow=True)
    assert "a JPEG, PNG or WebP picture" in answer.content.decode()
    answer = client.post("/files/", {**sent, "back": "//evil.example/"})
    assert answer.headers["Location"] == "/"

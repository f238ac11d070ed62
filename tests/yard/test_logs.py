"""Logs in the book: offered, decided, measured; and what every entry kind owes."""

from __future__ import annotations

import datetime
import uuid

import pytest

from pithline.errors import BadValue
from pithline.yard.kinds import Clash, Who, perform
from pithline.yard.models import Entry, Log
from tests.book import demo_tables, done, enter


def test_a_log_gets_the_next_number_and_the_woods_own_name():
    first = enter("take_log", name="hollow oak", species="red oak, northern")
    second = enter("take_log", name="ridge ash", species="white ash")
    assert (first.number, second.number) == (1, 2)
    assert first.species == "Northern red oak"
    assert first.state == Log.State.OFFERED


def test_what_was_typed_is_kept_as_typed():
    made = datetime.datetime(2025, 11, 20, 8, 0, tzinfo=datetime.UTC)
    said = {"name": "hollow oak", "species": "red oak", "owner": "shares", "owner_share": "33 %"}
    line = perform("take_log", said, who=Who("me", "phone", made, "America/New_York")).entry
    line.refresh_from_db()
    assert line.said == said
    assert (line.who, line.device, line.made_at, line.zone) == ("me", "phone", made, "America/New_York")
    assert Log.objects.get().owner_share == pytest.approx(0.33)


def test_the_same_entry_sent_twice_is_done_once():
    one = uuid.uuid4()
    said = {"name": "hollow oak", "species": "red oak"}
    first = perform("take_log", said, id=one)
    again = perform("take_log", dict(said), id=one)
    assert not first.repeated
    assert again.repeated
    assert again.subject == first.subject
    assert (Log.objects.count(), Entry.objects.count()) == (1, 1)


def test_one_identity_for_other_words_is_a_clash():
    one = uuid.uuid4()
    perform("take_log", {"name": "hollow oak", "species": "red oak"}, id=one)
    with pytest.raises(Clash, match="used before for other words"):
        perform("take_log", {"name": "ridge ash", "species": "white ash"}, id=one)
    assert Log.objects.count() == 1


def test_a_refused_entry_leaves_no_trace():
    with pytest.raises(BadValue, match="species"):
        perform("take_log", {"name": "hollow oak", "species": "plastic"})
    assert not Log.objects.exists()
    assert not Entry.objects.exists()


@pytest.mark.parametrize("text", ["a\x00b", "\ud800"])
def test_text_that_a_database_cannot_hold_is_refused(text):
    with pytest.raises(BadValue):
        perform("take_log", {"name": text, "species": "red oak"})
    assert not Entry.objects.exists()


def test_a_name_longer_than_its_column_is_refused_on_every_database():
    with pytest.raises(BadValue, match="120"):
        enter("take_log", name="x" * 121, species="red oak")


def test_measuring_reads_the_whole_record_first(demo_log):
    assert demo_log.state == Log.State.MEASURED
    assert demo_log.record["log"]["butt"]["up"] == "395 mm"
    broken = demo_tables()["log"] | {"length": "4.2"}
    with pytest.raises(BadValue, match="length"):
        enter("measure_log", log="1", record={"log": broken})
    assert Log.objects.get().record == demo_log.record


def test_a_declined_log_can_be_taken_after_all():
    log = enter("take_log", name="hollow oak", species="red oak")
    number = str(log.number)
    assert enter("decide_log", log=number, decision="decline").state == "declined"
    assert enter("decide_log", log=number, decision="take", saw_on="2026-03-02").state == "taken"
    line = done("decide_log", log=number, decision="take").entry
    assert line.subject == log.pk

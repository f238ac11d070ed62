"""Rules of the database itself: it refuses what no action would write, NaN above all."""

from __future__ import annotations

import math

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction

from pithline.errors import BadValue
from pithline.yard.desk import Desk
from pithline.yard.models import Contact, Log, Place, Size, Slab
from pithline.yard.models.row import RANGES
from tests.book import enter


def wrong(make):
    def whole():
        with transaction.atomic():
            make()
            connection.check_constraints()

    with pytest.raises((IntegrityError, DatabaseError)):
        whole()


@pytest.fixture
def slab(demo_log):
    return enter("tally_slab", log="1", thickness="8 cm", length="2 m", widths=["40 cm"])


@pytest.mark.parametrize(
    "columns",
    [
        {"thickness_m": 0.0}, {"thickness_m": -0.08}, {"thickness_m": 80.0}, {"length_m": math.inf},
        {"moisture_percent": -1.0}, {"moisture_percent": 251.0}, {"weight_kg": 0.0}, {"tally": -1.0},
    ],
)  # fmt: skip
def test_a_size_that_no_slab_has(slab, columns):
    wrong(lambda: Size.objects.create(slab=slab, current=False, **columns))


def test_nan_is_neither_kept_nor_taken_for_not_measured(slab):
    with pytest.raises(BadValue, match="finite"):
        Desk().create(Size, slab=slab, current=False, thickness_m=math.nan)
    if connection.vendor == "postgresql":
        # SQLite turns NaN into empty, which is why the desk looks first.
        wrong(lambda: Size.objects.create(slab=slab, current=False, thickness_m=math.nan))


def test_every_range_is_checked_by_the_desk_and_named():
    with pytest.raises(BadValue, match="latitude_deg"):
        Desk().create(Place, name="x", latitude_deg=91.0)
    assert RANGES["size_possible"]["moisture_percent"] == (0, 250)


def test_numbers_on_the_wood_are_there_once(slab):
    wrong(lambda: Slab.objects.create(log=slab.log, number=1, species="x"))
    Slab.objects.create(log=None, number=1, species="x")
    wrong(lambda: Slab.objects.create(log=None, number=1, species="x"))
    wrong(lambda: Log.objects.create(number=1, name="x", species="x"))


def test_what_others_point_to_stays(slab):
    with pytest.raises(DatabaseError), transaction.atomic():
        slab.log.delete()
    wrong(lambda: Slab.objects.filter(pk=slab.pk).update(log_id="00000000-0000-7000-8000-000000000000"))
    assert Slab.objects.get().log == slab.log


def test_names_are_the_same_in_upper_and_lower_case_on_every_database():
    from pithline.yard.finding import by_name

    person = Contact.objects.create(name="Øyvind")
    assert by_name(Contact, "øYVIND", "contact") == person

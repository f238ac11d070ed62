"""The page that brings tables in: shown first, entered whole or not at all."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from pithline.yard import jobs
from pithline.yard.models import Entry, Job, Slab

TALLY = "Slab no,Thickness (mm),Length m,narrow face cm,wide face cm\n1,80,3.1,40,50\n2,80,3.1,45,56\n"


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.PITHLINE_FOLDER = tmp_path


def hand_in(client, text=TALLY, name="tally.csv"):
    return client.post(reverse("bring:index"), {"table": SimpleUploadedFile(name, text.encode())})


def posted(page):
    """What the page's own form would send."""
    told = page.context["told"]
    said = {"name": told.name, "sheet": told.number, "kind": told.kind, "log": told.log}
    said["for"] = f"{told.number} {told.kind}"
    for n, column in enumerate(told.columns):
        said |= {f"field.{n}": column.field, f"unit.{n}": column.unit}
    return said


def test_from_file_to_slabs(client, demo_log):
    assert client.get(reverse("bring:index")).status_code == 200
    there = hand_in(client)["Location"]
    page = client.get(there)
    # No log is said yet: every row says so, and there is no button to enter them.
    assert page.context["refused"] == 2
    assert b'name="csrf' not in page.content.split(b"What would happen")[1]
    page = client.get(there, posted(page) | {"log": "1"})
    assert not page.context["refused"]
    assert not Slab.objects.exists()
    done = client.post(there.split("?")[0], posted(page))
    assert done.status_code == 302
    assert [s.label for s in Slab.objects.all()] == ["1-1", "1-2"]
    # Sent again, by a double tap: the same two slabs.
    client.post(there.split("?")[0], posted(page))
    assert Slab.objects.count() == 2


def test_a_mapping_that_is_changed_by_hand_counts(client, demo_log):
    there = hand_in(client, "no,dick,lang,breit\n1,80,3,45\n")["Location"]
    page = client.get(there)
    said = posted(page) | {"kind": "tally_slab", "for": "0 tally_slab", "log": "1"}
    for n, (field, unit) in enumerate(
        [("number", ""), ("thickness", "mm"), ("length", "m"), ("widths", "cm")]
    ):
        said |= {f"field.{n}": field, f"unit.{n}": unit}
    page = client.get(there, said)
    assert [o.fate for o in page.context["outcomes"]] == ["done"]


def test_a_bad_row_stays_outside_with_all_others(client, demo_log):
    there = hand_in(client, TALLY + "3,80,thirty,40,50\n")["Location"]
    page = client.get(there)
    page = client.get(there, posted(page) | {"log": "1"})
    entries = Entry.objects.count()
    answer = client.post(there.split("?")[0], posted(page))
    assert answer.status_code == 422
    assert b"thirty" in answer.content
    assert Entry.objects.count() == entries


@pytest.mark.parametrize(("text", "name"), [("", "x.csv"), ("{", "x.json"), ("a", "x.xlsx")])
def test_what_is_no_table_comes_back_with_the_reason(client, text, name):
    answer = hand_in(client, text, name)
    assert answer.status_code == 422
    assert b"problem" in answer.content


def test_nothing_chosen_no_such_file_and_odd_words(client, demo_log):
    assert client.post(reverse("bring:index")).status_code == 422
    for sha256 in ("f" * 64, "..%2f..", "x"):
        assert client.get(f"/bring/{sha256}/").status_code in (404, 422)
    there = hand_in(client)["Location"]
    for words in (
        "&sheet=99",
        "&sheet=x",
        "&kind=undo_entry",
        "&for=0 tally_slab&field.0=wheels",
        "&log=%00",
    ):
        assert client.get(there + words).status_code in (200, 422)


def test_a_large_table_is_entered_beside_the_server(client, demo_log, monkeypatch):
    # The worker is not let loose here: this test does the work itself.
    monkeypatch.setattr(jobs, "_wake", lambda: None)
    rows = "".join(f"{n},80,3.1,40,50\n" for n in range(1, 206))
    there = hand_in(client, TALLY.split("\n")[0] + "\n" + rows)["Location"]
    page = client.get(there, posted(client.get(there)) | {"log": "1"})
    standing = client.post(there.split("?")[0], posted(page))["Location"]
    assert b"waiting" in client.get(standing).content
    jobs.work_off(Job.objects.get().pk)
    assert Slab.objects.count() == 205
    assert b"205 rows are in the book" in client.get(standing, headers={"hx-request": "true"}).content


def test_it_can_be_stopped(client, demo_log):
    job = Job.objects.create(kind="import", said={})
    client.post(reverse("bring:work", args=[job.pk]))
    assert b"cancelled" in client.get(reverse("bring:work", args=[job.pk])).content
    other = Job.objects.create(kind="keep_plan", said={})
    assert client.get(reverse("bring:work", args=[other.pk])).status_code == 404

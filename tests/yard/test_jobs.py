"""Long work: seen, stopped, kept; and told as interrupted when the server dies."""

from __future__ import annotations

import threading

import pytest

from pithline.errors import BadValue
from pithline.yard import jobs
from pithline.yard.models import Job, Log
from tests.book import enter


@pytest.fixture
def works(monkeypatch):
    """A list of works of this test's own."""
    monkeypatch.setattr(jobs, "WORKS", {})
    return jobs.WORKS


def waiting(kind, **said):
    return Job.objects.create(kind=kind, said=said)


def test_the_result_is_kept(works):
    works["sum"] = lambda said, progress: {"sum": said["a"] + said["b"]}
    job = waiting("sum", a=1, b=2)
    jobs.work_off(job.pk)
    job.refresh_from_db()
    assert (job.state, job.done, job.result) == ("done", 1.0, {"sum": 3})
    assert job.ended_at >= job.started_at >= job.created_at


def test_its_progress_is_seen_while_it_works(works):
    seen = []

    def slow(said, progress):
        progress(0.25, "a quarter")
        seen.append(jobs.look(job.pk))

    works["slow"] = slow
    job = waiting("slow")
    jobs.work_off(job.pk)
    assert [(j.state, j.done, j.told) for j in seen] == [("running", 0.25, "a quarter")]


def test_a_stop_takes_back_what_it_entered(works):
    from django.db import transaction

    def enters(said, progress):
        with transaction.atomic():
            enter("take_log", name="oak", species="red oak")
            jobs.stop(job)
            progress(0.5, "half")

    works["enters"] = enters
    job = waiting("enters")
    jobs.work_off(job.pk)
    job.refresh_from_db()
    assert job.state == Job.State.CANCELLED
    assert not Log.objects.exists()


def test_work_that_is_stopped_before_it_begins_never_does(works):
    works["never"] = lambda said, progress: pytest.fail("it began")
    job = waiting("never")
    jobs.stop(job)
    jobs.work_off(job.pk)
    job.refresh_from_db()
    assert job.state == Job.State.CANCELLED


def test_a_refusal_is_kept_in_its_words_and_a_fault_is_not_shown(works, caplog):
    def refuses(said, progress):
        raise BadValue("row 3", "x", "a length")

    def breaks(said, progress):
        raise ZeroDivisionError("secret")

    works.update(refuses=refuses, breaks=breaks)
    first, second = waiting("refuses"), waiting("breaks")
    jobs.work_off(first.pk)
    jobs.work_off(second.pk)
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.state, second.state) == ("refused", "failed")
    assert "row 3" in first.told
    assert "secret" not in second.told
    assert "secret" in caplog.text


def test_what_the_last_server_left_is_told_as_interrupted(works):
    Job.objects.create(kind="x", state="running")
    Job.objects.create(kind="x", state="done")
    waiting("x")
    assert jobs.interrupted() == 2
    assert sorted(Job.objects.values_list("state", flat=True)) == ["done", "interrupted", "interrupted"]
    assert jobs.interrupted() == 0


def test_no_such_work(works):
    with pytest.raises(BadValue, match="work"):
        jobs.begin("dig", {})
    assert not Job.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_the_worker_takes_it_up_by_itself(works):
    done = threading.Event()
    works["quick"] = lambda said, progress: done.set()
    job = jobs.begin("quick", {})
    assert done.wait(10)
    for _ in range(100):
        if jobs.look(job.pk).state == Job.State.DONE:
            break
        threading.Event().wait(0.05)
    assert jobs.look(job.pk).state == Job.State.DONE

"""Long work beside the server: one worker thread, its progress to be seen, to be stopped from the page.

How far it is and whether to stop is kept in memory: the work may stand inside a
transaction, which lets nobody else write into a SQLite book. What came of it is in the
book, so it outlives the server.
"""

from __future__ import annotations

import datetime
import logging
import queue
import threading
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.db import close_old_connections

from pithline.errors import BadValue, Refused
from pithline.yard.models import Job

__all__ = ["WORKS", "Stopped", "begin", "interrupted", "look", "stop", "work", "work_off"]

Progress = Callable[[float, str], None]
Work = Callable[[dict[str, Any], Progress], Any]
WORKS: dict[str, Work] = {}
_OPEN = (Job.State.WAITING, Job.State.RUNNING)
_waiting: queue.SimpleQueue[uuid.UUID] = queue.SimpleQueue()
_lock = threading.Lock()
_worker: threading.Thread | None = None


@dataclass(slots=True)
class _Live:
    """A piece of work under way."""

    fraction: float = 0.0
    words: str = ""
    stop: bool = False


_live: dict[uuid.UUID, _Live] = {}


class Stopped(Exception):
    """Somebody asked for the end of this work."""


def work(name: str) -> Callable[[Work], Work]:
    """Make a function a kind of long work: ``function(said, progress) -> result``.

    It calls ``progress(fraction, words)`` now and then; that is also where it is stopped.
    """

    def kept(does: Work) -> Work:
        WORKS[name] = does
        return does

    return kept


def begin(kind: str, said: dict[str, Any]) -> Job:
    """Put work into the line; answers at once.

    Raises
    ------
    BadValue
        No such work.
    """
    _known(kind)
    job = Job.objects.create(kind=kind, said=said)
    _waiting.put(job.pk)
    _wake()
    return job


def look(key: uuid.UUID) -> Job:
    """How some work stands now, its progress included.

    Raises
    ------
    Job.DoesNotExist
        There is none.
    """
    job = Job.objects.get(pk=key)
    live = _live.get(key)
    if live and job.state == Job.State.RUNNING:
        job.done, job.told = live.fraction, live.words
    return job


def stop(job: Job) -> None:
    """Ask for the end of some work. What it entered so far is taken back by its own transaction."""
    live = _live.get(job.pk)
    if live:
        live.stop = True
        return
    Job.objects.filter(pk=job.pk, state=Job.State.WAITING).update(
        state=Job.State.CANCELLED, ended_at=_now(), told="Stopped on request."
    )


def interrupted() -> int:
    """At the start of a server: mark work that the last one did not end. Returns how many."""
    return Job.objects.filter(state__in=_OPEN).update(
        state=Job.State.INTERRUPTED, ended_at=_now(), told="The server stopped. Begin it anew."
    )


def work_off(key: uuid.UUID) -> None:
    """Do one piece of work to its end, whatever that is, and write down what came of it."""
    began = Job.objects.filter(pk=key, state=Job.State.WAITING).update(
        state=Job.State.RUNNING, started_at=_now()
    )
    if not began:
        return
    job = Job.objects.get(pk=key)
    live = _live.setdefault(key, _Live())
    try:
        result = WORKS[job.kind](job.said, _progress(live))
        ended: dict[str, Any] = {"state": Job.State.DONE, "done": 1.0, "told": "", "result": result}
    except Stopped:
        ended = {"state": Job.State.CANCELLED, "told": "Stopped on request."}
    except Refused as wrong:
        ended = {"state": Job.State.REFUSED, "told": str(wrong)[:200], "result": {"refusal": str(wrong)}}
    except Exception:
        logging.getLogger("pithline").exception("work %s of kind %s", key, job.kind)
        ended = {"state": Job.State.FAILED, "told": "A fault of Pithline's own; it is in the server's log."}
    finally:
        _live.pop(key, None)
    Job.objects.filter(pk=key).update(ended_at=_now(), **ended)


def _progress(live: _Live) -> Progress:
    def tell(fraction: float, words: str) -> None:
        live.fraction, live.words = min(max(fraction, 0.0), 1.0), words[:200]
        if live.stop:
            raise Stopped

    return tell


def _wake() -> None:
    global _worker
    with _lock:
        if _worker is None or not _worker.is_alive():
            # A daemon: the end of the server must not wait for it, and what it had begun is taken back.
            _worker = threading.Thread(target=_run, name="pithline-work", daemon=True)
            _worker.start()


def _run() -> None:
    while True:
        key = _waiting.get()
        close_old_connections()
        try:
            work_off(key)
        finally:
            close_old_connections()


def _known(kind: str) -> None:
    if kind not in WORKS:
        raise BadValue("work", kind, f"one of {', '.join(sorted(WORKS))}")


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)

"""What was confirmed is there: after a kill, beside other writers, under a backup."""

from __future__ import annotations

import json
import signal
import sqlite3
import threading
from pathlib import Path

import pytest

from tests.yard.apart import run_in_book, start_in_book

_WRITE = """
    for n in range(200):
        log = enter("take_log", name=f"{sys.argv[3]} {n}", species="white ash")
        print(log.number, flush=True)
"""
_READ = """
    import json
    from pithline.yard.models import Entry, Log
    print(json.dumps([list(Log.objects.order_by("number").values_list("number", flat=True)),
                      [e.subject_kind for e in Entry.objects.all()]]))
"""


def test_a_kill_in_the_middle_of_200_writes_loses_nothing_confirmed(tmp_path):
    writer = start_in_book(tmp_path, _WRITE, "", True, "log")
    confirmed = [int(writer.stdout.readline()) for _ in range(60)]
    writer.send_signal(signal.SIGKILL)
    # What it managed to say before it died counts as well.
    rest, _ = writer.communicate(timeout=30)
    confirmed += [int(line) for line in rest.splitlines() if line]
    assert writer.returncode == -signal.SIGKILL
    assert 60 <= len(confirmed) < 200
    numbers, kinds = json.loads(run_in_book(tmp_path, _READ))
    # One more may be in the book whose confirmation never got out.
    assert numbers[: len(confirmed)] == confirmed
    assert len(numbers) <= len(confirmed) + 1
    assert kinds == ["Log"] * len(numbers)
    with sqlite3.connect(tmp_path / "book.sqlite3") as book:
        assert book.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    # And it goes on.
    assert run_in_book(
        tmp_path, 'print(enter("take_log", name="next", species="white ash").number)'
    ).strip() == str(len(numbers) + 1)


_BUSY = _WRITE.replace("200", "40")


def _two_writers(folder: Path, url: str) -> None:
    run_in_book(folder, "", url)
    writers = [start_in_book(folder, _BUSY, url, False, name) for name in ("butt", "top")]
    for writer in writers:
        _, err = writer.communicate(timeout=120)
        assert writer.returncode == 0, err
    numbers, kinds = json.loads(run_in_book(folder, _READ, url, False))
    assert numbers == list(range(1, 81))
    assert len(kinds) == 80


def test_two_writers_lose_nothing_and_share_no_number(tmp_path):
    _two_writers(tmp_path, "")


def test_two_writers_on_postgresql(tmp_path, postgres):
    _two_writers(tmp_path, postgres)


_SAME = """
    import uuid
    from pithline.yard.kinds import perform
    for n in range(40):
        perform("take_log", {"name": str(n), "species": "white ash"}, id=uuid.UUID(int=n + 1))
"""


@pytest.mark.parametrize("where", ["sqlite", "postgresql"])
def test_the_same_entries_from_two_sides_at_once_are_done_once(tmp_path, where, request):
    url = request.getfixturevalue("postgres") if where == "postgresql" else ""
    run_in_book(tmp_path, "", url)
    both = [start_in_book(tmp_path, _SAME, url, False) for _ in range(2)]
    for one in both:
        _, err = one.communicate(timeout=120)
        assert one.returncode == 0, err
    numbers, _ = json.loads(run_in_book(tmp_path, _READ, url, False))
    # A number taken by the side that came second is not given back; nothing is there twice.
    assert len(numbers) == 40


_BACKUPS = """
    from pithline.yard.backup import backup
    for n in range(5):
        backup(Path(sys.argv[1]) / f"{n}.zip")
        import time; time.sleep(0.2)
"""
_COUNT = """
    from pithline.yard.restore import restore
    restore(Path(sys.argv[3]))
    from pithline.yard.models import Counter, Entry, Log
    counter = Counter.objects.filter(name="log").first()
    print(Log.objects.count(), Entry.objects.count(), counter.last if counter else 0)
"""


def test_a_backup_under_writing_is_the_book_at_one_instant(tmp_path):
    folder = tmp_path / "book"
    run_in_book(folder, "")
    # Far more than a quick machine writes while the other process is still starting.
    writer = start_in_book(folder, _WRITE.replace("200", "20000"), "", False, "log")
    try:
        assert writer.stdout.readline()
        drain = threading.Thread(target=writer.stdout.read)
        drain.start()
        run_in_book(folder, _BACKUPS, "", False)
    finally:
        writer.kill()
        writer.wait()
        drain.join()
    seen = []
    for n in (0, 4):
        logs, entries, last = map(
            int, run_in_book(tmp_path / f"r{n}", _COUNT, "", False, str(folder / f"{n}.zip")).split()
        )
        assert logs == entries == last
        seen.append(logs)
    assert seen[0] < seen[1]  # it was written meanwhile, or this test shows nothing


def test_sqlite_is_told_to_be_careful(tmp_path):
    said = run_in_book(
        tmp_path,
        """
        from django.db import connection
        for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout"):
            with connection.cursor() as cursor:
                print(cursor.execute(f"PRAGMA {name}").fetchone()[0])
        print(connection.transaction_mode)
        """,
    )
    # synchronous 2 is FULL (SQLite documentation, PRAGMA synchronous).
    assert said.split() == ["wal", "2", "1", "60000", "IMMEDIATE"]


def test_a_book_is_for_its_owners_eyes(tmp_path):
    import os
    import stat

    if os.name == "nt":
        pytest.skip("rights of this kind are not Windows'")
    run_in_book(tmp_path / "book", "")
    assert stat.S_IMODE((tmp_path / "book").stat().st_mode) == 0o700
    assert stat.S_IMODE((tmp_path / "book" / "secret").stat().st_mode) == 0o600

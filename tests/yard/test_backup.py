"""Backup and restore: the same rows on either database, and nothing taken on trust."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest

from pithline.errors import BadFile, BadValue
from pithline.yard.backup import backup
from pithline.yard.restore import restore
from tests.yard import full
from tests.yard.apart import run_in_book

_FILL_AND_SAVE = """
    from tests.yard import full
    from pithline.yard.backup import backup
    full.fill()
    saved = backup(Path(sys.argv[3]))
    assert not saved.missing, saved
    import json; print(json.dumps(full.everything()))
"""
_RESTORE_AND_SAVE = """
    from tests.yard import full
    from pithline.yard.backup import backup
    from pithline.yard.restore import restore
    restore(Path(sys.argv[3]))
    backup(Path(sys.argv[4]))
    import json; rows = full.everything()
    # It goes on where it was: the next line of the journal and the next number are new ones.
    log = enter("take_log", name="next", species="white ash")
    from pithline.yard.models import Entry, StoredFile
    from pithline.yard.files import read_file
    assert log.number == 2, log.number
    assert Entry.objects.latest("order").order == max(e["order"] for e in rows["Entry"]) + 1
    for file in StoredFile.objects.all(): read_file(file)
    print(json.dumps(rows))
"""


@pytest.fixture(scope="module")
def saved(tmp_path_factory) -> tuple[Path, dict]:
    """A full book's backup, and its rows."""
    folder = tmp_path_factory.mktemp("full")
    rows = json.loads(run_in_book(folder / "book", _FILL_AND_SAVE, "", True, str(folder / "a.zip")))
    assert all(rows.values()), [name for name, its in rows.items() if not its]
    return folder / "a.zip", rows


def test_sqlite_to_sqlite(saved, tmp_path):
    path, rows = saved
    again = run_in_book(tmp_path / "b", _RESTORE_AND_SAVE, "", False, str(path), str(tmp_path / "b.zip"))
    assert json.loads(again) == rows


def test_sqlite_to_postgresql_and_back(saved, tmp_path, postgres):
    path, rows = saved
    middle, end = tmp_path / "pg.zip", tmp_path / "end.zip"
    there = run_in_book(tmp_path / "pg", _RESTORE_AND_SAVE, postgres, False, str(path), str(middle))
    assert json.loads(there) == rows
    back = run_in_book(tmp_path / "back", _RESTORE_AND_SAVE, "", False, str(middle), str(end))
    assert json.loads(back) == rows
    with zipfile.ZipFile(path) as first, zipfile.ZipFile(end) as last:
        assert (
            json.loads(last.read("manifest.json"))["files"]
            == json.loads(first.read("manifest.json"))["files"]
        )


def test_a_book_with_something_in_it_is_not_written_over(saved, demo_log):
    before = full.everything()
    with pytest.raises(BadValue, match="empty"):
        restore(saved[0])
    assert full.everything() == before


def _changed(path: Path, to: Path, change) -> Path:
    """A copy of an archive with members changed: a dict of name to bytes, for `change` to work on."""
    with zipfile.ZipFile(path) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    change(members)
    with zipfile.ZipFile(to, "w") as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return to


def _flip(members):
    members["rows/Log.jsonl"] = members["rows/Log.jsonl"].replace(b"hollow", b"hallow")


def _flip_file(members):
    name = next(n for n in members if n.startswith("files/"))
    members[name] = members[name][:-1] + b"!"


def _climb(members):
    members["../../evil.txt"] = b"x"


def _lose(members):
    del members["rows/Slab.jsonl"]


def _manifest(members, **change):
    told = json.loads(members["manifest.json"]) | change
    members["manifest.json"] = json.dumps(told).encode()


def _newer(members):
    _manifest(members, migrations=["0001_initial", "9999_tomorrow"])


def _other(members):
    _manifest(members, format="something/else")


def _paths(members):
    _manifest(members, files={"../../../etc/passwd": {"bytes": 1}})


def _nothing(members):
    members.clear()


def _sealed_anew(rows):
    """Change rows and make the manifest agree, as somebody who means it would."""

    def change(members):
        import hashlib

        name, data = rows(members)
        members[name] = data
        told = json.loads(members["manifest.json"])
        seal = {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest(), "rows": data.count(b"\n")}
        told["rows"][name.removeprefix("rows/").removesuffix(".jsonl")] = seal
        members["manifest.json"] = json.dumps(told).encode()

    return change


def _rows(name, old, new):
    return _sealed_anew(lambda m: (f"rows/{name}.jsonl", m[f"rows/{name}.jsonl"].replace(old, new, 1)))


@pytest.mark.parametrize(
    "change",
    [
        _flip, _flip_file, _climb, _lose, _newer, _other, _paths, _nothing,
        _rows("Log", b'"number": 1', b'"number": "one"'),
        _rows("Log", b'"number": 1', b'"nummer": 1'),
        _rows("Log", b"{", b"["),
        _rows("Part", b'"life_hours": 12.0', b'"life_hours": -12.0'),
        _rows("Slab", b'"number": 2', b'"number": 1'),
        _sealed_anew(lambda m: ("rows/Log.jsonl", b"")),
    ],
)  # fmt: skip
def test_an_archive_that_is_not_as_it_was_saved_is_refused_whole(saved, tmp_path, change, settings):
    settings.PITHLINE_FOLDER = tmp_path / "book"
    path = _changed(saved[0], tmp_path / "changed.zip", change)
    with pytest.raises(BadFile):
        restore(path)
    assert not any(full.everything().values())
    assert not [f for f in (tmp_path / "book").rglob("*") if f.is_file()]
    assert not (tmp_path.parent / "evil.txt").exists()


def test_what_is_no_archive_is_refused(tmp_path):
    for data in (b"", b"PK", b"hello"):
        (tmp_path / "x.zip").write_bytes(data)
        with pytest.raises(BadFile):
            restore(tmp_path / "x.zip")
    with pytest.raises(BadFile, match="not there"):
        restore(tmp_path / "none.zip")


def test_a_file_that_is_gone_is_named_and_does_not_stop_the_backup(demo_log, tmp_path, settings):
    from pithline.yard.files import keep, path_of

    settings.PITHLINE_FOLDER = tmp_path / "book"
    file = keep(b"soon gone", "text/plain")
    path_of(file.sha256).unlink()
    assert backup(tmp_path / "a.zip").missing == (file.sha256,)


def test_a_place_that_cannot_be_written_is_refused(tmp_path):
    with pytest.raises(BadValue, match="backup"):
        backup(tmp_path / "no" / "such" / "folder.zip")

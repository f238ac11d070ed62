"""Books of earlier landings open in today's Pithline, on both databases, with every row they had."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest

from tests.yard.apart import run_in_book

BOOKS = sorted((Path(__file__).parent / "books").glob("*.zip"))

_OPEN = """
    import json
    from pithline.yard.restore import restore
    from tests.yard import full
    restore(Path(sys.argv[3]))
    assert not bring_up_to_date()
    from django.core.management import call_command
    call_command("makemigrations", "--check", "--dry-run", verbosity=0)
    rows = full.everything()
    # It is in use again: an old slab is measured anew, and the last entry undone.
    slab = enter("resize_slab", slab="1-2", state="dry", thickness="74 mm")
    assert slab.state == "dry"
    from pithline.yard.models import Entry
    enter("undo_entry", entry=str(Entry.objects.latest("order").order))
    from pithline.yard.planning import inputs_of
    from pithline.yard.models import Plan
    inputs_of(Plan.objects.get(chosen=True).inputs)
    print(json.dumps(rows))
"""


def test_there_are_books():
    assert BOOKS


@pytest.mark.parametrize("book", BOOKS, ids=lambda b: b.stem)
@pytest.mark.parametrize("where", ["sqlite", "postgresql"])
def test_an_old_book_opens_with_every_row_it_had(book, where, tmp_path, request):
    url = request.getfixturevalue("postgres") if where == "postgresql" else ""
    rows = json.loads(run_in_book(tmp_path, _OPEN, url, False, str(book)))
    with zipfile.ZipFile(book) as archive:
        kept = json.loads(archive.read("manifest.json"))["rows"]
        for name, seal in kept.items():
            lines = archive.read(f"rows/{name}.jsonl").decode().split("\n")[:-1]
            old = {line["id"] if "id" in line else line["name"]: line for line in map(json.loads, lines)}
            new = {row["id"] if "id" in row else row["name"]: row for row in rows[name]}
            assert len(old) == seal["rows"]
            for key, line in old.items():
                # Later columns may have joined; none of the old ones may have changed.
                assert {column: new[key].get(column) for column in line} == line

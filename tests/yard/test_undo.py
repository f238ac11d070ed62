"""Undo: whole, only where nothing was built on it, and itself in the journal."""

from __future__ import annotations

import pytest

from pithline.errors import BadValue
from pithline.yard.desk import as_row
from pithline.yard.models import Entry, Log, Note, Pair, Size, Slab
from tests.book import done, enter

ROW = {"thickness": "80 mm", "length": "3 m", "widths": ["60 cm / 64 cm"]}


def rows():
    return {m: [as_row(r) for r in m.objects.all()] for m in (Log, Slab, Size, Pair, Note)}


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("take_log", {"name": "ridge ash", "species": "white ash"}),
        ("change_log", {"log": "1", "note": "windfall", "saw_on": "2026-03-02"}),
        ("tally_slab", {"log": "1", **ROW}),
        ("tally_slabs", {"log": "1", "slabs": [ROW, ROW]}),
        ("resize_slab", {"slab": "1-1", "state": "dry", "thickness": "75 mm"}),
        ("split_slab", {"slab": "1-1", "way": "cross", "at": ["1 m"]}),
        ("join_slabs", {"slabs": ["1-1", "1-2"], "thickness": "6 cm", "length": "2 m", "width": "1 m"}),
        ("unpair_slabs", {"first": "1-1", "second": "1-2"}),
        ("move_slab", {"slabs": ["1-1", "1-2"], "stack": "A"}),
        ("write_note", {"about": "slab 1-1", "text": "a check at the butt"}),
        ("scrap_slab", {"slab": "1-2"}),
    ],
)
def test_an_undo_leaves_every_row_as_it_was(demo_log, kind, said):
    enter("tally_slabs", log="1", slabs=[ROW, ROW])
    enter("pair_slabs", first="1-1", second="1-2")
    enter("build_stack", name="A")
    before = rows()
    line = done(kind, **said).entry
    assert rows() != before
    undo = done("undo_entry", entry=str(line.id)).entry
    assert rows() == before
    line.refresh_from_db()
    assert line.undone_by == undo
    with pytest.raises(BadValue, match="undone before"):
        enter("undo_entry", entry=str(line.order))


def test_a_number_is_not_given_twice_even_after_an_undo(demo_log):
    line = done("tally_slab", log="1", **ROW).entry
    enter("undo_entry", entry=str(line.order))
    assert enter("tally_slab", log="1", **ROW).number == 2
    line = done("take_log", name="ash", species="white ash").entry
    enter("undo_entry", entry=str(line.order))
    assert enter("take_log", name="ash", species="white ash").number == 3


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("write_note", {"about": "slab 1-1", "text": "a check"}),
        ("resize_slab", {"slab": "1-1", "state": "green", "weight": "60 kg"}),
        ("move_slab", {"slabs": ["1-1"], "stack": "A"}),
        ("split_slab", {"slab": "1-1", "way": "cross", "at": ["1 m"]}),
    ],
)
def test_what_was_built_on_is_not_undone_and_the_refusal_says_what_stands_in_the_way(demo_log, kind, said):
    enter("build_stack", name="A")
    line = done("tally_slab", log="1", **ROW).entry
    later = done(kind, **said).entry
    before = rows()
    with pytest.raises(BadValue, match=f"Entry {later.order} "):
        enter("undo_entry", entry=str(line.order))
    assert rows() == before
    enter("undo_entry", entry=str(later.order))
    enter("undo_entry", entry=str(line.order))
    assert not Slab.objects.exists()


def test_an_undo_cannot_be_undone(demo_log):
    line = done("tally_slab", log="1", **ROW).entry
    undo = done("undo_entry", entry=str(line.order)).entry
    with pytest.raises(BadValue, match="can be undone"):
        enter("undo_entry", entry=str(undo.order))
    assert Entry.objects.filter(kind="undo_entry").count() == 1

"""Commands about a whole book: saved and restored, tokens made and ended; each in a process of its own."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys

import pytest

from tests import zygote

FILL = """
import sys
from pithline.yard.opening import open_book
open_book(sys.argv[1])
from pithline.yard.demo import fill
fill()
"""


@pytest.fixture(scope="module")
def filled(tmp_path_factory):
    """A folder with the demo's book in it."""
    folder = tmp_path_factory.mktemp("filled") / "book"
    subprocess.run([sys.executable, "-c", FILL, str(folder)], check=True)
    return folder


def run(*words, **env):
    return zygote.command(*words, PITHLINE_DATABASE_URL="", **env)


def test_a_restored_book_is_the_saved_one(filled, tmp_path):
    saved = run("backup", tmp_path / "a.zip", "--book", filled, "--json")
    assert saved.returncode == 0, saved.stderr
    told = json.loads(saved.stdout)
    assert told["rows"] > 50
    back = run("restore", tmp_path / "a.zip", "--book", tmp_path / "b", "--json")
    assert back.returncode == 0, back.stderr
    assert json.loads(back.stdout)["rows"] == told["rows"]
    again = json.loads(run("backup", tmp_path / "b.zip", "--book", tmp_path / "b", "--json").stdout)
    assert again["rows"] == told["rows"]


def test_a_book_that_holds_something_is_not_written_over(filled, tmp_path):
    run("backup", tmp_path / "a.zip", "--book", filled)
    over = run("restore", tmp_path / "a.zip", "--book", filled)
    assert over.returncode == 2
    assert over.stderr.startswith("Refused:")


@pytest.mark.parametrize("words", [["backup", "a.zip"], ["token", "phone"]], ids=lambda w: w[0])
def test_a_mistyped_folder_does_not_become_an_empty_book(tmp_path, words):
    ran = run(*words, "--book", tmp_path / "none")
    assert ran.returncode == 2
    assert "a folder with a book in it" in ran.stderr
    assert not (tmp_path / "none").exists()


def test_a_token_is_shown_once_listed_and_ended(filled):
    made = run("token", "barn tablet", "--book", filled)
    assert made.returncode == 0
    token = made.stdout.strip()
    assert token.startswith("pith_")
    assert token not in made.stderr
    assert run("token", "barn tablet", "--book", filled).returncode == 2
    listed = run("token", "--list", "--book", filled, "--json")
    assert json.loads(listed.stdout)["tokens"] == [{"name": "barn tablet", "last_used_at": None}]
    assert token not in listed.stdout
    assert run("token", "--end", "barn tablet", "--book", filled).returncode == 0
    assert run("token", "--end", "barn tablet", "--book", filled).returncode == 2
    assert "no token" in run("token", "--list", "--book", filled).stdout


def test_one_thing_at_a_time(filled):
    assert run("token", "a", "--list", "--book", filled).returncode == 2
    assert run("token", "--book", filled).returncode == 2


TALLY = "Thk,Length (m),Faces cm\n80,2.9,45 cm / 52 cm\n52,2.9,40 cm / 47 cm\n"
MEANT = (
    "--kind",
    "tally_slab",
    "--every",
    "log=2",
    "--column",
    "Thk=thickness mm",
    "--column",
    "Faces cm=widths",
)


@pytest.fixture
def book(filled, tmp_path):
    """The demo's book, to be written into."""
    shutil.copytree(filled, tmp_path / "book")
    return tmp_path / "book"


def slabs_of_log_2(book, tmp_path):
    run("export", tmp_path / "told.json", "--book", book)
    told = json.loads((tmp_path / "told.json").read_text())
    return [row["thickness_m"] for row in told["slabs"] if str(row["log"]) == "2"]


def test_a_spreadsheets_tally_is_shown_then_entered_then_known(book, tmp_path):
    table = tmp_path / "tally.csv"
    table.write_text(TALLY)
    shown = run("import", table, *MEANT, "--book", book)
    assert shown.returncode == 0, shown.stderr
    assert "would be entered: 2-1" in shown.stdout
    assert "Nothing is entered yet" in shown.stderr
    assert slabs_of_log_2(book, tmp_path) == []
    done = json.loads(run("import", table, *MEANT, "--book", book, "--enter", "--json").stdout)
    assert (done["entered"], [r["fate"] for r in done["rows"]]) == (True, ["done", "done"])
    again = json.loads(run("import", table, *MEANT, "--book", book, "--enter", "--json").stdout)
    assert [r["fate"] for r in again["rows"]] == ["known", "known"]
    assert slabs_of_log_2(book, tmp_path) == pytest.approx([0.080, 0.052])


def test_one_bad_row_and_nothing_is_entered(book, tmp_path):
    table = tmp_path / "tally.csv"
    table.write_text(TALLY + "80,x,40 cm / 47 cm\n")
    ran = run("import", table, *MEANT, "--book", book, "--enter")
    assert ran.returncode == 2
    assert "Row 4: refused: length" in ran.stdout
    assert "1 of 3 rows" in ran.stderr
    assert slabs_of_log_2(book, tmp_path) == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--column", "Nope=length"], "Nope"),
        (["--column", "Thk"], "--column"),
        (["--column", "Thk=height"], "height"),
        (["--sheet", "other"], "--sheet"),
        (["--every", "log"], "--every"),
    ],
    ids=str,
)
def test_a_mapping_that_cannot_be_is_refused(filled, tmp_path, words, said):
    table = tmp_path / "tally.csv"
    table.write_text(TALLY)
    ran = run("import", table, "--kind", "tally_slab", *words, "--book", filled)
    assert ran.returncode == 2
    assert said in ran.stderr


@pytest.mark.parametrize("name", ["yard.zip", "yard.json", "yard.xlsx"])
def test_our_own_export_can_be_imported(filled, tmp_path, name):
    assert run("export", tmp_path / name, "--book", filled).returncode == 0
    empty = tmp_path / "empty"
    assert run("serve", "--check", "--book", empty).returncode == 0
    for sheet in ("contacts", "places", "stacks"):
        ran = run("import", tmp_path / name, "--sheet", sheet, "--enter", "--book", empty)
        assert ran.returncode == 0, ran.stderr + ran.stdout
    told = run("import", tmp_path / name, "--sheet", "contacts", "--book", empty).stdout
    assert "was entered before" in told

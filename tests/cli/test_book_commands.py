"""Commands about a whole book: saved and restored, tokens made and ended; each in a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

FILL = """
import sys
from pithline.yard.opening import open_book
open_book(sys.argv[1])
from pithline.yard.demo import fill
fill(planned=False)
"""


@pytest.fixture(scope="module")
def filled(tmp_path_factory):
    """A folder with the demo's book in it."""
    folder = tmp_path_factory.mktemp("filled") / "book"
    subprocess.run([sys.executable, "-c", FILL, str(folder)], check=True)
    return folder


def run(*words, **env):
    told = {**os.environ, "PITHLINE_DATABASE_URL": "", **env}
    command = [sys.executable, "-m", "pithline", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, env=told, timeout=120)


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

"""What every test may use: the command line in one call, and how hard hypothesis tries."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import settings

from pithline.cli.main import main

# No deadline: the first example may compile a kernel. The same examples every time in CI.
settings.register_profile("home", deadline=None, print_blob=True)
settings.register_profile("ci", deadline=None, print_blob=True, derandomize=True, max_examples=40)
settings.register_profile("deep", deadline=None, print_blob=True, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE") or ("ci" if os.environ.get("CI") else "home"))


def _tell_django() -> None:
    """Name the tests' own book: SQLite in a file, or the database of ``PITHLINE_TEST_POSTGRES``.

    In a file, because a book in memory has neither WAL nor a second writer.
    """
    from django.conf import settings as told

    from pithline.web.site import configure_site

    folder = Path(tempfile.mkdtemp(prefix="pithline-tests-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    url = os.environ.get("PITHLINE_TEST_POSTGRES")
    # Never the user's own book, whatever the environment says.
    os.environ.pop("PITHLINE_DATABASE_URL", None)
    os.environ["PITHLINE_BOOK"] = str(folder)
    configure_site(folder, url)
    if not url:
        told.DATABASES["default"].setdefault("TEST", {})["NAME"] = str(folder / "tested.sqlite3")


# Here and not in a hook: models can only be imported once Django knows its book.
_tell_django()


# The workers take whole files in turn: a long one begun last would leave the others idle.
LONG = (
    *("test_docs.py", "test_looks.py", "test_journey.py", "test_durable.py", "test_planner_against_highs.py"),
    *("test_serve.py", "test_uses_against_highs.py", "test_book_commands.py", "test_api_fuzzed.py"),
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: LONG.index(item.path.name) if item.path.name in LONG else len(LONG))


class Answer(NamedTuple):
    """What one command line gave back."""

    code: int
    out: str
    err: str


@pytest.fixture
def pithline(capfd, monkeypatch) -> Callable[..., Answer]:
    """Run ``pithline`` in this process: ``pithline("species", "red oak", "--json")``."""
    monkeypatch.setenv("COLUMNS", "200")  # no table wraps, whatever the terminal

    def call(*words: object) -> Answer:
        capfd.readouterr()
        code = main([str(word) for word in words])
        return Answer(code, *capfd.readouterr())

    return call

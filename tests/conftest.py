"""What every test may use: the command line in one call, and how hard hypothesis tries."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import NamedTuple

import pytest
from hypothesis import settings

from pithline.cli.main import main

# No deadline: the first example may compile a kernel. The same examples every time in CI.
settings.register_profile("home", deadline=None, print_blob=True)
settings.register_profile("ci", deadline=None, print_blob=True, derandomize=True)
settings.register_profile("deep", deadline=None, print_blob=True, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE") or ("ci" if os.environ.get("CI") else "home"))


class Answer(NamedTuple):
    """What one command line gave back."""

    code: int
    out: str
    err: str


@pytest.fixture
def pithline(capfd) -> Callable[..., Answer]:
    """Run ``pithline`` in this process: ``pithline("species", "red oak", "--json")``."""

    def call(*words: object) -> Answer:
        capfd.readouterr()
        code = main([str(word) for word in words])
        return Answer(code, *capfd.readouterr())

    return call

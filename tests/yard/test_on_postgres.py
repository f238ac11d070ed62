"""The same tests of the book on PostgreSQL."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

_HERE = Path(__file__).parent
# These open books of their own and choose the database themselves.
_APART = ("test_on_postgres.py", "test_durable.py", "test_backup.py", "test_books.py")
# These are about files, photos and tables of other programs, which no database sees.
_ELSEWHERE = ("test_files.py", "test_import.py", "test_jobs.py", "test_kit.py", "test_plans.py")


@pytest.mark.skipif("PITHLINE_TEST_POSTGRES" in os.environ, reason="this run is on PostgreSQL already")
def test_the_books_tests_pass_on_postgresql(postgres):
    files = [file for file in sorted(_HERE.glob("test_*.py")) if file.name not in (*_APART, *_ELSEWHERE)]
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-p",
            "no:cacheprovider",
            "-x",
            "-k",
            "not swells",
            *map(str, files),
        ],
        cwd=_HERE.parents[1],
        env=os.environ | {"PITHLINE_TEST_POSTGRES": postgres},
        capture_output=True,
        text=True,
        timeout=600,
    )
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
    assert " passed" in done.stdout

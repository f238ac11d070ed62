"""A book of its own in another process: what one process cannot have is two books, or its own death."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from textwrap import dedent

__all__ = ["run_in_book", "start_in_book"]

_OPEN = """
import sys
from pathlib import Path
from pithline.yard.opening import configure, bring_up_to_date
configure(Path(sys.argv[1]), sys.argv[2] or None)
if {fresh}: bring_up_to_date()
from tests.book import *
"""
_ROOT = Path(__file__).parents[2]


def start_in_book(folder: Path, code: str, url: str = "", fresh: bool = True, *more: str) -> subprocess.Popen:
    """Begin to run code with the book of a folder open; further words are ``sys.argv[3:]``."""
    whole = _OPEN.format(fresh=fresh) + dedent(code)
    environment = {k: v for k, v in os.environ.items() if not k.startswith("PITHLINE_")}
    path = os.pathsep.join(filter(None, [str(_ROOT), os.environ.get("PYTHONPATH", "")]))
    return subprocess.Popen(
        [sys.executable, "-c", whole, str(folder), url, *more],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=_ROOT,
        env=environment | {"PYTHONPATH": path},
    )


def run_in_book(folder: Path, code: str, url: str = "", fresh: bool = True, *more: str) -> str:
    """The same, to its end; gives what it printed."""
    process = start_in_book(folder, code, url, fresh, *more)
    out, err = process.communicate(timeout=120)
    assert process.returncode == 0, err
    return out

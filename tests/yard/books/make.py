"""Makes a frozen book: a backup of an invented book with a row in every table.

Once for each landing, by whoever lands::

    python tests/yard/books/make.py 2026-11-landing

A frozen book is never made anew: it stands for books that are out there.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[2])]


def main(name: str) -> None:
    place = HERE / f"{name}.zip"
    if place.exists():
        sys.exit(f"{place.name} is there already; a frozen book is never made anew.")
    from pithline.yard.opening import open_book

    with tempfile.TemporaryDirectory() as folder:
        open_book(folder)
        from pithline.yard.backup import backup
        from tests.yard import full

        full.fill()
        print(backup(place))


if __name__ == "__main__":
    main(sys.argv[1])

"""The printed tables of drying, read once: rows of text under a citation."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

__all__ = ["rows"]


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Rows of one table as printed; lines that begin with # are its citation."""
    text = files("pithline.dry").joinpath("data", name).read_text(encoding="utf-8")
    return tuple(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))

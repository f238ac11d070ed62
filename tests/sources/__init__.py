"""Published tables that the tests check against, each a file with its citation on top."""

from __future__ import annotations

import csv
from pathlib import Path

__all__ = ["citation", "table"]

HERE = Path(__file__).parent
STATUSES = ("read", "from memory", "computed")


def table(name: str) -> list[dict[str, str]]:
    """The rows of one table, as printed; lines that begin with # are its citation."""
    lines = _file(name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if line.strip() and not line.startswith("#")))


def citation(name: str) -> dict[str, str]:
    """What the first lines say of the table: ``source``, ``status`` and any other ``# key: text``."""
    said: dict[str, str] = {}
    for line in _file(name).read_text(encoding="utf-8").splitlines():
        if not line.startswith("#"):
            break
        key, colon, text = line.lstrip("# ").partition(":")
        if colon:
            said[key.strip()] = text.strip()
    return said


def _file(name: str) -> Path:
    return HERE / (name if name.endswith(".csv") else f"{name}.csv")

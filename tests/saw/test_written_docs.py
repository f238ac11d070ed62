"""docs/mill-aims-rates.md lists every field as it is declared."""

from __future__ import annotations

from pathlib import Path

import pytest

from pithline.fields import Field, Table
from pithline.saw.written.aims import AIMS
from pithline.saw.written.mill import MILL
from pithline.saw.written.rates import RATES

DOCUMENT = Path(__file__).parents[2] / "docs" / "mill-aims-rates.md"


def listed(table: Table) -> str:
    """The table of fields as the document prints it; to renew it, paste what the test shows."""
    lines = ["| field | meaning | default | range or choice |", "| --- | --- | --- | --- |"]
    for f in table.fields:
        if isinstance(f, Table):
            for inner in f.fields:
                assert isinstance(inner, Field)
                lines.append(row(inner, f"[[{table.name}.{f.name}]] {inner.name}"))
        else:
            lines.append(row(f, f.name))
    return "\n".join(lines)


def row(f: Field, name: str) -> str:
    default = "" if f.default is None else f.default
    if isinstance(default, bool):
        default = str(default).lower()
    shown = ", ".join(default) if isinstance(default, list) else default
    limits = " to ".join(part for part in (f.least or ("up" if f.most else ""), f.most) if part)
    if f.least and not f.most:
        limits = f"{f.least} or more"
    words = ", ".join((*f.choices, *f.words))
    meaning = f.help.rstrip(".") + (" (required)" if f.required else "")
    return f"| `{name}` | {meaning} | {shown} | {', '.join(part for part in (limits, words) if part)} |"


@pytest.mark.parametrize("table", [MILL, AIMS, RATES], ids=lambda t: t.name)
def test_every_field_is_documented_as_declared(table):
    assert listed(table) in DOCUMENT.read_text(encoding="utf-8")

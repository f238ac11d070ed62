"""An invented book to look round in: a wind-thrown oak across a creek hollow, and what came of it."""

from __future__ import annotations

import datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

from pithline.yard.kinds import Who

__all__ = ["fill", "hollow_oak"]

_WHO = Who(name="demo", device="invented for the demo")


def hollow_oak() -> dict[str, Any]:
    """Tables of the demo log's record: log, lie, mill, aims, rates."""
    from pithline.fields import parse_toml

    inside = Path(str(files("pithline"))) / "demo" / "hollow-oak.toml"  # where an installed one has it
    beside = Path(__file__).parents[3] / "demo" / "hollow-oak.toml"
    place = inside if inside.exists() else beside
    return parse_toml(place.read_text(encoding="utf-8"), place.name)


def fill(today: datetime.date | None = None) -> None:
    """Fill an empty book with the demo; dates lie about `today`.

    Everything is entered by the same actions that a person's entries go through.
    """
    from pithline.yard.actions import measure_log, take_log

    today = today or datetime.datetime.now(datetime.UTC).date()

    def day(after: int) -> str:
        return (today + datetime.timedelta(days=after)).isoformat()

    tables = hollow_oak()
    take_log(
        {
            "name": "hollow oak",
            "species": "northern red oak",
            "offered_on": day(-21),
            "consent_on": day(-18),
            "agreed": "Invented: two slabs go to the owner; gate shut at dusk; brush stacked off the path.",
            "saw_on": day(3),
        },
        who=_WHO,
    )
    measure_log({"log": "1", "record": {k: tables[k] for k in ("log", "lie")}}, who=_WHO)
    take_log(
        {
            "name": "ridge log",
            "species": "northern red oak",
            "offered_on": day(-2),
            "answer_by": day(5),
            "agreed": "Invented: asked for half of the slabs.",
        },
        who=_WHO,
    )

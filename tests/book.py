"""What tests of the book and of its pages enter: through entry kinds, like everybody else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pithline.fields import parse_toml
from pithline.yard.kinds import Done, Who, perform

DEMO = Path(__file__).parent.parent / "demo" / "hollow-oak.toml"


def demo_tables() -> dict[str, Any]:
    """The demo's tables log, lie, mill, aims and rates, as typed."""
    return parse_toml(DEMO.read_text(encoding="utf-8"), "hollow-oak.toml")


def enter(kind: str, /, **said: Any) -> Any:
    """Do an entry and hand back the record that it is about."""
    return done(kind, **said).subject


def done(kind: str, /, **said: Any) -> Done:
    """Do an entry and hand back all that came of it."""
    return perform(kind, said, who=Who("tester", "bench"))


def demo_log() -> Any:
    """The hollow oak: offered, taken and measured."""
    tables = demo_tables()
    log = enter("take_log", name="hollow oak", species="northern red oak", offered_on="2025-11-20")
    enter("decide_log", log=str(log.number), decision="take", agreed="A third of the slabs to the owner.")
    record = {name: tables[name] for name in ("log", "lie")}
    return enter("measure_log", log=str(log.number), record=record)

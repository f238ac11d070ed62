"""The kiln log: what to set, when to change it, and lines to fill in, as a PDF."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from importlib.resources import files
from typing import Any

from pithline.dry.kiln.kiln import Kiln
from pithline.dry.kiln.load import Piece
from pithline.dry.kiln.run import CAUTIONS, Run
from pithline.units import show_length, show_share

__all__ = ["kiln_log"]

_BOARDS = 6
_LINES = 32  # for days, on a page
_PAGES = 4  # of lines at most; a run that is longer takes a second copy


def kiln_log(run: Run, kiln: Kiln, pieces: Sequence[Piece], paper: str = "a4", dated: str = "") -> bytes:
    """Lay a kiln log out: the plan of the run on one page, then a line for each day.

    Parameters
    ----------
    run : Run
    kiln : Kiln
    pieces : sequence of Piece
    paper : {"a4", "us-letter"}
    dated : str
        For the right-hand end of the title line: which load, and the day.

    Returns
    -------
    bytes
        A PDF.
    """
    import typst

    template = files("pithline.sheets").joinpath("kiln_log.typ").read_bytes()
    inputs = {"sheet": json.dumps(content(run, kiln, pieces, paper, dated))}
    return bytes(typst.compile(template, format="pdf", ignore_system_fonts=True, sys_inputs=inputs))


def content(run: Run, kiln: Kiln, pieces: Sequence[Piece], paper: str, dated: str) -> dict[str, Any]:
    """Every word and figure of the paper."""
    led = run.lead
    rest = run.rest_hours
    lines = [
        f"{len(pieces)} slabs, by {led.choice.code}: {led.choice.row.cited()}.",
        (
            f"Goes by {led.slowest.name or led.slowest.species.name}; the thickest slab has "
            f"{show_length(led.thickest.thickness)}, the wettest {show_share(led.wettest.moisture)}."
        ),
        (
            f"Days {run.days.mid:.0f} ({run.days.low:.0f} to {run.days.high:.0f}), equalising not counted; "
            f"water {math.ceil(run.water.high)} kg at most."
        ),
    ]
    if rest:
        lines.append(f"First {rest[0]:.0f} to {rest[1]:.0f} h of air as damp as the kiln can make it.")
    marks = list(dict.fromkeys(told for step in run.steps for told in step.setting.remarks))
    return {
        "title": f"Kiln log · {kiln.name}",
        "dated": dated,
        "paper": paper,
        "lines": lines,
        "rule": "change when the mean of the wettest half of the sample boards is at the lower figure",
        "heads": ["moisture", "dry bulb", "wet bulb", "humidity", "equilibrium", "days", "set on", "by"],
        "steps": [_row(step) for step in run.steps],
        "notes": [f"* {told}" for told in marks] + [f"Note: {told}." for told in run.remarks],
        "finish": _finish(run),
        "sterilise": _sterilise(run),
        "slab": list(run.on_the_slab),
        "boards": _BOARDS,
        "weighing": "Moisture of a board = weight / oven-dry weight - 1. Weigh daily while it is above 30 %.",
        "cautions": list(CAUTIONS),
        "days": _LINES * min(max(math.ceil(run.days.mid / _LINES), 1), _PAGES),
        "slabs": _slabs(pieces),
        "daily": [
            "date", "hour", "dry bulb", "wet bulb", *(f"board {n}" for n in range(1, _BOARDS + 1)),
            "wettest half", "remarks",
        ],
        "foot": "Steps of published schedules are from memory: compare with the printed tables.",
    }  # fmt: skip


def _slabs(pieces: Sequence[Piece]) -> list[str]:
    """Alike slabs together, each kind with a place to tick."""
    alike: dict[tuple[str, str, str], list[str]] = {}
    for piece in pieces:
        kind = (piece.species.name, show_length(piece.thickness), show_share(piece.moisture))
        alike.setdefault(kind, []).append(piece.name)
    return [
        f"{len(names)} × {wood}, {thick}, {wet}: {', '.join(filter(None, names)) or 'no name given'}"
        for (wood, thick, wet), names in alike.items()
    ]


def _row(step: Any) -> list[str]:
    s, days = step.setting, step.days
    return [
        f"{s.upper * 100:.0f} to {s.lower * 100:.0f} %",
        _bulb(s.temperature),
        _bulb(s.wet_bulb),
        f"{s.humidity * 100:.0f} %",
        f"{s.emc * 100:.1f} %",
        f"{days.low:.0f} to {days.high:.0f}" + ("" if s.within else " *"),
        "",
        "",
    ]


def _finish(run: Run) -> list[str]:
    end = run.finish
    even = f"{_bulb(end.equalise.temperature)}, wet bulb {_bulb(end.equalise.wet_bulb)}"
    begin, stop = show_share(end.begin), show_share(end.stop)
    told = [f"When the driest board is at {begin}: {even}, until the wettest is at {stop}."]
    if end.condition:
        told.append(
            f"Then condition: {_bulb(end.condition.temperature)}, wet bulb {_bulb(end.condition.wet_bulb)}, "
            f"{end.hours[0]:.0f} to {end.hours[1]:.0f} h; prongs cut from a section must stay straight."
        )
    return told


def _sterilise(run: Run) -> list[str]:
    heat = run.heating
    if not heat.reaches:
        return list(heat.on_the_slab)
    return [
        f"At the kiln's top: {math.ceil(heat.total)} min, the 30 min of holding included.",
        "Core of the thickest slab at 56 °C from ______ to ______, probe in slab ______.",
        *heat.remarks,
    ]


def _bulb(celsius: float) -> str:
    return f"{celsius:.1f} °C ({celsius * 1.8 + 32:.0f} °F)"

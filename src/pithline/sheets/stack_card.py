"""The card that hangs at a stack: how it lies, what it weighs, what to see to, as a PDF."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from pithline.dry.laying.lifting import CAUTION as LIFTING
from pithline.dry.laying.reaching import moved_first
from pithline.dry.laying.stack import Stack
from pithline.dry.laying.standing import CAUTION
from pithline.dry.laying.stood import Lift, Standing
from pithline.sheets.stack_sides import stack_sides
from pithline.sheets.stack_words import stack_words
from pithline.units import System, show_length, show_mass

__all__ = ["stack_card"]

_LINES = 26  # to fill in by hand


def stack_card(
    stack: Stack, stood: Standing, title: str, paper: str = "a4", system: System = "metric", dated: str = ""
) -> bytes:
    """Lay a stack's card out.

    Parameters
    ----------
    stack : Stack
    stood : Standing
    title : str
    paper : {"a4", "us-letter"}
    system : {"metric", "inch"}
    dated : str
        For the right-hand end of the title line.

    Returns
    -------
    bytes
        A PDF.
    """
    import typst

    template = files("pithline.sheets").joinpath("stack_card.typ").read_bytes()
    inputs = {"sheet": json.dumps(content(stack, stood, title, paper, system, dated))}
    return bytes(typst.compile(template, format="pdf", ignore_system_fonts=True, sys_inputs=inputs))


def content(
    stack: Stack, stood: Standing, title: str, paper: str, system: System, dated: str
) -> dict[str, Any]:
    """Every word, figure and drawing of the card."""
    words = stack_words(stack, stood, system)
    urgent = ("floor", "tipping", "unsupported", "timbers", "weight")
    return {
        "title": title,
        "dated": dated,
        "paper": paper,
        "head": words.head,
        "drawing": stack_sides(stack, stood, "Side and end", system, 186.0, 70.0),
        "sticks": list(words.sticks),
        "loads": list(words.loads),
        "heads": [
            "layer",
            "slab",
            "from near end",
            "from left",
            "lies",
            "weighs at most",
            "lift",
            "move first",
        ],
        "rows": _rows(stack, stood, system),
        "first": [one.told for one in stood.reminders if one.kind in urgent],
        "then": [_told(one.told, one.source) for one in stood.reminders if one.kind not in urgent],
        "paces": list(words.paces),
        "cautions": [CAUTION, LIFTING],
        "lines": _LINES,
    }


def _rows(stack: Stack, stood: Standing, system: System) -> list[list[str]]:
    """A line for each slab, the top layer first, as one stands before the stack."""
    lifts = {lift.name: lift for lift in stood.lifts}
    rows = []
    for n, layer in reversed(list(zip(stack.numbers, stack.layers, strict=True))):
        for laid in layer.slabs:
            lift, name = lifts[laid.slab.name], laid.slab.name
            lies = "butt far" if laid.turn.end_for_end else "butt near"
            first = moved_first(stack.layers, name)
            rows.append([
                str(n), name, show_length(laid.along, system), show_length(laid.across, system),
                lies + (", face down" if laid.turn.face_down else ""),
                show_mass(lift.most, system, up=True) if lift.most else "not known",
                _lift(lift),
                ", ".join(first) if len(first) <= 6 else f"{len(first)} slabs",
            ])  # fmt: skip
    return rows


def _lift(lift: Lift) -> str:
    if not lift.most:
        return ""
    return "hoist or cart" if lift.people is None else f"{lift.people} at least"


def _told(told: str, source: str) -> str:
    return f"{told} [{source}]" if source else told

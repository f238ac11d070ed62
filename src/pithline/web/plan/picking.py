"""From a way to saw it, by its name in the table of ways, to the controls that make it the plan."""

from __future__ import annotations

import re

from pithline.web.plan.controls import Controls

__all__ = ["address_of"]


def address_of(way: str, controls: Controls) -> str:
    """The query that makes another way the plan; empty for one that needs no change or none known.

    Parameters
    ----------
    way : str
        See `saw.ways.ways`.
    controls : Controls
        As they stand.
    """
    changed: dict[str, str] | None = None
    rolled = re.fullmatch(r"rolled (\d+)° (anticlockwise|clockwise)", way)
    if rolled:
        changed = {"roll": f"{'-' if rolled[2] == 'clockwise' else ''}{rolled[1]}", "roll_free": ""}
    elif way.startswith("all "):
        changed = {"aims.thickness": way.removeprefix("all ")}
    elif way == "as it lies":
        changed = {"roll": "0", "roll_free": "", "aims.both_sides": ""}
    elif way == "sawn from both sides":
        changed = {"aims.both_sides": "yes"}
    elif way == "parallel to the pith":
        changed = {"aims.follow": "pith", "aims.pitch": ""}
    elif way == "parallel to the bark on top":
        changed = {"aims.follow": "bark", "aims.pitch": ""}
    elif way == "the best plan":
        changed = {}
    return "" if changed is None else controls.address(moved="", trail="", **changed)

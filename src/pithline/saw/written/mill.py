"""The table [mill]: its fields as a person writes them, and what they make."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pithline import units
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.saw.mill import Mill
from pithline.saw.written.assumed import Written, as_written, assumed_in, rising

__all__ = ["MILL", "read_mill"]

_L = Quantity.LENGTH


def _pace(raw: Any, path: str) -> float:
    value = units.pace(raw, path)
    if not value <= 120:
        raise BadValue(path, raw, "at most 120 min/m2", "Look at the unit.")
    return value


MILL = Table(
    "mill",
    "The saw on its rail-guided frame.",
    (
        Field(
            "bar",
            _L,
            "Bar length, from the saw's body to the nose.",
            default="90 cm",
            least="20 cm",
            most="4 m",
        ),
        Field(
            "bar_lost",
            _L,
            "What clamps and nose take from it (or write usable instead).",
            default="14 cm",
            most="2 m",
        ),
        Field(
            "usable",
            _L,
            "Width that cuts, clamps and nose taken off; instead of bar_lost.",
            least="10 cm",
            most="4 m",
        ),
        Field(
            "clearance", _L, "Kept free beside the log, both sides together.", default="20 mm", most="30 cm"
        ),
        Field("kerf", _L, "Width of the cut.", default="9 mm", least="1 mm", most="25 mm"),
        Field(
            "depth_min", _L, "Smallest setting, guide to bar.", default="13 mm", least="2 mm", most="50 cm"
        ),
        Field("depth_max", _L, "Largest setting, guide to bar.", default="33 cm", least="2 cm", most="2 m"),
        Field(
            "step",
            _L,
            "Smallest step of the setting; also the planner's grid.",
            default="1 mm",
            least="0.5 mm",
            most="20 mm",
        ),
        Field(
            "rail",
            _L,
            "Rail length; without it the plan says how long it must be.",
            least="0.5 m",
            most="30 m",
        ),
        Field("overrun", _L, "Rail needed beyond each end of the log.", default="30 cm", most="3 m"),
        Field("below_bar", _L, "Room the saw needs below the kerf.", default="6 cm", most="1 m"),
        Field(
            "screw_low",
            _L,
            "End brackets: nearest screw, down from the rail's underside.",
            default="3 cm",
            most="1 m",
        ),
        Field("screw_high", _L, "End brackets: farthest screw, likewise.", default="9 cm", most="1 m"),
        Field("pace", Quantity.TEXT, 'Sawing time, such as "5 min/m2".', default="5 min/m2", parse=_pace),
        Field(
            "per_cut",
            Quantity.DURATION,
            "Wedges, setting, walking back, for each cut.",
            default="6 min",
            most="4 h",
        ),
        Field(
            "per_turn",
            Quantity.DURATION,
            "Rolling the log half over and chocking it again.",
            default="15 min",
            most="4 h",
        ),
    ),
)

WHY = {
    "bar": "a middling milling bar, common practice, no source",
    "bar_lost": "clamps and nose take 10 to 18 cm, common practice, no source",
    "kerf": "3/8 in or .404 chain cuts 8 to 10 mm, from memory",
    "pace": "3 to 6 min/m2 derived from one sawyer's report, weak",
    "per_cut": "common practice, no source",
}


def read_mill(raw: Mapping[str, Any] | None) -> Written[Mill]:
    """Read the table [mill].

    Parameters
    ----------
    raw : mapping or None
        As TOML gave it; None or empty takes every default.

    Raises
    ------
    BadValue
        Unknown fields, sizes out of range, a bar shorter than what it loses,
        settings out of order.
    """
    raw = {} if raw is None else raw
    got = read(MILL, raw)
    lost = got["bar_lost"]
    skip: tuple[str, ...] = ("bar_lost",) if "usable" in raw else ()
    if "usable" in raw:
        if "bar_lost" in raw:
            raise BadValue("mill.usable", raw["usable"], "given without bar_lost", "Keep one of the two.")
        if "bar" not in raw:
            # What cuts is known and the rest of the bar does not matter.
            got["bar"], skip = got["usable"], ("bar_lost", "bar")
        lost = got["bar"] - got["usable"]
        if lost < 0:
            raise BadValue("mill.usable", raw["usable"], f"at most the bar, {raw['bar']}")
    if got["bar"] - lost <= got["clearance"]:
        taken, kept = as_written(raw, MILL, "bar_lost"), as_written(raw, MILL, "clearance")
        loss = f"bar_lost, {taken}, and clearance, {kept}, together"
        raise BadValue(
            "mill.bar", as_written(raw, MILL, "bar"), f"longer than {loss}", "Measure the bar again."
        )
    rising(raw, MILL, ("depth_min", "depth_max"), got)
    rising(raw, MILL, ("screw_low", "screw_high"), got)
    rising(raw, MILL, ("step", "depth_max"), got)
    if got["rail"] is not None and got["rail"] <= 2 * got["overrun"]:
        raise BadValue("mill.rail", raw["rail"], "longer than the overrun at both ends")
    mill = Mill(
        bar=got["bar"],
        bar_lost=lost,
        **{name: got[name] for name in ("clearance", "kerf", "depth_min", "depth_max", "step", "rail")},
        **{name: got[name] for name in ("overrun", "below_bar", "screw_low", "screw_high")},
        minutes_per_area=got["pace"],
        minutes_per_cut=got["per_cut"],
        minutes_per_turn=got["per_turn"],
    )
    return Written(mill, assumed_in(MILL, raw, WHY, skip))

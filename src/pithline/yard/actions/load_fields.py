"""How a kiln load is written: which slabs, how they lie, by which schedule."""

from __future__ import annotations

import json
import re
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.actions.air import percent

__all__ = ["LOAD", "PLAN", "SLABS", "YES_NO", "energy", "planned"]

_T, _L, _S, _C = Quantity.TEXT, Quantity.LENGTH, Quantity.SHARE, Quantity.TEMPERATURE
LOAD = Field("load", _T, "Its number.", required=True)
YES_NO = ("yes", "no")


def energy(raw: Any, path: str) -> float:
    """Energy in kWh: ``310 kWh``, ``1.2 MWh``.

    Raises
    ------
    BadValue
        Not so written.
    """
    found = re.fullmatch(
        r"(\d{1,7}(?:\.\d+)?)\s*(kwh|mwh)", raw.strip().lower() if isinstance(raw, str) else ""
    )
    if found is None:
        raise BadValue(path, raw, "an energy with its unit", 'Write "310 kWh", as the meter counts it.')
    return float(found[1]) * (1000 if found[2] == "mwh" else 1)


def code(raw: Any, path: str) -> str:
    """A published schedule by its letters, T4-D2; refuses one that was not published."""
    from pithline.dry.kiln.schedules import schedule

    if raw == "":
        return ""
    if not isinstance(raw, str):
        raise BadValue(path, raw, "the code of a published schedule", 'Write "T4-D2".')
    try:
        schedule(raw.strip().upper())
    except BadValue as wrong:
        raise BadValue(path, raw, wrong.rule, wrong.remedy) from None
    return raw.strip().upper()


def _layout(raw: Any, path: str) -> dict[str, Any]:
    if not isinstance(raw, dict):
        raise BadValue(path, raw, "a layout as it was reckoned")
    kept: dict[str, Any] = json.loads(json.dumps(raw, default=str))
    return kept


SLABS = Table(
    "slabs",
    "One row a slab.",
    (
        Field("slab", _T, "The number on it.", required=True),
        Field("layer", Quantity.COUNT, "From the bottom.", least="1", most="200"),
        Field("from_left", _L, "Its left edge from the left side.", most="30 m"),
        Field("from_end", _L, "Its nearer end from the door.", most="60 m"),
        Field("end_for_end", Quantity.FLAG, "Its butt lies at the far end."),
        Field("face_down", Quantity.FLAG, "Its upper face lies down."),
        Field("share", _S, "Its share of the load's room and days.", most="100 %"),
    ),
    many=True,
)
STEPS = Table(
    "steps",
    "An own schedule in place of a published one; the wettest first.",
    (
        Field("down_to", _S, "Until the wettest half of the samples is there.", required=True, most="250 %"),
        Field("dry_bulb", _C, "Temperature of the air.", required=True, least="0 C", most="120 C"),
        Field("wet_bulb", _C, "Of the wet bulb.", least="0 C", most="120 C"),
        Field("humidity", _S, "Or the relative humidity.", most="100 %"),
    ),
    many=True,
)
PLAN = (
    Field("name", _T, "What you call it."),
    Field("code", _T, 'A published schedule: "T4-D2".', parse=code),
    STEPS,
    Field("target", _S, "Moisture wanted.", least="4 %", most="30 %"),
    Field("layout", _T, "The layers as they were reckoned.", parse=_layout),
    Field("note", _T, "Whatever else."),
)


def planned(said: dict[str, Any], again: bool = False) -> dict[str, Any]:
    """What a load's record keeps of its plan; `again` where it had one before."""
    values: dict[str, Any] = {
        name: said[name] for name in ("name", "code", "layout", "note") if said[name] is not None
    }
    if said["target"] is not None:
        values["target_percent"] = percent(said["target"])
    if said["steps"]:
        if said["code"]:
            raise BadValue("steps", "given with a code", "given, or a code, one of the two")
        values["steps"] = _own_steps(said["steps"])
        values["code"] = ""
    elif again and said["code"]:
        values["steps"] = None
    return values


def _own_steps(rows: tuple[dict[str, Any], ...]) -> list[dict[str, Any]]:
    lower = [row["down_to"] for row in rows]
    if lower != sorted(set(lower), reverse=True):
        raise BadValue("steps", "out of order", "from the wettest down, each moisture once")
    for n, row in enumerate(rows, 1):
        wet = row["wet_bulb"]
        if (wet is None) == (row["humidity"] is None):
            raise BadValue(f"steps[{n}].wet_bulb", "missing", "given, or a humidity, one of the two")
        if wet is not None and wet > row["dry_bulb"]:
            raise BadValue(
                f"steps[{n}].wet_bulb", f"{wet:g} °C", "no warmer than the dry bulb", "Swap the two?"
            )
    return [
        {
            "down_to_percent": percent(row["down_to"]),
            "dry_bulb_c": row["dry_bulb"],
            "wet_bulb_c": row["wet_bulb"],
            "humidity_percent": percent(row["humidity"]),
        }
        for row in rows
    ]

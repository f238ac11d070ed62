"""How a stack is laid and kept: layers, stickers, covers, sealed ends, and where it dries from when."""

from __future__ import annotations

import datetime
from typing import Any

from pithline.dry.laying.floor_load import bearing
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.actions.air import percent
from pithline.yard.actions.slabs import live_slab
from pithline.yard.actions.stays import NOWHERE, stay
from pithline.yard.desk import Desk
from pithline.yard.finding import by_name, load_of, log_of, slab_of
from pithline.yard.kinds import entry
from pithline.yard.models import Log, Phase, Place, Slab, Stack
from pithline.yard.moments import today

__all__ = ["begin_phase", "cover_stack", "end_phase", "lay_stack", "seal_ends"]

_T, _L, _D = Quantity.TEXT, Quantity.LENGTH, Quantity.DATE
STACK = Field("stack", _T, "By name.", required=True)


@entry(
    Table(
        "lay_stack",
        "How a stack is laid. Slabs that lie in it and are not named keep no layer; what is left out stays.",
        (
            STACK,
            Table(
                "slabs",
                "One row a slab.",
                (
                    Field("slab", _T, "The number on it.", required=True),
                    Field("layer", Quantity.COUNT, "From the bottom.", required=True, least="1", most="200"),
                    Field("spot", Quantity.COUNT, "In its layer from the left.", least="1", most="200"),
                    Field("from_left", _L, "Its left edge from the stack's left side.", most="30 m"),
                    Field("from_end", _L, "Its nearer end from the stack's near end.", most="60 m"),
                    Field("end_for_end", Quantity.FLAG, "Its butt lies at the far end."),
                    Field("face_down", Quantity.FLAG, "Its upper face lies down."),
                ),
                many=True,
            ),
            Field("sticker", _L, "Thickness of the sticks between layers.", least="1 mm", most="20 cm"),
            Field("sticker_width", _L, "Width of the sticks.", least="1 mm", most="50 cm"),
            Field(
                "sticker_places",
                _L,
                "Each row of sticks from the stack's near end.",
                many=True,
                most="60 m",
            ),
            Field("bolster", _L, "Height of the timbers below the first layer.", most="2 m"),
            Field("top_weight", Quantity.MASS, "Laid on top against warp.", most="100 t"),
            Field("bears", _T, 'What the floor bears: "500 kg/m2".', parse=bearing),
            Field("laid_on", _D, "The day; else today."),
        ),
    ),
    "Lay a stack",
)
def lay_stack(desk: Desk, said: dict[str, Any]) -> Stack:
    """Lay slabs into the layers of a stack, and say what lies between and below them."""
    stack: Stack = by_name(Stack, said["stack"], "stack")
    if said["slabs"]:
        _layers(desk, stack, said["slabs"], said["laid_on"] or today())
    columns = {
        "sticker": "sticker_m",
        "sticker_width": "sticker_width_m",
        "bolster": "bolster_m",
        "top_weight": "top_weight_kg",
        "bears": "bears_kg_m2",
    }
    values = {column: said[name] for name, column in columns.items() if said[name] is not None}
    if said["sticker_places"]:
        places = list(said["sticker_places"])
        if places != sorted(set(places)):
            raise BadValue("sticker_places", "out of order", "from the near end on, each named once")
        values["sticker_places_m"] = places
    return desk.change(stack, **values)


def _layers(desk: Desk, stack: Stack, rows: tuple[dict[str, Any], ...], day: datetime.date) -> None:
    named: list[Slab] = []
    for n, row in enumerate(rows, 1):
        slab = live_slab(row["slab"], f"slabs[{n}].slab")
        if slab in named:
            raise BadValue(f"slabs[{n}].slab", row["slab"], "named once")
        named.append(slab)
    rest = Slab.objects.filter(stack=stack).exclude(pk__in=[slab.pk for slab in named])
    for slab in rest:
        desk.change(slab, **NOWHERE | {"stack": stack})
    spots = _spots(rows)
    for slab, row, spot in zip(named, rows, spots, strict=True):
        stay(desk, slab, stack, day)
        values: dict[str, Any] = {
            "stack": stack,
            "layer": row["layer"],
            "spot": spot,
            "across_m": row["from_left"],
            "along_m": row["from_end"],
            "end_for_end": row["end_for_end"],
            "face_down": row["face_down"],
        }
        if stack.place:
            values["place"] = stack.place
        if slab.state == Slab.State.GREEN:
            values["state"] = Slab.State.DRYING
        desk.change(slab, **values)


def _spots(rows: tuple[dict[str, Any], ...]) -> list[int | None]:
    """Each slab's turn in its layer: as said, else by its left edge, where a layer tells all of them."""
    spots: list[int | None] = [row["spot"] for row in rows]
    for layer in {row["layer"] for row in rows}:
        inside = [n for n, row in enumerate(rows) if row["layer"] == layer]
        if all(spots[n] is None and rows[n]["from_left"] is not None for n in inside):
            for spot, n in enumerate(sorted(inside, key=lambda n: rows[n]["from_left"]), 1):
                spots[n] = spot
    return spots


@entry(
    Table(
        "seal_ends",
        "Ends sealed with wax or paint: of a log, or of slabs.",
        (
            Field("log", _T, "Its number."),
            Field("slabs", _T, "The numbers on them.", many=True),
            Field("sealed_on", _D, "The day; else today."),
        ),
    ),
    "Seal ends",
)
def seal_ends(desk: Desk, said: dict[str, Any]) -> Log | Slab:
    """Note that ends are sealed: they no longer dry ahead of the rest."""
    day = said["sealed_on"] or today()
    if bool(said["log"]) == bool(said["slabs"]):
        raise BadValue("log", said["log"] or "missing", "given, or slabs, one of the two")
    if said["log"]:
        return desk.change(log_of(said["log"]), ends_sealed_on=day)
    return [desk.change(slab_of(text, "slabs"), ends_sealed_on=day) for text in said["slabs"]][-1]


@entry(
    Table(
        "cover_stack",
        "A roof or shade put on a stack, or taken off.",
        (
            STACK,
            Field("roof", _T, "Against rain and sun on top.", choices=("put on", "taken off")),
            Field("ends", _T, "Against sun and wind on the ends.", choices=("shaded", "open")),
            Field("done_on", _D, "The day; else today."),
        ),
    ),
    "Cover a stack",
)
def cover_stack(desk: Desk, said: dict[str, Any]) -> Stack:
    """Note what keeps the weather off a stack."""
    if said["roof"] is None and said["ends"] is None:
        raise BadValue("roof", "missing", "given, or what was done to the ends")
    day = said["done_on"] or today()
    values: dict[str, Any] = {}
    if said["roof"] is not None:
        values["covered_on"] = day if said["roof"] == "put on" else None
    if said["ends"] is not None:
        values["ends_shaded_on"] = day if said["ends"] == "shaded" else None
    return desk.change(by_name(Stack, said["stack"], "stack"), **values)


@entry(
    Table(
        "begin_phase",
        "Where a stack dries from a day on. The phase before ends there; one from the same day is replaced.",
        (
            STACK,
            Field(
                "kind", _T, "What the air about it is like.", required=True, choices=tuple(Phase.Kind.values)
            ),
            Field("begins_on", _D, "The day; else today."),
            Field("ends_on", _D, "The first day that it no longer holds; else until further."),
            Field("place", _T, "Whose months hold, by name; else where the stack is."),
            Field("load", _T, "In a kiln: the number of the load."),
            Field(
                "temperature",
                Quantity.TEMPERATURE,
                "Held, indoors or in a kiln.",
                least="-40 C",
                most="120 C",
            ),
            Field("humidity", Quantity.SHARE, "Held, indoors or in a kiln.", most="100 %"),
            Field("planned", Quantity.FLAG, "It is meant to come, and not done yet.", default=False),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Where a stack dries",
)
def begin_phase(desk: Desk, said: dict[str, Any]) -> Phase:
    """Let a stack dry elsewhere, or under other air, from a day on."""
    stack: Stack = by_name(Stack, said["stack"], "stack")
    begins, ends = said["begins_on"] or today(), said["ends_on"]
    if ends is not None and ends <= begins:
        raise BadValue("ends_on", ends, f"after {begins}, the day it begins")
    phases = list(Phase.objects.filter(stack=stack).order_by("begins_on"))
    later = next((p for p in phases if p.begins_on > begins), None)
    if later is not None:
        if ends is not None and ends > later.begins_on:
            raise BadValue("ends_on", ends, f"at the latest {later.begins_on}, when the next phase begins")
        ends = ends or later.begins_on
    for before in phases:
        if before.begins_on < begins and (before.ends_on is None or before.ends_on > begins):
            desk.change(before, ends_on=begins)
    columns: dict[str, Any] = {
        "kind": said["kind"],
        "ends_on": ends,
        "place": by_name(Place, said["place"], "place") if said["place"] else stack.place,
        "load": load_of(said["load"]) if said["load"] else None,
        "temperature_c": said["temperature"],
        "humidity_percent": percent(said["humidity"]),
        "planned": said["planned"],
        "note": said["note"],
    }
    same = next((p for p in phases if p.begins_on == begins), None)
    if same is not None:
        return desk.change(same, **columns)
    return desk.create(Phase, stack=stack, begins_on=begins, **columns)


@entry(
    Table(
        "end_phase",
        "The phase of a stack that runs on a day ends then, and none follows yet.",
        (STACK, Field("ends_on", _D, "The first day that it no longer holds; else today.")),
    ),
    "End a phase",
)
def end_phase(desk: Desk, said: dict[str, Any]) -> Phase:
    """End the running phase of a stack."""
    stack: Stack = by_name(Stack, said["stack"], "stack")
    day = said["ends_on"] or today()
    for phase in Phase.objects.filter(stack=stack, begins_on__lt=day).order_by("-begins_on")[:1]:
        if phase.ends_on is None or phase.ends_on > day:
            return desk.change(phase, ends_on=day)
    raise BadValue("ends_on", day, f"within a phase of {stack}", "None runs then.")

"""Kiln loads: planned, started, set, ended; and what each slab brought out of them."""

from __future__ import annotations

from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.actions.air import percent
from pithline.yard.actions.kit import hours
from pithline.yard.actions.load_fields import LOAD, PLAN, SLABS, YES_NO, energy, planned
from pithline.yard.actions.slabs import live_slab
from pithline.yard.actions.stays import NOWHERE, stay
from pithline.yard.desk import Desk
from pithline.yard.finding import load_of, profile_of, slab_of
from pithline.yard.kinds import entry
from pithline.yard.models import KilnLoad, KilnStep, Loaded, Profile, Slab
from pithline.yard.moments import day_of, moment, now

__all__ = ["change_load", "end_load", "load_kiln", "mark_loaded", "set_kiln", "start_load"]

_T, _S, _C = Quantity.TEXT, Quantity.SHARE, Quantity.TEMPERATURE
_L = Quantity.LENGTH


@entry(
    Table(
        "load_kiln",
        "A kiln load on paper: which slabs, how they lie, by which schedule.",
        (Field("kiln", _T, "By name; else the usual one."), SLABS, *PLAN),
    ),
    "Plan a kiln load",
)
def load_kiln(desk: Desk, said: dict[str, Any]) -> KilnLoad:
    """Plan a load; its number is never given again."""
    load = desk.create(
        KilnLoad, kiln=_kiln(said["kiln"]), number=desk.next_number("kiln load"), **planned(said)
    )
    _put_in(desk, load, said["slabs"])
    return load


@entry(
    Table(
        "change_load",
        "Put a load right. Slabs that are named are put in or laid anew; what is left out stays.",
        (LOAD, SLABS, Field("out", _T, "Slabs taken out of it.", many=True), *PLAN),
    ),
    "Change a kiln load",
)
def change_load(desk: Desk, said: dict[str, Any]) -> KilnLoad:
    """Change a load that has not ended."""
    load = _open(said["load"])
    for text in said["out"]:
        found = Loaded.objects.filter(load=load, slab=slab_of(text, "out")).first()
        if found is None:
            raise BadValue("out", text, f"in {load}")
        desk.remove(found)
    _put_in(desk, load, said["slabs"])
    return desk.change(load, **planned(said, again=True))


@entry(
    Table(
        "start_load",
        "A load goes into the kiln: its slabs leave their stacks.",
        (LOAD, Field("started", _T, 'When: "2026-03-02 07:30"; else now.', parse=moment)),
    ),
    "Start a kiln load",
)
def start_load(desk: Desk, said: dict[str, Any]) -> KilnLoad:
    """Start a load."""
    load = _open(said["load"])
    if load.started_at is not None:
        raise BadValue("load", said["load"], "not started yet", "Undo its start to change the time.")
    slabs = [one.slab for one in load.loaded.select_related("slab")]
    if not slabs:
        raise BadValue("load", said["load"], "holding at least one slab", "Put slabs into it first.")
    start = said["started"] or now()
    for slab in slabs:
        live_slab(str(slab.pk), "load")
        stay(desk, slab, None, day_of(start))
        drying = {"state": Slab.State.DRYING} if slab.state == Slab.State.GREEN else {}
        desk.change(slab, **NOWHERE | drying)
    return desk.change(load, started_at=start)


@entry(
    Table(
        "set_kiln",
        "What the kiln is set to from now on, and what the samples told.",
        (
            LOAD,
            Field("set_at", _T, 'When: "2026-03-02 07:30"; else now.', parse=moment),
            Field("kind", _T, "What it is for.", default="dry", choices=tuple(KilnStep.Kind.values)),
            Field("dry_bulb", _C, "Temperature of the air.", least="-40 C", most="120 C"),
            Field("wet_bulb", _C, "Of the wet bulb.", least="-40 C", most="120 C"),
            Field("humidity", _S, "Or the relative humidity.", most="100 %"),
            Field("samples", _S, "Moisture of the wettest half of the samples then.", most="250 %"),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Set the kiln",
)
def set_kiln(desk: Desk, said: dict[str, Any]) -> KilnStep:
    """Note a step of a running load."""
    load = _open(said["load"])
    at = said["set_at"] or now()
    if load.started_at is None or at < load.started_at:
        raise BadValue("set_at", at, "after the load was started", "Start the load first.")
    dry, wet = said["dry_bulb"], said["wet_bulb"]
    if dry is None and said["samples"] is None and not said["note"]:
        raise BadValue("dry_bulb", "missing", "given, or what the samples told")
    if wet is not None and (dry is None or wet > dry):
        raise BadValue("wet_bulb", f"{wet:g} °C", "given with a dry bulb, and no warmer", "Swap the two?")
    if KilnStep.objects.filter(load=load, at=at).exists():
        raise BadValue("set_at", at, "a time with no other step", "Undo that one, or say the minute.")
    return desk.create(
        KilnStep,
        load=load,
        at=at,
        kind=said["kind"],
        dry_bulb_c=dry,
        wet_bulb_c=wet,
        humidity_percent=percent(said["humidity"]),
        samples_percent=percent(said["samples"]),
        note=said["note"],
    )


@entry(
    Table(
        "end_load",
        "A load comes out: what it took, whether it was sterilised and conditioned.",
        (
            LOAD,
            Field("ended", _T, 'When: "2026-03-30 18:00"; else now.', parse=moment),
            Field("hours", _T, 'It ran, where that is not all the time: "400 h".', parse=hours),
            Field("energy", _T, 'By the meter: "310 kWh".', parse=energy),
            Field("sterilised", _T, "The core was hot enough, long enough.", choices=YES_NO),
            Field("core", _C, "Lowest in the thickest core, by a probe.", least="0 C", most="120 C"),
            Field("core_held", Quantity.DURATION, "For how long without a break.", most="10000 min"),
            Field("conditioned", _T, "Stresses were taken out with damp air.", choices=YES_NO),
            Field("note", _T, "Whatever else."),
        ),
    ),
    "End a kiln load",
)  # fmt: skip
def end_load(desk: Desk, said: dict[str, Any]) -> KilnLoad:
    """End a load; every slab in it is marked with what it got."""
    from pithline.dry.kiln.sterilise import CORE, HOLD

    load = _open(said["load"])
    end = said["ended"] or now()
    if load.started_at is None or end < load.started_at:
        raise BadValue("ended", end, "after the load was started", "Start the load first.")
    sterilised, conditioned = (
        None if said[name] is None else said[name] == "yes" for name in ("sterilised", "conditioned")
    )
    core, held = said["core"], said["core_held"]
    if sterilised and (core is None or held is None or core < CORE or held < HOLD):
        raise BadValue(
            "sterilised",
            "yes",
            f"measured: {CORE:g} °C in the core for {HOLD:g} min",
            "Give core and core_held as the probe showed them, or say no.",
        )
    hot, damp = _could(load)
    short = (core is not None and core < CORE) or (held is not None and held < HOLD)
    if sterilised is None and (short or not hot):
        sterilised = False
    if conditioned is None and not damp:
        conditioned = False
    for one in Loaded.objects.filter(load=load):
        desk.change(one, sterilised=sterilised, conditioned=conditioned)
    note = {"note": said["note"]} if said["note"] is not None else {}
    return desk.change(
        load,
        ended_at=end,
        hours=said["hours"],
        energy_kwh=said["energy"],
        sterilised=sterilised,
        core_c=core,
        core_held_min=held,
        conditioned=conditioned,
        **note,
    )


@entry(
    Table(
        "mark_loaded",
        "What one slab brought out of a load, where it is not what the whole load did.",
        (
            LOAD,
            Field("slab", _T, "The number on it.", required=True),
            Field("sterilised", _T, "It was hot enough, long enough.", choices=YES_NO),
            Field("conditioned", _T, "Its stresses were taken out.", choices=YES_NO),
            Field("marks", _T, "What a buyer is to know: honeycomb, a check that opened."),
            Field("share", _S, "Its share of the load's room and days.", most="100 %"),
        ),
    ),
    "Mark a slab of a load",
)
def mark_loaded(desk: Desk, said: dict[str, Any]) -> Loaded:
    """Mark a slab of a load."""
    load = load_of(said["load"])
    found = Loaded.objects.filter(load=load, slab=slab_of(said["slab"])).first()
    if found is None:
        raise BadValue("slab", said["slab"], f"in {load}")
    values: dict[str, Any] = {
        name: said[name] == "yes" for name in ("sterilised", "conditioned") if said[name] is not None
    }
    if values.get("sterilised") and not load.sterilised:
        raise BadValue("sterilised", "yes", "of a load that was sterilised", "Say so of the load first.")
    if said["marks"] is not None:
        values["marks"] = said["marks"]
    if said["share"] is not None:
        values["space_share"] = said["share"]
    return desk.change(found, **values)


def _kiln(name: str | None) -> Profile:
    if name:
        return profile_of("kiln", name, "kiln")
    found = Profile.objects.filter(kind=Profile.Kind.KILN, usual=True).first()
    if found is None:
        raise BadValue("kiln", "missing", "given, as no kiln is the usual one", "Keep a kiln first.")
    return found


def _open(text: str) -> KilnLoad:
    load = load_of(text)
    if load.ended_at is not None:
        raise BadValue("load", text, "a load that has not ended", "Undo its end to change it.")
    return load


def _put_in(desk: Desk, load: KilnLoad, rows: tuple[dict[str, Any], ...]) -> None:
    seen: set[Slab] = set()
    for n, row in enumerate(rows, 1):
        slab = live_slab(row["slab"], f"slabs[{n}].slab")
        if slab in seen:
            raise BadValue(f"slabs[{n}].slab", row["slab"], "named once")
        seen.add(slab)
        other = Loaded.objects.filter(slab=slab, load__ended_at=None).exclude(load=load).first()
        if other is not None:
            raise BadValue(f"slabs[{n}].slab", row["slab"], "in one load only", f"It is in {other.load}.")
        columns = {
            "layer": row["layer"],
            "across_m": row["from_left"],
            "along_m": row["from_end"],
            "end_for_end": row["end_for_end"],
            "face_down": row["face_down"],
            "space_share": row["share"],
        }
        known = Loaded.objects.filter(load=load, slab=slab).first()
        if known:
            desk.change(known, **columns)
        elif load.started_at is not None:
            raise BadValue(f"slabs[{n}].slab", row["slab"], "put in before the load was started")
        else:
            desk.create(Loaded, load=load, slab=slab, **columns)


def _could(load: KilnLoad) -> tuple[bool, bool]:
    """Whether its kiln could heat a core enough, and damp its air: what it cannot is said on every slab."""
    from pithline.dry.kiln.sterilise import CORE
    from pithline.dry.kiln.written import read_kiln

    try:
        kiln = read_kiln(load.kiln.table).value
    except BadValue:
        return True, True  # not known: then nothing is said
    return kiln.top > CORE, kiln.spray

"""What is weighed and read: witness blocks, sample boards, whole slabs."""

from __future__ import annotations

import datetime
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.actions.air import percent
from pithline.yard.desk import Desk
from pithline.yard.finding import by_name, load_of, log_of, named, slab_of
from pithline.yard.kinds import entry
from pithline.yard.models import KilnLoad, Reading, Sample, Slab, Stack, Weighing
from pithline.yard.moments import today

__all__ = ["change_sample", "cut_sample", "read_meter", "weigh_piece"]

_T, _L, _M, _D = Quantity.TEXT, Quantity.LENGTH, Quantity.MASS, Quantity.DATE
WHERE = (
    Field("stack", _T, "The stack it dries in, by name."),
    Field("load", _T, "The kiln load it dries in, by number."),
)
KNOWN = (
    Field("oven_dry", _M, "Its weight out of the oven, no longer falling.", least="1 g", most="20 t"),
    Field("start", Quantity.SHARE, "Its moisture when cut, from sections off its ends.", most="250 %"),
)
ONE_OF = (
    Field("slab", _T, "The number on it."),
    Field("sample", _T, "Or a witness block or sample board, by name."),
)


@entry(
    Table(
        "cut_sample",
        "A witness block (a full section, ends sealed) or a sample board, to be weighed as it dries.",
        (
            Field("name", _T, "As it is written on it.", required=True),
            Field("kind", _T, "What it is.", default="witness", choices=tuple(Sample.Kind.values)),
            Field("slab", _T, "The slab it was cut from, by number."),
            Field("log", _T, "Else the log, by number."),
            *WHERE,
            Field("species", _T, "Any name of the wood; else that of its slab or log."),
            Field("thickness", _L, "As sawn; else that of its slab.", least="3 mm", most="1 m"),
            Field("width", _L, "Across the grain.", least="1 cm", most="5 m"),
            Field("length", _L, "Along the grain.", least="1 cm", most="30 m"),
            Field("cut_on", _D, "The day; else today."),
            Field("weight", _M, "Weighed when it was cut.", least="1 g", most="20 t"),
            *KNOWN,
            Field("ends_sealed", Quantity.FLAG, "Its ends are sealed.", default=True),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Cut a sample",
)
def cut_sample(desk: Desk, said: dict[str, Any]) -> Sample:
    """Write a sample down with its first weight."""
    from pithline.wood.species import species

    if not said["name"] or named(Sample.objects.all(), said["name"]).exists():
        raise BadValue("name", said["name"], "a name that no sample has yet")
    slab = slab_of(said["slab"]) if said["slab"] else None
    log = log_of(said["log"]) if said["log"] else None
    if slab and log:
        if slab.log_id != log.pk:
            raise BadValue("log", said["log"], f"the log of slab {slab.label}", "Name one of the two.")
        log = None
    wood = said["species"] or (slab.species if slab else log.species if log else None)
    if not wood:
        raise BadValue("species", "missing", "given, or a slab or log to take it from")
    size = slab.sizes.filter(current=True).first() if slab else None
    thick = said["thickness"] or (size.thickness_m if size else None)
    if thick is None:
        raise BadValue("thickness", "missing", "given, or a measured slab to take it from")
    _lighter(said["weight"], said["oven_dry"])
    stack, load = _where(said)
    return desk.create(
        Sample,
        name=said["name"],
        kind=said["kind"],
        slab=slab,
        log=log,
        stack=stack or (slab.stack if slab and load is None else None),
        load=load,
        species=species(wood, "species").name if said["species"] else wood,
        thickness_m=thick,
        width_m=said["width"],
        length_m=said["length"],
        cut_on=said["cut_on"] or today(),
        green_kg=said["weight"],
        oven_dry_kg=said["oven_dry"],
        start_percent=percent(said["start"]),
        ends_sealed=said["ends_sealed"],
        note=said["note"],
    )


@entry(
    Table(
        "change_sample",
        "What became of a sample. What is left out stays.",
        (
            Field("sample", _T, "By name.", required=True),
            *WHERE,
            *KNOWN,
            Field("done", Quantity.FLAG, "No longer weighed."),
            Field("note", _T, "Whatever else."),
        ),
    ),
    "Change a sample",
)
def change_sample(desk: Desk, said: dict[str, Any]) -> Sample:
    """Put a sample elsewhere, or write down what it weighed out of the oven."""
    sample: Sample = by_name(Sample, said["sample"], "sample")
    _lighter(sample.green_kg, said["oven_dry"])
    stack, load = _where(said)
    values: dict[str, Any] = {name: said[name] for name in ("done", "note") if said[name] is not None}
    if said["stack"] is not None:
        values |= {"stack": stack, "load": None}
    if said["load"] is not None:
        values["load"] = load
    if said["oven_dry"] is not None:
        values["oven_dry_kg"] = said["oven_dry"]
    if said["start"] is not None:
        values["start_percent"] = percent(said["start"])
    return desk.change(sample, **values)


@entry(
    Table(
        "weigh_piece",
        "A sample or a whole slab on the scale.",
        (
            *ONE_OF,
            Field("weight", _M, "What the scale shows.", required=True, least="1 g", most="20 t"),
            Field("weighed_on", _D, "The day; else today."),
            Field("scale", _M, "The smallest step that the scale shows.", most="100 kg"),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Weigh",
)
def weigh_piece(desk: Desk, said: dict[str, Any]) -> Weighing:
    """Keep a weight; from several of one piece, and one known moisture, follows how it dries."""
    of = _one_of(said)
    if isinstance(of.get("sample"), Sample):
        _lighter(said["weight"], of["sample"].oven_dry_kg)
        _since_cut(of["sample"], said["weight"], said["weighed_on"])
    return desk.create(
        Weighing,
        **of,
        weight_kg=said["weight"],
        weighed_on=said["weighed_on"] or today(),
        scale_kg=said["scale"],
        note=said["note"],
    )


@entry(
    Table(
        "read_meter",
        "What a moisture meter showed, uncorrected, and how it was held.",
        (
            *ONE_OF,
            Field("meter", _T, "What it feels with.", required=True, choices=tuple(Reading.Meter.values)),
            Field("shown", Quantity.SHARE, "As it stood there.", most="200 %"),
            Field("beyond", _T, "Where it only said: too wet, too dry.", choices=("wet", "dry")),
            Field("depth", _L, "Of the tips of its pins below the face.", most="50 cm"),
            Field(
                "wood_temperature",
                Quantity.TEMPERATURE,
                "Of the wood, not of the air.",
                least="-40 C",
                most="100 C",
            ),
            Field("compensated", Quantity.FLAG, "The meter corrects for temperature itself."),
            Field("set_to", _T, "The species that it was set to; many count in Douglas-fir."),
            Field("gravity", Quantity.NUMBER, "Without pins: the gravity set.", least="0.1", most="1.4"),
            Field(
                "calibrated",
                Quantity.TEMPERATURE,
                "Where its figures hold, as its maker says.",
                least="10 C",
                most="40 C",
            ),
            Field("from_butt", _L, "Where along the piece.", most="30 m"),
            Field("read_on", _D, "The day; else today."),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Read a moisture meter",
)  # fmt: skip
def read_meter(desk: Desk, said: dict[str, Any]) -> Reading:
    """Keep a reading as it was; it is corrected whenever it is used, so that no correction is done twice."""
    if (said["shown"] is None) == (said["beyond"] is None):
        raise BadValue("shown", "given with beyond, or neither", "given, or beyond, one of the two")
    if said["meter"] == Reading.Meter.PINLESS and said["depth"] is not None:
        raise BadValue(
            "depth", said["depth"], "left out for a meter without pins", "It has none to drive in."
        )
    if said["meter"] != Reading.Meter.PINLESS and said["gravity"] is not None:
        raise BadValue("gravity", said["gravity"], "left out for a meter with pins", "Say set_to instead.")
    return desk.create(
        Reading,
        **_one_of(said),
        read_on=said["read_on"] or today(),
        meter=said["meter"],
        depth_m=said["depth"],
        shown_percent=percent(said["shown"]),
        beyond=said["beyond"] or "",
        wood_c=said["wood_temperature"],
        compensated=said["compensated"],
        set_to=_wood(said["set_to"]),
        gravity_set=said["gravity"],
        calibrated_c=said["calibrated"],
        along_m=said["from_butt"],
        note=said["note"],
    )


def _one_of(said: dict[str, Any]) -> dict[str, Slab | Sample]:
    if bool(said["slab"]) == bool(said["sample"]):
        raise BadValue("slab", said["slab"] or "missing", "given, or a sample, one of the two")
    if said["slab"]:
        return {"slab": slab_of(said["slab"])}
    return {"sample": by_name(Sample, said["sample"], "sample")}


def _wood(said: str | None) -> str:
    from pithline.wood.species import species

    return species(said, "set_to").name if said else ""


def _where(said: dict[str, Any]) -> tuple[Stack | None, KilnLoad | None]:
    stack = by_name(Stack, said["stack"], "stack") if said["stack"] else None
    return stack, load_of(said["load"]) if said["load"] else None


def _lighter(wet: float | None, oven_dry: float | None) -> None:
    if wet is not None and oven_dry is not None and oven_dry >= wet:
        raise BadValue(
            "oven_dry", f"{oven_dry:g} kg", f"less than the {wet:g} kg with water in it", "Weigh again."
        )


def _since_cut(sample: Sample, weight: float, day: datetime.date | None) -> None:
    """A sample is weighed after it was cut, and weighs no more than then: a slip would rule its load."""
    from pithline.dry.learning.weighing import HEAVIER

    green = sample.green_kg
    if green is not None and weight > HEAVIER * green:
        rule = f"about the {green:g} kg that it weighed when it was cut, at most"
        raise BadValue("weight", f"{weight:g} kg", rule, "Weighed with snow, stickers or another piece?")
    if day is not None and sample.cut_on is not None and day < sample.cut_on:
        raise BadValue("weighed_on", f"{day}", f"on or after {sample.cut_on}, when it was cut")

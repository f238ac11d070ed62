"""The table [aims]: its fields as a person writes them, and what they make."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Any

from pithline import units
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.saw.aims import Aims, BarkWay, Following, PithRule, ThicknessAim
from pithline.saw.thickness import same_aim, thickness_aim
from pithline.saw.written.assumed import Assumed, Written, assumed_in, rising
from pithline.saw.written.uses import ORDER, read_orders
from pithline.slab.tally import TallyRule, TallyUnit

__all__ = ["AIMS", "OPEN_TRIM", "SEALED_TRIM", "read_aims"]

UNITS = {"m3": TallyUnit.M3, "bf as sawn": TallyUnit.BF_SAWN, "bf nominal": TallyUnit.BF_NOMINAL}
PITH = {"through": PithRule.THROUGH, "box": PithRule.BOX, "free": PithRule.FREE}
BARK = {"on": BarkWay.ON, "stripped": BarkWay.STRIPPED, "off": BarkWay.OFF}
SEALED_TRIM, OPEN_TRIM = 0.05, 0.15  # [m], common practice, no source

_L = Quantity.LENGTH

AIMS = Table(
    "aims",
    "What slabs are wanted, and how they count.",
    (
        Field(
            "thickness",
            Quantity.TEXT,
            'Thickness menu: "12/4" (rough dry), "80 mm green", "60 mm finished", "76 mm rough dry".',
            default=["8/4", "12/4"],
            many=True,
            parse=thickness_aim,
        ),
        Field(
            "moisture",
            Quantity.SHARE,
            "Moisture content the slabs will be dried to, dry basis.",
            default="8 %",
            least="4 %",
            most="30 %",
        ),
        Field(
            "tally",
            Quantity.TEXT,
            "Which width counts.",
            default="mean of faces",
            choices=("narrow face", "mean of faces", "wide face", "true volume"),
        ),
        Field(
            "unit",
            Quantity.TEXT,
            "What is counted: cubic metres or board feet as sawn, or board feet at nominal thickness.",
            default="m3",
            choices=("m3", "bf as sawn", "bf nominal"),
        ),
        Field(
            "least_width",
            _L,
            "Narrowest useful slab, both faces, under bark.",
            default="15 cm",
            least="1 cm",
            most="2 m",
        ),
        Field("least_length", _L, "Shortest useful slab.", default="1.2 m", least="5 cm", most="30 m"),
        Field(
            "sealed", Quantity.FLAG, "Ends sealed against checks: 50 mm to trim, else 150 mm.", default=True
        ),
        Field("end_trim", _L, "Trimmed at each end; goes before sealed.", most="2 m"),
        Field("trim_butt", _L, "Trimmed at the butt; goes before end_trim.", most="2 m"),
        Field("trim_top", _L, "Trimmed at the top; goes before end_trim.", most="2 m"),
        Field(
            "pith",
            Quantity.TEXT,
            "through: no slab holds the pith; box: no cut touches it; free: any, with a deduction.",
            default="free",
            choices=("through", "box", "free"),
        ),
        Field(
            "pith_deduction",
            Quantity.SHARE,
            "Taken off a slab that holds the pith.",
            default="10 %",
            most="100 %",
        ),
        Field(
            "follow",
            Quantity.TEXT,
            "What the cuts run parallel to; best tries pitches between bark and bark; pitch goes before it.",
            default="pith",
            choices=("pith", "bark", "best"),
        ),
        Field(
            "pitch",
            Quantity.SLOPE,
            "Given rise of the cuts from butt to top, against the pith.",
            least="-20 %",
            most="20 %",
            signed=True,
        ),
        Field(
            "roll",
            Quantity.ANGLE,
            'Log turned anticlockwise seen from the butt; "free" searches every angle; '
            "a crotch whose roll nobody gives is turned till both piths lie level.",
            default="0 deg",
            least="-360 deg",
            most="360 deg",
            words=("free",),
            signed=True,
        ),
        Field("both_sides", Quantity.FLAG, "The log may be turned over part way.", default=False),
        Field(
            "alternate",
            Quantity.FLAG,
            "With both_sides: cut from both sides in turn, so that growth stress is let go evenly.",
            default=False,
        ),
        Field(
            "bark",
            Quantity.TEXT,
            "What the bar must pass: bark on, stripped along the cuts, or off.",
            default="on",
            choices=("on", "stripped", "off"),
        ),
        Field(
            "least_waste",
            _L,
            "Thinnest piece that may be thrown away between two cuts.",
            default="one kerf",
            least="1 mm",
            most="50 cm",
            words=("one kerf",),
        ),
        Field(
            "sawing_variation", _L, "Added to green thickness over shrinkage.", default="1 mm", most="20 mm"
        ),
        Table(
            "flattening",
            "Flattening allowance by width: rising steps; leave up_to out of the last.",
            (
                Field("up_to", _L, "Widest slab with this allowance.", least="1 cm", most="5 m"),
                Field("allowance", _L, "Taken off in flattening.", required=True, most="10 cm"),
            ),
            many=True,
        ),
        Field(
            "flat_below",
            Quantity.ANGLE,
            "Ring angle below which the grain is flat.",
            default="30 deg",
            most="90 deg",
        ),
        Field(
            "quarter_above",
            Quantity.ANGLE,
            "Ring angle above which it is quarter.",
            default="60 deg",
            most="90 deg",
        ),
        ORDER,
        Field(
            "feather",
            _L,
            "How far a crotch's figure reaches from its piths, fading: a guess from 30 to 120 mm.",
            default="60 mm",
            most="50 cm",
        ),
        Table(
            "skip",
            "Heights above the pith that no slab may hold, as the log is rolled: a shake, a split.",
            (
                Field("low", _L, "Above the pith mark; below it with a minus.", required=True, signed=True),
                Field("high", _L, "The same, higher up.", required=True, signed=True),
            ),
            many=True,
        ),
    ),
)

WHY = {
    "thickness": "the two thicknesses most asked for, common practice, no source",
    "moisture": "usual for indoor use, common practice, no source",
    "sealed": "50 mm a sealed end, 150 mm one that is not, common practice, no source",
    "pith_deduction": "a boxed pith checks, common practice, no source",
    "flat_below": "limit of architectural woodwork (AWI); other trades differ",
    "quarter_above": "limit of architectural woodwork (AWI); other trades differ",
    "flattening": "5 mm to 300 mm wide, 8 to 500, 12 to 700, 16 above, common practice, no source",
}


def read_aims(raw: Mapping[str, Any] | None) -> Written[Aims]:
    """Read the table [aims].

    Whether the mill can set every thickness is seen when the menu is made, where the
    species' shrinkage is known.

    Raises
    ------
    BadValue
        Unknown fields, a thickness that does not say which it is, limits out of order.
    """
    raw = {} if raw is None else raw
    got = read(AIMS, raw)
    rising(raw, AIMS, ("flat_below", "quarter_above"), got, equal=True)
    if not got["thickness"]:
        raise BadValue("aims.thickness", "empty", "at least one thickness", 'Write for instance ["12/4"].')
    trim = got["end_trim"]
    if trim is None:
        trim = SEALED_TRIM if got["sealed"] else OPEN_TRIM
    pitched, rolled = got["pitch"] is not None, got["roll"] != "free"
    if got["alternate"] and not got["both_sides"]:
        raise BadValue(
            "aims.alternate", "yes", "both_sides with it", "Add both_sides = true, or --both-sides."
        )
    skip = {
        "sealed": "end_trim" in raw or {"trim_butt", "trim_top"} <= set(raw),
        "follow": pitched,
        "feather": True,  # matters in a crotch alone; the field's own help says that it is a guess
    }
    thicknesses = _distinct(got["thickness"])
    aims = Aims(
        thicknesses=thicknesses,
        moisture=got["moisture"],
        tally=TallyRule(got["tally"]),
        unit=UNITS[got["unit"]],
        least_width=got["least_width"],
        least_length=got["least_length"],
        trim_butt=trim if got["trim_butt"] is None else got["trim_butt"],
        trim_top=trim if got["trim_top"] is None else got["trim_top"],
        pith=PITH[got["pith"]],
        pith_deduction=got["pith_deduction"],
        follow=Following.GIVEN if pitched else Following(got["follow"]),
        pitch=got["pitch"] if pitched else 0.0,
        roll=got["roll"] if rolled else 0.0,
        roll_free=not rolled,
        crotch_plane="roll" not in raw,
        both_sides=got["both_sides"],
        alternate=got["alternate"],
        bark=BARK[got["bark"]],
        least_waste=None if got["least_waste"] == "one kerf" else got["least_waste"],
        sawing_variation=got["sawing_variation"],
        flattening=_flattening(got["flattening"]) or Aims(()).flattening,
        flat_below=got["flat_below"],
        quarter_above=got["quarter_above"],
        orders=read_orders(got["order"], thicknesses),
        feather=got["feather"],
        skips=_skips(got["skip"], rolled),
    )
    if aims.tally is TallyRule.SOLID and aims.unit is TallyUnit.BF_NOMINAL:
        raise BadValue(
            "aims.tally",
            str(aims.tally),
            "a width where the unit is bf nominal",
            'Write unit = "bf as sawn".',
        )
    assumed = assumed_in(AIMS, raw, WHY, tuple(name for name, left_out in skip.items() if left_out))
    if not got["flattening"]:
        assumed += (Assumed("aims.flattening", "by width", WHY["flattening"]),)
    return Written(aims, assumed)


def _skips(rows: Iterable[Mapping[str, float]], rolled: bool) -> tuple[tuple[float, float], ...]:
    skips = tuple((row["low"], row["high"]) for row in rows)
    for low, high in skips:
        if not low < high:
            raise BadValue(
                "aims.skip",
                f"{1000 * low:.0f} mm to {1000 * high:.0f} mm",
                "rising",
                "Look whether low and high are swapped.",
            )
    if skips and not rolled:
        raise BadValue(
            "aims.skip", "given", "left out where roll is free", "Say the roll that it was seen at."
        )
    return skips


def _distinct(menu: Iterable[ThicknessAim]) -> tuple[ThicknessAim, ...]:
    kept: list[ThicknessAim] = []
    for aim in menu:
        if not any(same_aim(aim, other) for other in kept):
            kept.append(aim)
    return tuple(kept)


def _flattening(rows: Iterable[Mapping[str, float | None]]) -> tuple[tuple[float, float], ...]:
    steps = [(math.inf if row["up_to"] is None else row["up_to"], row["allowance"] or 0.0) for row in rows]
    if any(high[0] <= low[0] for low, high in pairwise(steps)):
        raise BadValue(
            "aims.flattening",
            ", ".join("no limit" if math.isinf(w) else units.show_length(w) for w, _ in steps),
            "rising in up_to, without one only in the last",
        )
    if steps and not math.isinf(steps[-1][0]):
        steps.append((math.inf, steps[-1][1]))
    return tuple(steps)

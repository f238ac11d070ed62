"""How a stack's readings are written: the fields of [stack], [[meter]], [[reading]], [[piece]]."""

from __future__ import annotations

import datetime
import re
from typing import Any

from pithline import units
from pithline.dry.learning.meters import Pins, Scale
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.wood.facts import Species
from pithline.wood.species import species

__all__ = ["METER", "PIECE", "READING", "STACK"]


def _wood(raw: Any, path: str) -> Species:
    return species(raw, path)


def _weight_on(raw: Any, path: str) -> tuple[datetime.date, float]:
    """``2025-06-01: 7.62 kg``."""
    found = re.fullmatch(r"\s*(\d{4}-\d{2}-\d{2})\s*:\s*(.+)", raw) if isinstance(raw, str) else None
    remedy = 'Write "2025-06-01: 7.62 kg".'
    if not found:
        raise BadValue(path, raw, "a date and a weight", remedy)
    try:
        date = datetime.date.fromisoformat(found[1])
    except ValueError:
        raise BadValue(path, raw, "a date of the calendar and a weight", remedy) from None
    return date, units.mass(found[2], path)


STACK = Table(
    "stack",
    "The slabs that the readings are of: one wood, one thickness, one place.",
    (
        Field("species", Quantity.TEXT, "Any name of the wood.", required=True, parse=_wood),
        Field("thickness", Quantity.LENGTH, "Green.", required=True, least="10 mm", most="300 mm"),
        Field("stacked", Quantity.DATE, "The day it was laid on stickers.", required=True),
        Field("place", Quantity.TEXT, "Whose months dry it; or a table [months]."),
        Field(
            "warmest", Quantity.TEMPERATURE, "Mean of the warmest month, for a place without temperatures."
        ),
        Field("coldest", Quantity.TEMPERATURE, "Mean of the coldest month."),
        Field(
            "phase",
            Quantity.TEXT,
            'One after the other: "outdoors: 18 months"; five years outdoors where left out.',
            many=True,
        ),
        Field(
            "start", Quantity.SHARE, "Moisture when stacked, where it is known.", least="5 %", most="250 %"
        ),
        Field(
            "start_doubt",
            Quantity.SHARE,
            "One standard deviation of that moisture, as a share of it.",
            least="1 %",
            most="60 %",
        ),
    ),
    required=True,
)

METER = Table(
    "meter",
    "A moisture meter and how it was set.",
    (
        Field("name", Quantity.TEXT, "To name it in a reading.", default="meter"),
        Field(
            "pins",
            Quantity.TEXT,
            "What touches the wood.",
            choices=tuple(p.value for p in Pins),
            default="insulated",
        ),
        Field(
            "scale",
            Quantity.TEXT,
            "Its setting; own: set to this wood.",
            choices=tuple(s.value for s in Scale),
            default="douglas-fir",
        ),
        Field("warm_itself", Quantity.FLAG, "Whether it puts temperature right itself.", default=False),
        Field("calibrated_at", Quantity.TEMPERATURE, "As its maker says; else the published equation."),
        Field("gravity", Quantity.NUMBER, "That a meter without pins was set to.", least="0.2", most="1.2"),
    ),
    many=True,
)

READING = Table(
    "reading",
    "One figure of a meter.",
    (
        Field("date", Quantity.DATE, "The day.", required=True),
        Field("shown", Quantity.SHARE, "As the meter showed it.", required=True, most="150 %"),
        Field("depth", Quantity.LENGTH, "Of the tips below the face; none without pins."),
        Field("temperature", Quantity.TEMPERATURE, "Of the wood.", required=True),
        Field("meter", Quantity.TEXT, "Which, where there are several."),
    ),
    many=True,
)

PIECE = Table(
    "piece",
    "A witness block, a sample board or a whole slab that is weighed again and again.",
    (
        Field("name", Quantity.TEXT, "What is written on it.", required=True),
        Field(
            "what",
            Quantity.TEXT,
            "A slab strays from itself less than a block from its slab.",
            choices=("witness block", "sample board", "slab"),
            default="witness block",
        ),
        Field("green", Quantity.MASS, "When stacked; a block at the log, ends just sealed.", required=True),
        Field("dry", Quantity.MASS, "From the oven."),
        Field(
            "section",
            Quantity.SHARE,
            "Moisture of sections cut off its ends when it was weighed green.",
            many=True,
            most="250 %",
        ),
        Field(
            "weight",
            Quantity.TEXT,
            'Each as "2025-06-01: 7.62 kg". None: with its dry weight it still tells the start.',
            many=True,
            parse=_weight_on,
        ),
    ),
    many=True,
)

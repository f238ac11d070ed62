"""The table [ground]: what a stack stands on, and what lies on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pithline import units
from pithline.dry.laying.contact import Floor
from pithline.dry.laying.floor_load import bearing
from pithline.dry.laying.footprint import Footprint
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read

__all__ = ["GAP", "GROUND", "Ground", "ground_for", "read_ground"]

_L = Quantity.LENGTH
GAP = 0.025  # between two slabs of a layer; GTR-117 and AH-402, from memory, low confidence. [m]
_WIDTH = 1.2  # of a stack, where nobody says; common practice, no source. [m]

GROUND = Table(
    "ground",
    "What the stack stands on, and what lies on it.",
    (
        Field("length", _L, "Along the slabs; the longest slab where left out.", least="30 cm", most="30 m"),
        Field(
            "width",
            _L,
            "Across; 1.2 m where left out, or the widest slab if that is wider.",
            least="10 cm",
            most="10 m",
        ),
        Field("gap", _L, "Kept between neighbours, for air.", default="25 mm", most="30 cm"),
        Field(
            "skew", Quantity.ANGLE, "Most that a slab may lie askew.", default="0 deg",
            least="0 deg", most="10 deg",
        ),
        Field("base", _L, "Ground to the lowest sticks; 30 to 45 cm are usual.", default="30 cm", most="2 m"),
        Field("blocks", Quantity.COUNT, "Under each timber; 0: it lies on the ground.", default=3, most="9"),
        Field(
            "bears", Quantity.TEXT, 'What the floor bears, as its owner says: "500 kg/m2".', parse=bearing
        ),
        Field("top_weight", Quantity.MASS, "Laid on top against warp.", default="0 kg", most="100 t"),
        Field("roof", Quantity.FLAG, "There is a roof or a cover over it.", default=False),
        Field("shaded", Quantity.FLAG, "Its ends are kept from sun and wind.", default=False),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Ground:
    """What a stack stands on, and what lies on it.

    Attributes
    ----------
    floor : Floor
    base : float
        Ground to the lowest sticks. [m]
    blocks : int
        Under each timber, 0 where it lies on the ground all along.
    bears : float or None
        [kg/m2]
    top_weight : float
        [kg]
    roof, shaded : bool
    """

    floor: Floor
    base: float = 0.30
    blocks: int = 3
    bears: float | None = None
    top_weight: float = 0.0
    roof: bool = False
    shaded: bool = False


def read_ground(raw: Mapping[str, Any] | None, slabs: Sequence[Footprint]) -> Ground:
    """Read the table [ground] for these slabs. Raises `BadValue`."""
    got = read(GROUND, {} if raw is None else raw)
    if got["blocks"] == 1:
        raise BadValue("ground.blocks", 1, "0 (on the ground all along), or 2 and more")
    ground = ground_for(slabs, got["length"], got["width"], got["gap"], got["skew"])
    return Ground(
        ground, got["base"], got["blocks"], got["bears"], got["top_weight"], got["roof"], got["shaded"]
    )


def ground_for(
    slabs: Sequence[Footprint],
    length: float | None = None,
    width: float | None = None,
    gap: float = GAP,
    skew: float = 0.0,
) -> Floor:
    """The floor of a stack; as long and wide as its slabs ask where nobody says.

    Raises
    ------
    BadValue
        A slab that is longer or wider than the floor.
    """
    longest = max(slabs, key=lambda slab: slab.length)
    widest = max(slabs, key=lambda slab: slab.width)
    # A hair: the search works on a grid and rounds outward.
    floor = Floor(length or longest.length + 0.026, width or max(_WIDTH, widest.width + 0.001), gap, skew)
    for word, slab, has, room in (
        ("long", longest, longest.length, floor.length),
        ("wide", widest, widest.width, floor.width),
    ):
        if has > room + 1e-9:
            raise BadValue(
                f"ground.{'length' if word == 'long' else 'width'}",
                units.show_length(room, kind="long"),
                f"at least {units.show_length(has, kind='long')}, as {slab.name} is {word}",
            )
    return floor

"""The tables [[slab]], [room] and [sticks]: what lies in a stack or a kiln, as a person writes it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pithline import units
from pithline.dry.laying.contact import Floor
from pithline.dry.laying.footprint import Footprint
from pithline.dry.laying.stickers import Stickers, spacing_for
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.wood.density import dry_density, green_density
from pithline.wood.species import species

__all__ = [
    "FLOOR",
    "SLAB",
    "STICKS",
    "WrittenSlab",
    "days",
    "edges",
    "read_floor",
    "read_slabs",
    "read_sticks",
]

_T, _L = Quantity.TEXT, Quantity.LENGTH


def edges(raw: Any, path: str) -> tuple[float, float, float]:
    """Read ``0.5 m: 48 cm`` (a width) or ``0.5 m: -22 cm to 26 cm`` (both edges).

    Returns
    -------
    place, left, right : float
        From the butt; edges across from the middle line. [m]

    Raises
    ------
    BadValue
    """
    remedy = 'Write "0.5 m: 48 cm", or with both edges "0.5 m: -22 cm to 26 cm".'
    if not isinstance(raw, str) or ":" not in raw:
        raise BadValue(path, raw, "a place and a width", remedy)
    place, _, size = raw.partition(":")
    z = units.length(place.strip(), path)
    both = re.fullmatch(r"\s*(\S.*?)\s+to\s+(\S.*?)\s*", size)
    if both:
        left, right = (units.length(text, path, signed=True) for text in both.groups())
        if not left < right:
            raise BadValue(path, raw, "edges from left to right", remedy)
    else:
        right = units.length(size.strip(), path) / 2
        left = -right
    return z, left, right


def _wood(raw: Any, path: str) -> Any:
    return species(raw, path)


def days(raw: Any, path: str) -> float:
    """Read ``28 d``; raises `BadValue`."""
    found = re.fullmatch(r"\s*(\d{1,4}(?:\.\d+)?)\s*(?:d|days?)\s*", raw) if isinstance(raw, str) else None
    if not found or not 0 < float(found[1]) <= 3650:
        raise BadValue(path, raw, "days", 'Write "28 d".')
    return float(found[1])


SLAB = Table(
    "slab",
    "One slab, or several alike.",
    (
        Field("name", _T, "The number on the wood.", required=True),
        Field("thickness", _L, "As it is now.", required=True, least="10 mm", most="30 cm"),
        Field("length", _L, "Where `at` does not reach its ends.", least="10 cm", most="20 m"),
        Field(
            "at",
            _T,
            'Wider face at places from the butt, "0.5 m: 48 cm", or both edges, "0.5 m: -22 cm to 26 cm".',
            required=True,
            many=True,
            parse=edges,
        ),
        Field(
            "bow",
            _L,
            "Bend of the middle line at mid-length, to the right.",
            default="0 mm",
            signed=True,
            most="1 m",
        ),
        Field(
            "mass",
            Quantity.MASS,
            "As weighed; else from species and moisture, at its upper end.",
            least="0.1 kg",
            most="5 t",
        ),
        Field("species", _T, "Any name of the wood.", parse=_wood),
        Field("moisture", Quantity.SHARE, "Mean moisture now; green where left out.", most="250 %"),
        Field("log", _T, "The log it was sawn from.", default=""),
        Field("turn", Quantity.COUNT, "Its place in the log, from the top, 1 first.", least="1", most="200"),
        Field("sealed", Quantity.FLAG, "Its ends are sealed.", default=False),
        Field("days", _T, 'It takes of the kiln, where that is less than the load: "20 d".', parse=days),
        Field(
            "wanted",
            Quantity.NUMBER,
            "How much it is wanted in this load; its volume in litres where left out.",
            least="0",
            most="1e9",
        ),
        Field("must", Quantity.FLAG, "It goes in whatever else stays out.", default=False),
        Field("count", Quantity.COUNT, "How many such slabs.", default=1, least="1", most="200"),
        Field("layer", Quantity.COUNT, "Laid by hand: from the bottom.", least="1", most="200"),
        Field("from_end", _L, "Laid by hand: its nearer end from the near end of the floor.", most="60 m"),
        Field("from_left", _L, "Laid by hand: its left edge from the left side.", most="30 m"),
        Field("end_for_end", Quantity.FLAG, "Laid by hand: its butt lies at the far end.", default=False),
        Field("face_down", Quantity.FLAG, "Laid by hand: its upper face lies down.", default=False),
    ),
    many=True,
)

FLOOR = Table(
    "room",
    "The room there is: of a kiln, on a cart, on a floor.",
    (
        Field("length", _L, "Along the slabs.", required=True, least="30 cm", most="30 m"),
        Field("width", _L, "Across.", required=True, least="10 cm", most="10 m"),
        Field(
            "height", _L, "For slabs and sticks, what carries them not counted.", least="5 cm", most="10 m"
        ),
        Field("gap", _L, "Kept between neighbours; 0 lets them touch.", default="0 mm", most="30 cm"),
        Field(
            "skew",
            Quantity.ANGLE,
            "Most that a slab may lie askew.",
            default="4 deg",
            least="0 deg",
            most="10 deg",
        ),
    ),
)

STICKS = Table(
    "sticks",
    "What lies between the layers.",
    (
        Field("thickness", _L, "Alike everywhere.", default="25 mm", least="5 mm", most="10 cm"),
        Field("width", _L, "Of one.", default="32 mm", least="5 mm", most="20 cm"),
        Field(
            "spacing",
            _L,
            "Most between two rows; by the slabs' thickness where left out.",
            least="10 cm",
            most="610 mm",
        ),
    ),
)


@dataclass(frozen=True, slots=True, eq=False)
class WrittenSlab:
    """A slab as it was written, and what else was said of it.

    Attributes
    ----------
    footprint : Footprint
    said : mapping
        The fields of its row, parsed.
    weighed : bool
        Its mass was given, not reckoned.
    """

    footprint: Footprint
    said: Mapping[str, Any]
    weighed: bool


def read_slabs(raw: Any) -> tuple[WrittenSlab, ...]:
    """Read the tables [[slab]].

    Raises
    ------
    BadValue
        Unknown fields, sizes out of range, places out of order, no slab at all.
    """
    rows = read(Table("", "", (SLAB,)), {"slab": raw if raw is not None else []})["slab"]
    found = []
    for row in rows:
        for n in range(row["count"]):
            name = row["name"] + (f"#{n + 1}" if row["count"] > 1 else "")
            found.append(_slab(row, name))
    if not found:
        raise BadValue("slab", "empty", "one slab or more", "Add a table [[slab]].")
    seen: set[str] = set()
    for one in found:
        if one.footprint.name in seen:
            raise BadValue("slab.name", one.footprint.name, "on one slab only", "Number them apart.")
        seen.add(one.footprint.name)
    return tuple(found)


def read_floor(raw: Mapping[str, Any] | None) -> tuple[Floor, float | None]:
    """Read the table [room]: the floor, and the height where one was given. Raises `BadValue`."""
    got = read(FLOOR, {} if raw is None else raw)
    return Floor(got["length"], got["width"], got["gap"], got["skew"]), got["height"]


def read_sticks(raw: Mapping[str, Any] | None, length: float, slabs: Sequence[Footprint]) -> Stickers:
    """Read the table [sticks] for a floor's length. Raises `BadValue`."""
    got = read(STICKS, {} if raw is None else raw)
    spacing = got["spacing"] or min(spacing_for(slab.thickness) for slab in slabs)
    return Stickers.spaced(length, spacing, got["thickness"], got["width"])


def _slab(row: Mapping[str, Any], name: str) -> WrittenSlab:
    places = sorted(row["at"])
    z, left, right = (np.array(each) for each in zip(*places, strict=True))
    if len(z) > 1 and not (np.diff(z) > 0).all():
        raise BadValue(f"{name}.at", "a place twice", "at each place once", "Leave one of them out.")
    length = row["length"]
    if length is None:
        if len(z) < 2:
            raise BadValue(
                f"{name}.length", "missing", "given with a width at one place", 'Add length = "3.2 m".'
            )
        length = z[-1]
    if z[-1] > length + 1e-9:
        raise BadValue(f"{name}.at", units.show_length(float(z[-1]), kind="long"), "within its length")
    # A width holds to the end from where it was measured last.
    ends = np.unique(np.concatenate([[0.0, length], z]))
    if row["bow"]:
        ends = np.unique(np.concatenate([ends, np.linspace(0, length, 13)]))
    middle = row["bow"] * 4 * (ends / length) * (1 - ends / length)
    left, right = (np.interp(ends, z, each) + middle for each in (left, right))
    plain = Footprint.of(name, ends, left, right, row["thickness"])
    mass = row["mass"]
    if mass is None and row["species"] is not None:
        moist = row["moisture"]
        wood = green_density(row["species"]) if moist is None else dry_density(row["species"], moist)
        # For loads and lifts: the upper end.
        mass = wood.high * plain.area * plain.thickness
    return WrittenSlab(
        Footprint.of(name, ends, left, right, row["thickness"], mass or 0.0), row, row["mass"] is not None
    )

"""A kiln load read back from its record: the same layers, to be drawn and shared anew."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from pithline.dry.laying.admitted import LeftOut
from pithline.dry.laying.charge import Charge, Shelf
from pithline.dry.laying.contact import Floor
from pithline.dry.laying.footprint import Footprint, Turn
from pithline.dry.laying.layers import Laid, Layer, Room
from pithline.dry.laying.stickers import Stickers
from pithline.errors import BadValue

__all__ = ["charge_of"]


def charge_of(record: Any) -> Charge:
    """The load that `charge_json.charge_record` wrote down.

    Raises
    ------
    BadValue
        Something else, or a record of which parts are missing.
    """
    try:
        room, sticks = record["room"], record["sticks"]
        floor = Floor(
            float(room["length_m"]),
            float(room["width_m"]),
            float(room["gap_m"]),
            math.radians(room["skew_most_deg"]),
        )
        return Charge(
            Room(floor, float(room["height_m"])),
            Stickers(sticks["thickness_m"], sticks["width_m"], tuple(map(float, sticks["rows_m"]))),
            tuple(_layer(layer) for layer in record["layers"]),
            tuple(LeftOut(str(out["slab"]), str(out["why"])) for out in record["left_out"]),
            tuple(_shelf(shelf) for shelf in record["thicknesses"]),
            None if (short := record.get("more_wanted_at_most_fraction")) is None else float(short),
        )
    except (KeyError, TypeError, ValueError, IndexError, AttributeError) as problem:
        if isinstance(problem, BadValue):
            raise
        raise BadValue(
            "layout", "something else", "the layers of a load as they were reckoned", "Lay the load anew."
        ) from None


def _layer(layer: Mapping[str, Any]) -> Layer:
    return Layer(
        tuple(_laid(one) for one in layer["slabs"]),
        float(layer["thickness_m"]),
        float(layer["height_m"]),
        float(layer["filled_area_fraction"]),
    )


def _laid(one: Mapping[str, Any]) -> Laid:
    turn = Turn(bool(one["end_for_end"]), bool(one["face_down"]), math.radians(one["skew_deg"]))
    ring = np.array(one["outline_m"], dtype=np.float64)
    # Footprint.ring backwards: turned back, mirrored back; the first half is the left edge.
    c, s = math.cos(turn.skew), math.sin(turn.skew)
    points = ring[::-1] if turn.face_down else ring
    along, across = c * points[:, 0] + s * points[:, 1], c * points[:, 1] - s * points[:, 0]
    if turn.face_down:
        across = -across
    if turn.end_for_end:
        along, across = -along, -across
    half = len(ring) // 2
    slab = Footprint.of(
        str(one["slab"]),
        along[:half],
        across[:half],
        across[half:][::-1],
        float(one["thickness_m"]),
        float(one["mass_kg"] or 0.0),
    )
    place = float(one["from_end_m"]), float(one["from_left_m"])
    return Laid(slab, turn, *place, ring, (float(one["overhang_near_m"]), float(one["overhang_far_m"])))


def _shelf(shelf: Mapping[str, Any]) -> Shelf:
    return Shelf(
        float(shelf["thickness_m"]),
        int(shelf["slabs"]),
        int(shelf["layers"]),
        int(shelf["rectangle_layers"]),
        bool(shelf["rectangle_layers_proved_fewest"]),
        int(shelf["layers_at_least"]),
        int(shelf["groups"]),
        bool(shelf["fewest_of_these_groups"]),
    )

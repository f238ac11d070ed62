"""A file of slabs for air drying, as a person writes it: [ground], [sticks], [[slab]]."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pithline.dry.laying.boule import Sawn
from pithline.dry.laying.footprint import Footprint, Turn
from pithline.dry.laying.ground import Ground, read_ground
from pithline.dry.laying.stack import ByHand
from pithline.dry.laying.stickers import Stickers
from pithline.dry.laying.stood import Known
from pithline.dry.laying.written import read_slabs, read_sticks
from pithline.errors import BadValue

__all__ = ["WrittenStack", "read_stack"]


@dataclass(frozen=True, slots=True, eq=False)
class WrittenStack:
    """What was written of a stack.

    Attributes
    ----------
    slabs : tuple of Footprint
    sawn : tuple of Sawn
    known : mapping of str to Known
    places : tuple of ByHand
        Empty where no layer was written.
    ground : Ground
    stickers : Stickers
    """

    slabs: tuple[Footprint, ...]
    sawn: tuple[Sawn, ...]
    known: Mapping[str, Known]
    places: tuple[ByHand, ...]
    ground: Ground
    stickers: Stickers


def read_stack(document: Mapping[str, Any]) -> WrittenStack:
    """Read the tables of a stack.

    Raises
    ------
    BadValue
        Another table, a field nobody knows, layers of some slabs only.
    """
    for key in document:
        if key not in ("ground", "sticks", "slab"):
            raise BadValue(key, "a table", "[ground], [sticks] or [[slab]]", "Leave it out.")
    written = read_slabs(document.get("slab"))
    slabs = tuple(one.footprint for one in written)
    ground = read_ground(document.get("ground"), slabs)
    laid = [one for one in written if one.said["layer"] is not None]
    if laid and len(laid) < len(written):
        bare = next(one.footprint.name for one in written if one.said["layer"] is None)
        raise BadValue(f"{bare}.layer", "missing", "given for all slabs, or for none", "Add layer = 1.")
    places = tuple(
        ByHand(
            one.said["layer"], one.said["from_end"], one.said["from_left"],
            Turn(one.said["end_for_end"], one.said["face_down"]),
        )
        for one in laid
    )  # fmt: skip
    sticks = read_sticks(document.get("sticks"), ground.floor.length, slabs)
    sawn = tuple(Sawn(one.said["log"], one.said["turn"]) for one in written)
    known = {
        one.footprint.name: Known(one.said["species"], one.said["sealed"], one.weighed) for one in written
    }
    return WrittenStack(slabs, sawn, known, places, ground, sticks)

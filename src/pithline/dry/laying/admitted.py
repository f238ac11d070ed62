"""Which slabs could go into a kiln, each by itself, and why others cannot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pithline.dry.laying.contact import profiles
from pithline.dry.laying.footprint import Footprint
from pithline.dry.laying.layers import Room
from pithline.dry.laying.stickers import Stickers
from pithline.errors import BadValue

__all__ = ["LeftOut", "admitted"]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A slab that stays outside, and why."""

    name: str
    why: str


def admitted(
    slabs: Sequence[Footprint], room: Room, stickers: Stickers, must: Sequence[str] = ()
) -> tuple[list[Footprint], list[LeftOut]]:
    """Which slabs could go in, each by itself, and why others cannot.

    Parameters
    ----------
    slabs : sequence of Footprint
        Named once each.
    room : Room
    stickers : Stickers
    must : sequence of str
        Slabs that go in whatever else stays out.

    Raises
    ------
    BadValue
        Two slabs of one name, none that fits, one that must go in and does not fit.
    """
    names = [slab.name for slab in slabs]
    for name in names:
        if names.count(name) > 1:
            raise BadValue("slab.name", name, "on one slab only", "Give each slab its own number.")
    unknown = [name for name in must if name not in names]
    if unknown:
        raise BadValue("must", unknown[0], "the name of a slab that is listed")
    inside, left_out = _that_fit(slabs, room, stickers)
    if not inside:
        raise BadValue(
            "slab", left_out[0].name if left_out else "missing", "within the kiln", "No slab fits the kiln."
        )
    blocked = [out for out in left_out if out.name in must]
    if blocked:
        raise BadValue("must", blocked[0].name, "a slab that fits", f"It is {blocked[0].why}.")
    return inside, left_out


def _that_fit(
    slabs: Sequence[Footprint], room: Room, stickers: Stickers
) -> tuple[list[Footprint], list[LeftOut]]:
    fits = set(profiles(slabs, room.floor).own.tolist())
    inside, out = [], []
    for i, slab in enumerate(slabs):
        if slab.length > room.floor.length + 1e-9:
            out.append(LeftOut(slab.name, "longer than the kiln's room"))
        elif i not in fits:
            out.append(LeftOut(slab.name, "too wide for the kiln's room, or too bent for its corners"))
        elif slab.thickness + stickers.thickness > room.height:
            out.append(LeftOut(slab.name, "thicker than the kiln's room is high"))
        else:
            inside.append(slab)
    return inside, out

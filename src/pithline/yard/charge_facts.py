"""What the book knows for laying a kiln load: the kiln's room, the slabs that could go in, the words said."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.db.models import Q

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.yard.actions.slabs import GONE
from pithline.yard.footprints import as_green, footprint_of, sized, wood_of
from pithline.yard.models import KilnLoad, Slab

if TYPE_CHECKING:
    from pithline.dry.laying.footprint import Footprint
    from pithline.dry.laying.layers import Room
    from pithline.dry.laying.stickers import Stickers

__all__ = ["Candidate", "Laying", "candidates", "laying", "laying_table", "room_sources"]

_L = Quantity.LENGTH
_SIZES = ("length", "width", "height")
_WOOD, _PRICES = "most wood", "highest asking prices"


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """A slab that is in the load or could go in.

    Attributes
    ----------
    slab : Slab
    size : Size or None
        Its size now.
    footprint : Footprint or None
        None where it was not measured.
    weighed : bool
    inside : bool
        It is in the load.
    """

    slab: Slab
    size: Any
    footprint: Footprint | None
    weighed: bool
    inside: bool


@dataclass(frozen=True, slots=True, eq=False)
class Laying:
    """A load as it is to be laid.

    Attributes
    ----------
    slabs : tuple of Footprint
    must : tuple of str
        Slabs that go in whatever else stays out.
    room : Room
    stickers : Stickers
    tolerance : float
        Of thickness within a layer. [m]
    wanted : mapping of str to float or None
        What each is asked for, where that decides; None: its wood does. [smallest coin]
    remarks : tuple of str
    mark : str
        The same for the same slabs, sizes and room.
    """

    slabs: tuple[Footprint, ...]
    must: tuple[str, ...]
    room: Room
    stickers: Stickers
    tolerance: float
    wanted: Mapping[str, float] | None
    remarks: tuple[str, ...]
    mark: str


def candidates(load: KilnLoad) -> list[Candidate]:
    """Slabs of the load; before its start also those in stacks that no other open load has.

    Wood that is dry already is not offered: what is in the load stands there whatever it is.
    """
    may = Q(loads__load=load)
    if load.started_at is None:
        still = Q(stack__isnull=False, state__in=(Slab.State.GREEN, Slab.State.DRYING))
        taken = Slab.objects.filter(loads__load__ended_at=None, loads__isnull=False).exclude(loads__load=load)
        may |= still & ~Q(pk__in=taken.values("pk"))
    inside = set(load.loaded.values_list("slab_id", flat=True))
    slabs = sized(Slab.objects.filter(may).exclude(state__in=GONE).distinct()).select_related("log", "stack")
    found = []
    for slab in slabs.order_by("log__number", "number", "suffix"):
        covers, weighed = footprint_of(slab) or (None, False)
        now = slab.now[0] if slab.now else None
        found.append(Candidate(slab, now, covers, weighed, slab.pk in inside))
    return sorted(found, key=lambda one: not one.inside)


def room_sources(load: KilnLoad) -> dict[str, str]:
    """For each size of the kiln's room where it is from; the guessed ones say so."""
    from pithline.dry.kiln.written import read_kiln

    assumed = {one.field.removeprefix("kiln."): one.why for one in read_kiln(load.kiln.table).assumed}
    kept = f"as kept for {load.kiln.name}"
    return {name: f"guessed: {assumed[name]}" if name in assumed else kept for name in _SIZES}


def laying_table(load: KilnLoad) -> Table:
    """What may be said of a laying; the room is the kiln's where it is left out."""
    from pithline.dry.kiln.written import read_kiln
    from pithline.units import show_length

    kiln = read_kiln(load.kiln.table).value
    size = {
        name: load.kiln.table.get(name) or show_length(getattr(kiln, name), kind="long") for name in _SIZES
    }
    return Table(
        "laying",
        "The room and the sticks.",
        (
            Field("length", _L, "Room along the slabs.", default=size["length"], least="30 cm", most="30 m"),
            Field("width", _L, "Across.", default=size["width"], least="10 cm", most="10 m"),
            Field("height", _L, "Slabs and sticks.", default=size["height"], least="5 cm", most="10 m"),
            Field("stick", _L, "How thick the sticks are.", default="25 mm", least="5 mm", most="10 cm"),
            Field("gap", _L, "Kept between neighbours.", default="0 mm", most="30 cm"),
            Field(
                "go_first", Quantity.TEXT, "Where the height does not take all: those that add up to this.",
                default=_WOOD, choices=(_WOOD, _PRICES),
            ),
            Field("tolerance", _L, "Most between two that share a layer.", default="3 mm", most="20 mm"),
        ),
    )  # fmt: skip


def laying(load: KilnLoad, words: Mapping[str, Any], slabs: Sequence[str], must: Sequence[str]) -> Laying:
    """Read what was said, and refuse at once what cannot be.

    Parameters
    ----------
    load : KilnLoad
    words : mapping
        By `laying_table`, as typed.
    slabs, must : sequence of str
        Numbers of the slabs that may go in, and of those that do. Once the load was started all of it does.

    Raises
    ------
    BadValue
        Sizes that cannot be, a slab that is no candidate or was not measured and must go in, none that fits.
    """
    from pithline.dry.laying.admitted import admitted
    from pithline.dry.laying.contact import Floor
    from pithline.dry.laying.layers import Room
    from pithline.dry.laying.stickers import Stickers, spacing_for

    got = read(laying_table(load), words)
    known = {one.slab.label: one for one in candidates(load)}
    if load.started_at is not None:
        slabs = must = [label for label, one in known.items() if one.footprint]
    slabs = list(dict.fromkeys([*slabs, *must]))
    for name, labels in (("slabs", slabs), ("must", must)):
        for label in labels:
            if label not in known:
                raise BadValue(name, label, "in this load, or in a stack and in no other load")
    if not slabs:
        raise BadValue("slabs", "none", "one slab or more", "Tick those that may go in.")
    unmeasured = [label for label in slabs if known[label].footprint is None]
    if set(unmeasured) & set(must) or len(unmeasured) == len(slabs):
        raise BadValue("slabs", unmeasured[0], "measured", "Tally it first, or leave it out.")
    prints, remarks = _weighed([known[label] for label in slabs if known[label].footprint])
    remarks += [f"{label} is left out: it was not measured, or its sizes cross" for label in unmeasured]
    wanted = None
    if got["go_first"] == _PRICES:
        wanted = {label: float(known[label].slab.asking_minor or 0) for label in slabs}
        bare = [label for label, asking in wanted.items() if not asking]
        if len(bare) == len(slabs):
            raise BadValue(
                "go_first", _PRICES, f"{_WOOD}, as none has a price", "Say what is asked for them."
            )
        remarks += [f"{', '.join(bare)}: no price asked, so others go first"] if bare else []
    floor = Floor(got["length"], got["width"], got["gap"])
    room = Room(floor, got["height"])
    spacing = min(spacing_for(one.thickness) for one in prints)
    stickers = Stickers.spaced(floor.length, spacing, got["stick"])
    admitted(prints, room, stickers, must)
    told = [(p.name, p.z.tolist(), p.left.tolist(), p.right.tolist(), p.thickness, p.mass) for p in prints]
    whole = (told, sorted(must), room, stickers, got["tolerance"], wanted)
    mark = hashlib.sha256(repr(whole).encode()).hexdigest()[:16]
    return Laying(tuple(prints), tuple(must), room, stickers, got["tolerance"], wanted, tuple(remarks), mark)


def _weighed(slabs: Sequence[Candidate]) -> tuple[list[Footprint], list[str]]:
    """Footprints with weights: as weighed; where none was, all as green wood, so that they compare."""
    remarks = []
    known = [one.weighed for one in slabs]
    if not all(known):
        remarks.append(
            "what was not weighed counts as heavy for its wood as what was"
            if any(known)
            else "none was weighed: weights are of green wood, at their upper end"
        )
    prints = []
    for one in slabs:
        bare, wood = one.footprint, wood_of(one.slab)
        assert bare is not None
        prints.append(bare if any(known) or wood is None else as_green(bare, wood))
    return prints, remarks

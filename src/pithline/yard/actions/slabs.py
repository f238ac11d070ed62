"""Slabs after the tally: measured anew, moved, priced, given to their owners, taken out."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any

from django.db.models import Max

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.slab.taped import Width, taped_outline, width
from pithline.units import show_length
from pithline.yard.actions.asked import reprice
from pithline.yard.actions.stays import NOWHERE, stay
from pithline.yard.actions.tally import thickness
from pithline.yard.desk import Desk
from pithline.yard.finding import by_name, named, slab_of
from pithline.yard.kinds import entry
from pithline.yard.models import Contact, Place, Size, Slab, Stack
from pithline.yard.models.row import Owner
from pithline.yard.moments import today
from pithline.yard.money import amount, minor_units
from pithline.yard.sizing import book_counting, columns, outline_of

__all__ = [
    "build_stack",
    "change_slab",
    "live_slab",
    "move_slab",
    "price_slab",
    "resize_slab",
    "scrap_slab",
    "share_slab",
]

_T, _L = Quantity.TEXT, Quantity.LENGTH
GONE = (Slab.State.RETIRED, Slab.State.SOLD, Slab.State.SCRAP)
SLAB = Field("slab", _T, "The number on it, such as 14-3.", required=True)


def live_slab(text: str, field: str = "slab") -> Slab:
    """A slab that is still there as such.

    Raises
    ------
    BadValue
        None of this number, or cut, joined, sold or scrapped.
    """
    slab = slab_of(text, field)
    if slab.state in GONE:
        raise BadValue(field, text, "still there as a slab", f"It was {slab.get_state_display()}.")
    return slab


def _each_once(texts: Sequence[str]) -> list[Slab]:
    """Slabs by the numbers on them, in that order; one that is named twice cannot lie in two places."""
    slabs: list[Slab] = []
    for text in texts:
        slab = live_slab(text, "slabs")
        if slab in slabs:
            raise BadValue("slabs", text, "named once", "Take it out of one of the two places.")
        slabs.append(slab)
    return slabs


@entry(
    Table(
        "resize_slab",
        "A slab measured anew: dried, flattened, or put right.",
        (
            SLAB,
            Field("state", _T, "How it is now.", required=True, choices=tuple(Size.State.values)),
            Field("thickness", _T, "Now.", parse=thickness),
            Field("length", _L, "Now.", least="5 cm", most="30 m"),
            Field("widths", _T, "Both faces, as in the tally.", many=True, parse=width),
            Field("weight", Quantity.MASS, "On the scale.", least="0.1 kg", most="20 t"),
            Field("moisture", Quantity.SHARE, "By the meter.", most="250 %"),
            Field("measured_on", Quantity.DATE, "The day; else today."),
        ),
    ),
    "Measure a slab anew",
)
def resize_slab(desk: Desk, said: dict[str, Any]) -> Slab:
    """Give a slab a new size; the old one stays in its past.

    What was not measured now is carried over from before, and the outline says so.
    """
    slab = live_slab(said["slab"])
    before = slab.sizes.filter(current=True).first()
    state = Size.State(said["state"])
    carried = [name for name in ("thickness", "length", "widths") if not said[name]]
    if "thickness" in carried and (before is None or before.state != state):
        raise BadValue(
            "thickness", "missing", "measured when the state changes", "A slab gets thinner as it dries."
        )
    if before is None and carried:
        raise BadValue(carried[0], "missing", "measured the first time")
    metres = said["thickness"][0] if said["thickness"] else before.thickness_m
    span = said["length"] or before.length_m
    was = outline_of(before) if before else None
    if not said["widths"] and was is None:
        raise BadValue("widths", "missing", "measured: there is no outline from before")
    widths = said["widths"] or _stretched(was, span)
    measured = columns(taped_outline(span, metres, widths), slab.nominal, book_counting())
    if carried:
        measured["outline"]["carried_over"] = carried
    if before:
        desk.change(before, current=False)
    day = said["measured_on"]
    noon = datetime.time(12, tzinfo=datetime.UTC)
    desk.create(
        Size,
        slab=slab,
        state=state,
        at=datetime.datetime.combine(day, noon) if day else datetime.datetime.now(datetime.UTC),
        weight_kg=said["weight"],
        moisture_percent=None if said["moisture"] is None else 100 * said["moisture"],
        **measured,
    )
    now = {
        Size.State.GREEN: slab.state if slab.state == Slab.State.DRYING else Slab.State.GREEN,
        Size.State.DRY: Slab.State.DRY,
        Size.State.FLATTENED: Slab.State.FLATTENED,
    }
    return desk.change(slab, state=now[state])


@entry(
    Table(
        "move_slab",
        "Slabs put somewhere else. An empty stack takes them out of theirs.",
        (
            Field("slabs", _T, "The numbers on them, from the bottom up.", required=True, many=True),
            Field("stack", _T, "By name."),
            Field("layer", Quantity.COUNT, "From the bottom; else on top, each one higher.", least="1"),
            Field(
                "spot", Quantity.COUNT, "In its layer from the left; further ones to its right.", least="1"
            ),
            Field("place", _T, "By name; else where the stack is."),
            Field("moved_on", Quantity.DATE, "The day; else today."),
        ),
    ),
    "Move slabs",
)
def move_slab(desk: Desk, said: dict[str, Any]) -> Slab:
    """Put slabs into a stack or to a place."""
    if not said["slabs"]:
        raise BadValue("slabs", "empty", "at least one slab")
    if not said["stack"] and not said["place"] and said["stack"] is None:
        raise BadValue("stack", "missing", "given, or a place")
    stack = by_name(Stack, said["stack"], "stack") if said["stack"] else None
    place = by_name(Place, said["place"], "place") if said["place"] else stack and stack.place
    layer, spot, moved = said["layer"], said["spot"], None
    slabs = _each_once(said["slabs"])
    if stack and layer is None:
        # Those that are lifted off do not hold up the rest: no layer stays empty under what is put back.
        others = Slab.objects.filter(stack=stack).exclude(pk__in=[slab.pk for slab in slabs])
        layer = 1 + (others.aggregate(top=Max("layer"))["top"] or 0)
    for n, slab in enumerate(slabs):
        values: dict[str, Any] = NOWHERE | {"stack": stack}
        stay(desk, slab, stack, said["moved_on"] or today())
        if stack:
            # With a layer said they lie side by side in it, else one on the other.
            beside = said["layer"] is not None
            values |= {"layer": layer if beside else layer + n}
            values["spot"] = (spot or 1) + n if beside and (spot or len(slabs) > 1) else spot
            if slab.state == Slab.State.GREEN:
                values["state"] = Slab.State.DRYING
        if place or said["place"] == "":
            values["place"] = place
        moved = desk.change(slab, **values)
    assert moved is not None
    return moved


@entry(
    Table(
        "build_stack",
        "A new stack of slabs.",
        (
            Field("name", _T, "As it is written on it.", required=True),
            Field("place", _T, "Where it stands, by name."),
            Field("sticker", _L, "Thickness of the sticks between layers.", least="1 mm", most="20 cm"),
            Field("built_on", Quantity.DATE, "The day."),
            Field("slabs", _T, "From the bottom up, by the numbers on them.", many=True),
            Field("note", _T, "Whatever else."),
        ),
    ),
    "Build a stack",
)
def build_stack(desk: Desk, said: dict[str, Any]) -> Stack:
    """Begin a stack, with slabs or without."""
    if not said["name"] or named(Stack.objects.all(), said["name"]).exists():
        raise BadValue("name", said["name"], "a name that no stack has yet")
    place = by_name(Place, said["place"], "place") if said["place"] else None
    stack = desk.create(
        Stack,
        name=said["name"],
        place=place,
        sticker_m=said["sticker"],
        built_on=said["built_on"],
        note=said["note"] or "",
    )
    for layer, slab in enumerate(_each_once(said["slabs"]), 1):
        values: dict[str, Any] = NOWHERE | {"stack": stack, "layer": layer}
        stay(desk, slab, stack, said["built_on"] or today())
        if place:
            values["place"] = place
        if slab.state == Slab.State.GREEN:
            values["state"] = Slab.State.DRYING
        desk.change(slab, **values)
    return stack


@entry(
    Table(
        "change_slab",
        "Put right what is written about a slab. What is left out stays; its number never changes.",
        (
            SLAB,
            Field("nominal", _T, "What the trade calls its thickness."),
            Field("holds_pith", Quantity.FLAG, "The pith runs in it."),
            Field("figure", _T, "What the face shows."),
            Field("figure_share", Quantity.SHARE, "How much of the face shows it.", most="100 %"),
            Field("flaws", _T, "Checks, punky sapwood, stain."),
            Field("sawn_on", Quantity.DATE, "The day it was sawn."),
            Field("note", _T, "Whatever else."),
        ),
    ),
    "Change a slab",
)
def change_slab(desk: Desk, said: dict[str, Any]) -> Slab:
    """Change what is written about a slab."""
    from pithline.yard.actions.tally import nominal

    names = ("holds_pith", "figure", "figure_share", "flaws", "sawn_on", "note")
    values = {name: said[name] for name in names if said[name] is not None}
    if said["nominal"] is not None:
        values["nominal"] = nominal(said["nominal"], "nominal")
    return desk.change(slab_of(said["slab"]), **values)


@entry(
    Table(
        "price_slab",
        "What a slab cost and what is asked for it.",
        (
            SLAB,
            Field("asking", _T, 'What you ask: "480 USD".', parse=amount),
            Field("cost", _T, "What it cost you.", parse=amount),
        ),
    ),
    "Price a slab",
)
def price_slab(desk: Desk, said: dict[str, Any]) -> Slab:
    """Write a slab's cost or asking price down; where it is listed, that price holds from today."""
    values = {f"{name}_minor": minor_units(said[name]) for name in ("asking", "cost") if said[name]}
    if not values:
        raise BadValue("asking", "missing", "given, or a cost")
    slab = slab_of(said["slab"])
    asked = values.get("asking_minor")
    if asked is not None:
        for listing in slab.listings.filter(ends_on=None):
            reprice(desk, listing, max(today(), listing.begins_on), asked)
    return desk.change(slab, **values)


@entry(
    Table(
        "share_slab",
        "Who takes which slabs of a shared log.",
        (
            Field("slabs", _T, "The numbers on them.", required=True, many=True),
            Field("owner", _T, "Whose they are now.", required=True, choices=tuple(Owner.values)),
            Field("contact", _T, "The other party, by name; else the log's."),
        ),
    ),
    "Share slabs out",
)
def share_slab(desk: Desk, said: dict[str, Any]) -> Slab:
    """Say whose slabs these are."""
    if not said["slabs"]:
        raise BadValue("slabs", "empty", "at least one slab")
    contact = by_name(Contact, said["contact"], "contact") if said["contact"] else None
    shared = None
    for text in said["slabs"]:
        slab = slab_of(text, "slabs")
        other = contact or (slab.log.owner_contact if slab.log else None)
        shared = desk.change(
            slab, owner=said["owner"], owner_contact=None if said["owner"] == Owner.OWN else other
        )
    assert shared is not None
    return shared


@entry(
    Table(
        "scrap_slab",
        "A slab that is of no more use.",
        (SLAB, Field("why", _T, "Split, eaten, burnt.", default="")),
    ),
    "Scrap a slab",
)
def scrap_slab(desk: Desk, said: dict[str, Any]) -> Slab:
    """Take a slab out of stock; it stays in the book."""
    slab = live_slab(said["slab"])
    note = "\n".join(part for part in (slab.note, said["why"]) if part)
    stay(desk, slab, None, today())
    return desk.change(slab, state=Slab.State.SCRAP, **NOWHERE, note=note)


def _stretched(outline: Any, length: float) -> list[Width]:
    """The widths of an outline; where the slab was cut shorter, those that still lie on it."""
    pairs = zip(outline.z, outline.upper_width, outline.lower_width, strict=True)
    kept = [Width(float(z), float(a), float(b)) for z, a, b in pairs if z <= length + 1e-9]
    if not kept:
        raise BadValue("length", show_length(length, kind="long"), "longer than nothing")
    return kept

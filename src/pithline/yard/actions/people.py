"""People and places."""

from __future__ import annotations

import zoneinfo
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.desk import Desk
from pithline.yard.finding import by_name, named
from pithline.yard.kinds import entry
from pithline.yard.models import Contact, Place

__all__ = ["add_contact", "add_place", "change_contact", "change_place"]

_T = Quantity.TEXT


def zone(raw: Any, path: str) -> str:
    """A time zone by its name in the world's table, or "" for the book's."""
    if raw == "":
        return ""
    try:
        return zoneinfo.ZoneInfo(raw).key
    except (TypeError, ValueError, KeyError, OSError):
        raise BadValue(path, raw, "a time zone", 'Write for instance "America/New_York".') from None


def degrees(raw: Any, path: str) -> float:
    """A geographic coordinate: ``45.1234`` or ``45.1234 deg``; south and west are negative."""
    text = str(raw).strip().removesuffix("deg").removesuffix("°").strip()
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not -180 <= value <= 180:
        raise BadValue(path, raw, "degrees", 'Write "45.1234"; south and west with a minus.')
    return value


PERSON = (
    Field("phone", _T, "Telephone."),
    Field("email", _T, "Mail address."),
    Field("address", _T, "Where they live."),
    Field("note", _T, "Whatever else."),
)
SPOT = (
    Field("kind", _T, "What happens there.", choices=tuple(Place.Kind.values)),
    Field("contact", _T, "Whose it is, by name."),
    Field("zone", _T, "Time zone, where it is not the book's.", parse=zone),
    Field("latitude", _T, "North, in degrees.", parse=degrees),
    Field("longitude", _T, "East, in degrees.", parse=degrees),
    Field("access", _T, "Gate, path, neighbours, parking."),
)


def _name(model: type[Contact] | type[Place], name: str, but: Any = None) -> str:
    """A name that nobody has yet, because people write names to mean one record."""
    if not name:
        raise BadValue("name", name, "given")
    others = model.objects.exclude(pk=but.pk) if but else model.objects.all()
    if named(others, name).exists():
        raise BadValue("name", name, "one that is not in the book yet", "Add a place or a number to it.")
    return name


@entry(
    Table(
        "add_contact",
        "A person: owner of a tree, buyer, helper.",
        (Field("name", _T, "As you call them.", required=True), *PERSON),
    ),
    "A person",
)
def add_contact(desk: Desk, said: dict[str, Any]) -> Contact:
    """Write a person down."""
    return desk.create(Contact, name=_name(Contact, said["name"]), **_person(said))


@entry(
    Table(
        "change_contact",
        "Put right what is written about a person. What is left out stays.",
        (
            Field("contact", _T, "By name.", required=True),
            Field("name", _T, "Another name."),
            *PERSON,
        ),
    ),
    "Change a person",
)
def change_contact(desk: Desk, said: dict[str, Any]) -> Contact:
    """Change what is written about a person."""
    contact = by_name(Contact, said["contact"], "contact")
    own = {"name": _name(Contact, said["name"], contact)} if said["name"] is not None else {}
    return desk.change(contact, **own, **_person(said))


@entry(
    Table(
        "add_place",
        "A place where logs lie or slabs are kept.",
        (Field("name", _T, "As you call it.", required=True), *SPOT),
    ),
    "A place",
)
def add_place(desk: Desk, said: dict[str, Any]) -> Place:
    """Write a place down."""
    return desk.create(Place, name=_name(Place, said["name"]), **_spot(said))


@entry(
    Table(
        "change_place",
        "Put right what is written about a place. What is left out stays.",
        (Field("place", _T, "By name.", required=True), Field("name", _T, "Another name."), *SPOT),
    ),
    "Change a place",
)
def change_place(desk: Desk, said: dict[str, Any]) -> Place:
    """Change what is written about a place."""
    place = by_name(Place, said["place"], "place")
    own = {"name": _name(Place, said["name"], place)} if said["name"] is not None else {}
    return desk.change(place, **own, **_spot(said))


def _person(said: dict[str, Any]) -> dict[str, Any]:
    return {f.name: said[f.name] for f in PERSON if said[f.name] is not None}


def _spot(said: dict[str, Any]) -> dict[str, Any]:
    columns = {name: said[name] for name in ("kind", "zone", "access") if said[name] is not None}
    for name in ("latitude", "longitude"):
        if said[name] is not None:
            columns[f"{name}_deg"] = said[name]
    if said["contact"] is not None:
        columns["contact"] = by_name(Contact, said["contact"], "contact") if said["contact"] else None
    return columns

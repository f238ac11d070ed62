"""Kit: mills, aims, rates, kilns and costs kept under a name; parts that wear; hours."""

from __future__ import annotations

import json
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.units import duration
from pithline.yard.desk import Desk
from pithline.yard.finding import named, profile_of
from pithline.yard.kinds import entry
from pithline.yard.models import Part, Profile
from pithline.yard.money import settle

__all__ = ["fit_part", "keep_profile", "make_usual", "run_hours"]

_T = Quantity.TEXT
_KINDS = tuple(Profile.Kind.values)


def hours(raw: Any, path: str) -> float:
    """A time in hours: ``6 h``, ``45 min``."""
    return duration(raw, path) / 60


@entry(
    Table(
        "keep_profile",
        "A mill, aims, rates, a kiln or costs, kept under a name for later. The same name again replaces it.",
        (
            Field("kind", _T, "Which table it is.", required=True, choices=_KINDS),
            Field("name", _T, "What you call it.", required=True),
            Field(
                "table",
                _T,
                "Its fields, as in a record file.",
                required=True,
                parse=lambda v, p: _table(v, p),
            ),
            Field("usual", Quantity.FLAG, "Taken where nothing else is said.", default=False),
        ),
    ),
    "Keep a mill, aims, rates, a kiln or costs",
)
def keep_profile(desk: Desk, said: dict[str, Any]) -> Profile:
    """Keep a table under a name; it is read and checked in full before it is kept."""
    kind, name, table = said["kind"], said["name"], said["table"]
    if not name:
        raise BadValue("name", name, "given")
    code = _currency_of(kind, table)
    if code:
        settle(code, "table.currency")
    known = named(Profile.objects.filter(kind=kind), name).first()
    first = not Profile.objects.filter(kind=kind).exists()
    if known:
        profile = desk.change(known, table=table)
    else:
        profile = desk.create(Profile, kind=kind, name=name, table=table)
    return _usual(desk, profile) if said["usual"] or first else profile


@entry(
    Table(
        "make_usual",
        "Take a mill, aims, rates, a kiln or costs where nothing else is said.",
        (
            Field("kind", _T, "Which table it is.", required=True, choices=_KINDS),
            Field("name", _T, "What it is called.", required=True),
        ),
    ),
    "Make usual",
)
def make_usual(desk: Desk, said: dict[str, Any]) -> Profile:
    """Make a profile the usual one of its kind."""
    return _usual(desk, profile_of(said["kind"], said["name"], "name"))


@entry(
    Table(
        "fit_part",
        "A part of a mill that wears: bar, chain, sprocket, bearing. Fitted anew, its hours begin anew.",
        (
            Field("mill", _T, "By name.", required=True),
            Field("part", _T, "What it is called.", required=True),
            Field("life", _T, 'What it usually lasts: "40 h".', parse=hours),
            Field("spares", Quantity.COUNT, "How many are in the box.", least="0"),
            Field("fitted", Quantity.FLAG, "It was put on now; false only counts spares.", default=True),
            Field("note", _T, "Whatever else."),
        ),
    ),
    "Fit a part",
)
def fit_part(desk: Desk, said: dict[str, Any]) -> Part:
    """Note a part as fitted at the mill's present hours."""
    mill = profile_of("mill", said["mill"], "mill")
    values: dict[str, Any] = {
        column: said[name]
        for name, column in (("life", "life_hours"), ("spares", "spares"), ("note", "note"))
        if said[name] is not None
    }
    if said["fitted"]:
        values["fitted_at_hours"] = mill.hours or 0.0
    known = named(Part.objects.filter(mill=mill), said["part"]).first()
    if known:
        return desk.change(known, **values)
    return desk.create(Part, mill=mill, name=said["part"], **values)


@entry(
    Table(
        "run_hours",
        "Hours that a mill ran.",
        (
            Field("mill", _T, "By name.", required=True),
            Field("ran", _T, 'Since the last time: "3 h 30 min".', parse=hours),
            Field("reads", _T, 'What its meter shows: "126 h".', parse=hours),
        ),
    ),
    "Hours run",
)
def run_hours(desk: Desk, said: dict[str, Any]) -> Profile:
    """Add hours to a mill, or set them to what its meter shows."""
    mill = profile_of("mill", said["mill"], "mill")
    if (said["ran"] is None) == (said["reads"] is None):
        raise BadValue("ran", "given with reads, or neither", "given, or reads, one of the two")
    before = mill.hours or 0.0
    if said["reads"] is not None and said["reads"] < before:
        raise BadValue(
            "reads",
            f"{said['reads']:g} h",
            f"at least the {before:g} h of the last time",
            "Look at the meter.",
        )
    return desk.change(mill, hours=before + said["ran"] if said["reads"] is None else said["reads"])


def _currency_of(kind: str, table: dict[str, Any]) -> str:
    """Read a table in full; gives the currency of its amounts, "" where it has none."""
    from pithline.dry.kiln.written import read_kiln
    from pithline.money.cost.written import read_costs
    from pithline.saw.written.inputs import read_aims, read_mill, read_rates

    match kind:
        case "mill":
            read_mill(table)
        case "aims":
            read_aims(table)
        case "kiln":
            read_kiln(table)
        case "costs":
            return read_costs(table).value.currency
        case _:
            # A rate for one thickness only must find that thickness in the aims, so the usual ones are asked.
            aims = Profile.objects.filter(kind=Profile.Kind.AIMS, usual=True).first()
            return read_rates(table, read_aims(aims.table if aims else {}).value).value.currency
    return ""


def _usual(desk: Desk, profile: Profile) -> Profile:
    # The old one first: only one of a kind may be usual at any time.
    for other in Profile.objects.filter(kind=profile.kind, usual=True).exclude(pk=profile.pk):
        desk.change(other, usual=False)
    return desk.change(profile, usual=True)


def _table(raw: Any, path: str) -> dict[str, Any]:
    if not isinstance(raw, dict):
        raise BadValue(path, raw, "a table of fields")
    kept: dict[str, Any] = json.loads(json.dumps(raw, default=str))
    return kept

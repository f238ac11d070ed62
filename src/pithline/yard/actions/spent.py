"""What was spent: work with its fuel and kilometres, and money."""

from __future__ import annotations

import re
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.actions.kit import hours
from pithline.yard.desk import Desk
from pithline.yard.finding import spent_for
from pithline.yard.kinds import entry
from pithline.yard.models import Effort, Spending
from pithline.yard.moments import today
from pithline.yard.money import amount, minor_units

__all__ = ["note_spending", "note_work"]

_T = Quantity.TEXT
MILE = 1.609344  # [km]
FOR = Field("about", _T, 'For what: "log 14", "stack A", "load 3", "slab 14-3"; left out, in general.')


def distance(raw: Any, path: str) -> float:
    """A way on the road in km: ``42 km``, ``26 mi``.

    Raises
    ------
    BadValue
        Not so written, or out of reason.
    """
    text = raw.strip().lower() if isinstance(raw, str) else ""
    found = re.fullmatch(r"(\d{1,5}(?:\.\d+)?)\s*(km|mi|miles?)", text)
    value = float(found[1]) * (1 if found[2] == "km" else MILE) if found else -1.0
    if not 0 <= value <= 5000:
        raise BadValue(path, raw, "a way with its unit, up to 5000 km", 'Write "42 km" or "26 mi".')
    return value


@entry(
    Table(
        "note_work",
        "Hours that were worked on one thing in one day, with fuel and kilometres.",
        (
            Field("kind", _T, "What was done.", required=True, choices=tuple(Effort.Kind.values)),
            FOR,
            Field("hours", _T, 'Of each person: "3 h 30 min".', required=True, parse=hours),
            Field("people", Quantity.COUNT, "How many.", default=1, least="1", most="50"),
            Field("saw", _T, 'How long the engine ran: "2 h".', parse=hours),
            Field("fuel", Quantity.VOLUME, 'Fuel that went: "3.5 l".', most="2000 l"),
            Field("distance", _T, 'Driven, there and back: "42 km".', parse=distance),
            Field("done_on", Quantity.DATE, "The day; else today."),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Work done",
)
def note_work(desk: Desk, said: dict[str, Any]) -> Effort:
    """Keep hours, fuel and kilometres of one day's work."""
    for name in ("hours", "saw"):
        if said[name] is not None and said[name] > 24:
            raise BadValue(
                name, f"{said[name]:g} h", "at most the 24 h of a day", "Enter each day by itself."
            )
    longest = said["hours"] * said["people"]
    if said["saw"] is not None and said["saw"] > longest + 1e-9:
        rule = f"at most the {longest:g} h of all people"
        raise BadValue("saw", f"{said['saw']:g} h", rule, "Look at the engine's meter, or at the hours.")
    return desk.create(
        Effort,
        kind=said["kind"],
        done_on=said["done_on"] or today(),
        hours=said["hours"],
        people=said["people"],
        saw_hours=said["saw"],
        fuel_l=None if said["fuel"] is None else round(1000 * said["fuel"], 9),
        distance_km=said["distance"],
        note=said["note"],
        **spent_for(said["about"]),
    )


@entry(
    Table(
        "note_spending",
        "Money that went out: for a log, a stack, a load, a slab, or in general.",
        (
            Field("what", _T, "What it bought.", required=True),
            Field("amount", _T, 'How much: "85 USD".', required=True, parse=amount),
            Field("kind", _T, "What for.", default="other", choices=tuple(Spending.Kind.values)),
            FOR,
            Field("spent_on", Quantity.DATE, "The day; else today."),
            Field("months", Quantity.COUNT, "It covers so many months from then on.", least="1", most="120"),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Money spent",
)
def note_spending(desk: Desk, said: dict[str, Any]) -> Spending:
    """Keep what was paid."""
    if not said["what"]:
        raise BadValue("what", "", "given")
    return desk.create(
        Spending,
        what=said["what"],
        amount_minor=minor_units(said["amount"]),
        kind=said["kind"],
        spent_on=said["spent_on"] or today(),
        months=said["months"],
        note=said["note"],
        **spent_for(said["about"]),
    )

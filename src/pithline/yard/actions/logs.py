"""Logs: offered, taken or declined, measured."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.desk import Desk
from pithline.yard.finding import by_name, log_of
from pithline.yard.kinds import entry
from pithline.yard.models import Contact, Log, Place
from pithline.yard.models.row import Owner
from pithline.yard.money import settle

__all__ = ["ask_worth", "change_log", "decide_log", "measure_log", "take_log"]

_T, _D = Quantity.TEXT, Quantity.DATE
_OWNERS = tuple(Owner.values)

TERMS = (
    Field("owner", _T, "Whose log it is.", default="own", choices=_OWNERS),
    Field("owner_contact", _T, "The other party, by name, where it is not our own."),
    Field("owner_share", Quantity.SHARE, "What goes to the other party of a shared log.", most="100 %"),
    Field("consent_on", _D, "The day the landowner said yes."),
    Field("agreed", _T, "What was agreed: price, share, clearing up, which day."),
    Field("place", _T, "Where it lies, by the name of a place."),
    Field("answer_by", _D, "The day by which the owner wants an answer."),
    Field("saw_on", _D, "The log day."),
    Field("note", _T, "Whatever else."),
)

# For what is said again later: what is not said then stays as it was.
AGAIN = tuple(replace(f, default=None) for f in TERMS)


@entry(
    Table(
        "take_log",
        "A log that was offered or is ours.",
        (
            Field("name", _T, "What you call it.", required=True),
            Field("species", _T, "What tree it is; any name of it.", required=True),
            Field("offered_on", _D, "The day it was offered."),
            Field("felled_on", _D, "The day it was felled."),
            *TERMS,
        ),
    ),
    "A log offered",
)
def take_log(desk: Desk, said: dict[str, Any]) -> Log:
    """Enter a log; it gets the next number, which is never given again."""
    from pithline.wood.species import species

    wood = species(said["species"], "species")
    return desk.create(
        Log,
        number=desk.next_number("log"),
        name=said["name"],
        species=wood.name,
        offered_on=said["offered_on"],
        felled_on=said["felled_on"],
        **_terms(said),
    )


@entry(
    Table(
        "decide_log",
        "Yes or no to a log, and what was agreed.",
        (
            Field("log", _T, "Its number.", required=True),
            Field("decision", _T, "Take it or decline it.", required=True, choices=("take", "decline")),
            *AGAIN,
        ),
    ),
    "Answer an offer",
)
def decide_log(desk: Desk, said: dict[str, Any]) -> Log:
    """Take a log or decline it, and write down the terms."""
    log = log_of(said["log"])
    if log.state not in (Log.State.OFFERED, Log.State.TAKEN, Log.State.DECLINED):
        raise BadValue("log", str(log), "still an offer", f"It is {log.get_state_display()} already.")
    state = Log.State.TAKEN if said["decision"] == "take" else Log.State.DECLINED
    return desk.change(log, state=state, **_terms(said))


@entry(
    Table(
        "change_log",
        "Put right what is written about a log. What is left out stays; an empty text clears.",
        (
            Field("log", _T, "Its number.", required=True),
            Field("name", _T, "What you call it."),
            Field("offered_on", _D, "The day it was offered."),
            Field("felled_on", _D, "The day it was felled."),
            *AGAIN,
        ),
    ),
    "Change a log",
)
def change_log(desk: Desk, said: dict[str, Any]) -> Log:
    """Change what is written about a log; its number and its measurements stay."""
    log = log_of(said["log"])
    own = {name: said[name] for name in ("name", "offered_on", "felled_on") if said[name] is not None}
    if own.get("name") == "":
        raise BadValue("name", "", "what you call the log")
    return desk.change(log, **own, **_terms(said))


@entry(
    Table(
        "measure_log",
        "What was taped at the log.",
        (
            Field("log", _T, "Its number.", required=True),
            Field(
                "record",
                _T,
                "The tables log and lie, as in a record file.",
                required=True,
                parse=lambda v, _: v,
            ),
            Field(
                "top_is_wider", Quantity.FLAG, "Confirms that the top is wider than the butt.", default=False
            ),
        ),
    ),
    "Measure a log",
)
def measure_log(desk: Desk, said: dict[str, Any]) -> Log:
    """Keep a measured record; it is read and checked in full before it is kept."""
    from pithline.log.written import TOP_IS_WIDER, from_table

    log = log_of(said["log"])
    record = said["record"]
    if not isinstance(record, dict):
        raise BadValue("record", record, "the tables log and lie")
    tables = {k: v for k, v in record.items() if k in ("log", "lie")}
    tables["log"] = {"name": log.name, "species": log.species, **tables.get("log", {})}
    from_table(tables, {TOP_IS_WIDER} if said["top_is_wider"] else set()).to_shape()
    tables = json.loads(json.dumps(tables, default=str))  # a TOML date is kept as it is written
    onward = log.state in (Log.State.OFFERED, Log.State.TAKEN, Log.State.MEASURED)
    return desk.change(log, record=tables, state=Log.State.MEASURED if onward else log.state)


@entry(
    Table(
        "ask_worth",
        "What was said of a log on offer, for the question whether it is worth it.",
        (
            Field("log", _T, "Its number.", required=True),
            Field("call", _T, "The table call, as in a file.", required=True, parse=lambda v, _: v),
        ),
    ),
    "Is it worth it?",
)
def ask_worth(desk: Desk, said: dict[str, Any]) -> Log:
    """Keep the answers about a log on offer; they are read and checked in full before they are kept."""
    from pithline.money.offered.written import read_call
    from pithline.yard.drying_air import months_named

    log, call = log_of(said["log"]), said["call"]
    if not isinstance(call, dict):
        raise BadValue("call", call, "a table of fields")
    call = json.loads(json.dumps(call, default=str))
    measured = log.record is not None
    table = call if measured else {"species": log.species} | call
    _, code = read_call(table, measured, find=months_named)
    if code:
        settle(code, "call")
    return desk.change(log, worth=call)


def _terms(said: dict[str, Any]) -> dict[str, Any]:
    """Columns from what was said of the terms; an empty text takes a person or place away."""
    columns = {
        name: said[name]
        for name in ("owner", "owner_share", "consent_on", "agreed", "answer_by", "saw_on", "note")
        if said[name] is not None
    }
    for name, model in (("owner_contact", Contact), ("place", Place)):
        if said[name] is not None:
            columns[name] = by_name(model, said[name], name) if said[name] else None
    return columns

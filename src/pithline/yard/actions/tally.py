"""Tally: slabs written down as they come off the log, or later in a row."""

from __future__ import annotations

from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.slab.taped import taped_outline, width
from pithline.units import quarters
from pithline.yard.actions.stays import stay
from pithline.yard.desk import Desk
from pithline.yard.finding import by_name, log_of
from pithline.yard.kinds import Clash, entry
from pithline.yard.models import Log, Place, Plan, Size, Slab, Stack
from pithline.yard.models.row import Owner
from pithline.yard.moments import today
from pithline.yard.money import amount, minor_units
from pithline.yard.sizing import book_counting, columns

__all__ = ["SLAB", "tally_slab", "tally_slabs"]

_T, _L = Quantity.TEXT, Quantity.LENGTH
_STATES = {
    Size.State.GREEN: Slab.State.GREEN,
    Size.State.DRY: Slab.State.DRY,
    Size.State.FLATTENED: Slab.State.FLATTENED,
}


def nominal(raw: Any, path: str) -> str:
    """A trade thickness: ``12/4``; or "" for none."""
    text = raw.strip() if isinstance(raw, str) else None
    if text and not quarters(text):
        text = None
    if text is None:
        raise BadValue(path, raw, "a thickness as the trade names it", 'Write "12/4", or leave it empty.')
    return text.replace(" ", "")


def thickness(raw: Any, path: str) -> tuple[float, str]:
    """A thickness and, where it was written so, its trade name: ``80 mm``, ``12/4``."""
    from pithline.units import length

    metres = length(raw, path)
    if not 0.001 <= metres <= 1:
        raise BadValue(path, raw, "at least 1 mm and at most 1 m", "Measure again, or look at the unit.")
    return metres, nominal(raw, path) if quarters(raw) else ""


SLAB = (
    Field("number", Quantity.COUNT, "Counted from the top of the log; else the next.", least="1"),
    Field("thickness", _T, 'As sawn: "80 mm", "3 1/8 in".', required=True, parse=thickness),
    Field("length", _L, "From end to end.", required=True, least="5 cm", most="30 m"),
    Field(
        "widths",
        _T,
        "Both faces under bark, at one place or more from one end on: "
        '"45 cm / 52 cm", "0.5 m: 45 cm / 52 cm".',
        required=True,
        many=True,
        parse=width,
    ),
    Field("nominal", _T, "What the trade calls its thickness.", parse=nominal),
    Field("state", _T, "How it was when measured.", default="green", choices=tuple(Size.State.values)),
    Field("weight", Quantity.MASS, "On the scale.", least="0.1 kg", most="20 t"),
    Field("moisture", Quantity.SHARE, "By the meter.", most="250 %"),
    Field("holds_pith", Quantity.FLAG, "The pith runs in it."),
    Field("figure", _T, "What the face shows."),
    Field("flaws", _T, "Checks, punky sapwood, stain."),
    Field("planned", Quantity.COUNT, "Its number in the plan; else the same.", least="1"),
    Field("sawn_on", Quantity.DATE, "The day it was sawn."),
    Field("stack", _T, "The stack it lies in, by name."),
    Field("layer", Quantity.COUNT, "From the bottom of the stack.", least="1"),
    Field("spot", Quantity.COUNT, "In its layer from the left.", least="1"),
    Field("place", _T, "Where it is kept, by name; else where its stack is."),
    Field("cost", _T, 'What it cost you: "120 USD".', parse=amount),
    Field("asking", _T, "What you ask for it.", parse=amount),
    Field("note", _T, "Whatever else."),
)


@entry(
    Table(
        "tally_slab",
        "A slab as it was measured after sawing.",
        (Field("log", _T, "The number of its log.", required=True), *SLAB),
    ),
    "Tally a slab",
)
def tally_slab(desk: Desk, said: dict[str, Any]) -> Slab:
    """Write a slab down; it keeps its number for good."""
    return _tallied(desk, log_of(said["log"]), said)


@entry(
    Table(
        "tally_slabs",
        "Many slabs of one log at once; all of them or none.",
        (
            Field("log", _T, "The number of their log.", required=True),
            Table("slabs", "One row a slab.", SLAB, many=True),
        ),
    ),
    "Tally slabs",
)
def tally_slabs(desk: Desk, said: dict[str, Any]) -> Log:
    """Write many slabs down."""
    log = log_of(said["log"])
    if not said["slabs"]:
        raise BadValue("slabs", "empty", "at least one slab")
    for n, row in enumerate(said["slabs"], 1):
        try:
            _tallied(desk, log, row)
        except Clash:
            raise
        except BadValue as wrong:
            raise BadValue(f"slabs[{n}].{wrong.field}", wrong.value, wrong.rule, wrong.remedy) from None
    return log


def _tallied(desk: Desk, log: Log, said: dict[str, Any]) -> Slab:
    counter = f"slabs of {log.pk}"
    number = said["number"]
    if number is None:
        number = desk.next_number(counter)
    else:
        if Slab.objects.filter(log=log, number=number, suffix="").exists():
            raise Clash(
                "number",
                f"{log.number}-{number}",
                "a number that no other slab of this log bears",
                "Look at the wood, and give the next free number if both are real.",
            )
        desk.number_taken(counter, number)
    metres, named = said["thickness"]
    called = said["nominal"] or named
    plan, planned = _in_plan(log, said["planned"], number)
    stack = by_name(Stack, said["stack"], "stack") if said["stack"] else None
    place = by_name(Place, said["place"], "place") if said["place"] else stack and stack.place
    outline = taped_outline(said["length"], metres, said["widths"])
    measured = columns(outline, called, book_counting())
    state = _STATES[Size.State(said["state"])]
    if stack and state == Slab.State.GREEN:  # as when it is moved there
        state = Slab.State.DRYING
    slab = desk.create(
        Slab,
        log=log,
        number=number,
        species=log.species,
        nominal=called,
        state=state,
        owner=log.owner,
        owner_contact=log.owner_contact if log.owner == Owner.CUSTOMER else None,
        plan=plan,
        planned_number=planned,
        place=place,
        stack=stack,
        layer=said["layer"] if stack else None,
        spot=said["spot"] if stack else None,
        sawn_on=said["sawn_on"],
        holds_pith=said["holds_pith"],
        figure=said["figure"] or "",
        flaws=said["flaws"] or "",
        cost_minor=minor_units(said["cost"]),
        asking_minor=minor_units(said["asking"]),
        note=said["note"] or "",
    )
    if stack:
        known = [day for day in (said["sawn_on"], stack.built_on) if day]
        stay(desk, slab, stack, max(known) if known else today())
    desk.create(
        Size,
        slab=slab,
        state=said["state"],
        weight_kg=said["weight"],
        moisture_percent=None if said["moisture"] is None else 100 * said["moisture"],
        **measured,
    )
    if log.state in (Log.State.TAKEN, Log.State.MEASURED, Log.State.PLANNED):
        log.state = desk.change(log, state=Log.State.SAWN).state
    return slab


def _in_plan(log: Log, said: int | None, number: int) -> tuple[Plan | None, int | None]:
    """Which planned slab it is: as said, else the one of the same number where there is one."""
    plan = Plan.objects.filter(log=log, chosen=True).first()
    wanted = number if said is None else said
    if plan and any(s["number"] == wanted for s in plan.answer["slabs"]):
        return plan, wanted
    if said is not None:
        known = f"1 to {len(plan.answer['slabs'])}" if plan else "left out: no plan was chosen"
        raise BadValue("planned", said, known)
    return None, None

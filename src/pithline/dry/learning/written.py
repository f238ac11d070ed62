"""A stack's readings as a person writes them: [stack], [[meter]], [[reading]], [[piece]]."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Any

from pithline import units
from pithline.dry.kiln.sample_boards import estimated_dry_weight
from pithline.dry.learning.meters import Corrected, Meter, Pins, Scale, corrected
from pithline.dry.learning.readings import Reading, from_meter, from_weights
from pithline.dry.learning.tables import METER, PIECE, READING, STACK
from pithline.dry.learning.weighing import Weights
from pithline.dry.months import Months, guessed, place
from pithline.dry.phases import Phase
from pithline.dry.written_drying import MONTHS_TABLE, phase_words, read_months, read_phase
from pithline.errors import BadValue
from pithline.fields import Table, read
from pithline.wood.facts import Species

__all__ = ["LONGEST", "MeterReading", "StackReadings", "read_stack_readings"]

# Oven-dry weight from sections: wood beside the section is not the section (a guess, 1 to 4 %).
SECTION_DOUBT = 0.02
LONGEST = 5 * 365  # days outdoors where no phase is told


@dataclass(frozen=True, slots=True)
class MeterReading:
    """One figure as it was shown and what it says."""

    date: datetime.date
    shown: float
    depth: float
    meter: str
    found: Corrected


@dataclass(frozen=True, slots=True)
class StackReadings:
    """A stack and all that was read in it.

    Attributes
    ----------
    species : Species
    thickness : float
        Green. [m]
    stacked : date
    phases : tuple of Phase
        Where it lies from that day on.
    start, start_doubt : float or None
        As written. [fraction], [fraction of start]
    shown : tuple of MeterReading
    pieces : tuple of Weights
    readings : tuple of Reading
        Of meters and weights together, by day.
    """

    species: Species
    thickness: float
    stacked: datetime.date
    phases: tuple[Phase, ...]
    start: float | None
    start_doubt: float | None
    shown: tuple[MeterReading, ...]
    pieces: tuple[Weights, ...]
    readings: tuple[Reading, ...]


def read_stack_readings(document: Mapping[str, Any]) -> StackReadings:
    """Read the tables of one stack.

    Parameters
    ----------
    document : mapping
        With [stack] and any of [[meter]], [[reading]], [[piece]], [months].

    Raises
    ------
    BadValue
        Unknown tables or fields, readings before the stack was laid, deeper than the slab, of a
        meter that is not described; weights that cannot be.
    """
    known = {table.name: table for table in (STACK, METER, READING, PIECE, MONTHS_TABLE)}
    for key in document:
        if key not in known:
            raise BadValue(key, "a table", f"one of {', '.join(known)}", "Leave it out.")
    stack = read(STACK, document.get("stack", {}))
    tables = Table("", "", tuple(known[name] for name in ("meter", "reading", "piece")))
    rest = read(tables, {each.name: document[each.name] for each in tables.fields if each.name in document})
    meters = _meters(rest["meter"])
    shown, readings = [], []
    for n, row in enumerate(rest["reading"], 1):
        path = f"reading[{n}]"
        day = _day(row["date"], stack["stacked"], f"{path}.date")
        name, meter = _chosen(row["meter"], meters, path)
        depth = row["depth"] or 0.0
        if depth > stack["thickness"]:
            raise BadValue(f"{path}.depth", units.show_length(depth), "within the slab", "From the face.")
        found = corrected(row["shown"], meter, row["temperature"], stack["species"])
        readings.append(from_meter(day, found, meter, depth, name))
        shown.append(MeterReading(row["date"], row["shown"], readings[-1].depth, name, found))
    pieces = tuple(_piece(row, stack["stacked"], f"piece[{n}]") for n, row in enumerate(rest["piece"], 1))
    _named_once([piece.name for piece in pieces], "piece.name")
    for piece in pieces:
        readings += from_weights(piece)
    return StackReadings(
        stack["species"],
        stack["thickness"],
        stack["stacked"],
        _phases(stack, document.get("months")),
        stack["start"],
        stack["start_doubt"],
        tuple(shown),
        pieces,
        tuple(sorted(readings, key=lambda reading: reading.day)),
    )


def _phases(stack: Mapping[str, Any], months: Any) -> tuple[Phase, ...]:
    place_of = _months(stack, months)
    words = stack["phase"] or (f"outdoors: {LONGEST} days",)
    raw = [phase_words(text, f"stack.phase[{n}]") for n, text in enumerate(words, 1)]
    if place_of is None and any(each.get("outdoors") for each in raw):
        remedy = 'Add place = "Pittsburgh", or warmest = "24 C" and coldest = "-2 C".'
        rule = "given, or the warmest and the coldest month"
        raise BadValue("stack.place", "missing", rule, remedy)
    return tuple(read_phase(each, place_of) for each in raw)


def _months(stack: Mapping[str, Any], months: Any) -> Months | None:
    warmest, coldest = stack["warmest"], stack["coldest"]
    if months is not None:
        if stack["place"] or warmest is not None or coldest is not None:
            raise BadValue("months", "given", "left out beside a place or its warmest and coldest month")
        return read_months(months)
    if stack["place"]:
        return place(stack["place"], warmest, coldest)
    if warmest is None or coldest is None:
        return None
    return guessed(warmest, coldest)


def _meters(rows: Sequence[Mapping[str, Any]]) -> dict[str, Meter]:
    _named_once([row["name"] for row in rows], "meter.name")
    made = {
        row["name"]: Meter(
            Pins(row["pins"]), Scale(row["scale"]), row["warm_itself"], row["calibrated_at"], row["gravity"]
        )
        for row in rows
    }
    return made or {"meter": Meter()}


def _chosen(name: str | None, meters: Mapping[str, Meter], path: str) -> tuple[str, Meter]:
    if name is None and len(meters) == 1:
        return next(iter(meters.items()))
    if name is None or name not in meters:
        rule = f"one of those described: {', '.join(meters)}"
        raise BadValue(f"{path}.meter", name or "missing", rule, "Add a table [[meter]] with its name.")
    return name, meters[name]


def _piece(row: Mapping[str, Any], stacked: datetime.date, path: str) -> Weights:
    if row["dry"] and row["section"]:
        raise BadValue(f"{path}.section", "given", "left out where the oven told the dry weight")
    dry, doubt = row["dry"], 0.0
    if row["section"]:
        dry, doubt = estimated_dry_weight(row["green"], fmean(row["section"])), SECTION_DOUBT
        doubt /= math.sqrt(len(row["section"]))
    if dry is None and not row["weight"]:
        rule = "given, or the oven-dry weight, or the moisture of sections"
        raise BadValue(f"{path}.weight", "missing", rule, 'Write weight = ["2025-06-01: 7.62 kg"].')
    days = tuple(_day(date, stacked, f"{path}.weight") for date, _ in row["weight"])
    weights = tuple(weight for _, weight in row["weight"])
    return Weights(row["name"], row["green"], days, weights, dry, doubt, row["what"] == "slab")


def _day(date: datetime.date, stacked: datetime.date, path: str) -> float:
    if date < stacked:
        rule = f"on or after {stacked}, when the stack was laid"
        raise BadValue(path, date.isoformat(), rule, "Look at both dates.")
    return float((date - stacked).days)


def _named_once(names: Sequence[str], path: str) -> None:
    for name in names:
        if names.count(name) > 1:
            raise BadValue(path, name, "given once", "Give each a name of its own.")

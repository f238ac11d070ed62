"""Each measurement of a log by itself, and the log as it would be had that one been read otherwise."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from pithline.log.record import LogRecord, TapedZone
from pithline.log.size import Size

__all__ = ["Errors", "Taped", "taped_fields"]

Change = Callable[[float], LogRecord]

_SIDES = ("right", "up", "left", "down")
_SIZES = ("diameter", "girth", "across", "tall", "pith_right", "pith_up")


@dataclass(frozen=True, slots=True)
class Errors:
    """Standard deviations of one reading. Judgement (common practice, no source): set your own.

    The first four are those of `log.measuring.measuring_error`.

    Attributes
    ----------
    reading : float
        Tape or calliper at a section. [m]
    bark : float
        [fraction of the thickness]
    sweep, length : float
        [m]
    place : float
        Of a station or of a zone's ends along the log. [m]
    depth : float
        Of a zone. [m]
    height : float
        From rough ground up to a mark or a bearer. [m]
    slope : float
        Of the ground beside the log. [m/m]
    """

    reading: float = 0.004
    bark: float = 0.15
    sweep: float = 0.010
    length: float = 0.010
    place: float = 0.020
    depth: float = 0.010
    height: float = 0.010
    slope: float = 0.02


@dataclass(frozen=True, slots=True)
class Taped:
    """One measurement, and the log had it been another.

    Attributes
    ----------
    field : str
        Where it stands in the record.
    value, error : str
        As a person writes them; the error is one standard deviation.
    by : callable
        The record with the measurement changed by so many standard deviations.
    """

    field: str
    value: str
    error: str
    by: Change


def taped_fields(record: LogRecord, errors: Errors | None = None) -> list[Taped]:
    """Every measurement of a record that can be taken again; what was assumed is not among them.

    Parameters
    ----------
    record : LogRecord
    errors : Errors, optional
    """
    by = errors or Errors()
    said = {a.field for a in record.assumptions}
    found = [_length(record, "log.length", record.length, by.length, partial(_with, record, "length"), True)]
    for end in ("butt", "top"):
        found += _sections(record, getattr(record, end), by, partial(_with, record, end))
    for n, station in enumerate(record.stations):
        found += _sections(record, station.size, by, partial(_at_station, record, n))
    if record.bark.measured:
        thick = record.bark.thickness(0.0, record.butt.mean, record.butt.over_bark)
        found.append(
            Taped(
                "log.bark", record.shown(thick), f"{100 * by.bark:.0f} %", partial(_barked, record, by.bark)
            )
        )
    if "log.sweep" not in said:
        amount = record.sweep[0]
        found.append(_length(record, "log.sweep.amount", amount, by.sweep, partial(_swept, record)))
    for n, zone in enumerate(record.zones):
        found += _zone(record, n, zone, by)
    if "lie" not in said:
        found += _lie(record, by)
    return found


def _length(
    record: LogRecord,
    field: str,
    value: float,
    error: float,
    put: Callable[[float], LogRecord],
    long: bool = False,
) -> Taped:
    """A measurement that is a length; `put` makes the record with another one."""
    shown = record.shown(value, "long" if long else "thickness")
    return Taped(field, shown, record.shown(error), lambda z: put(value + z * error))


def _with(record: LogRecord, name: str, value: object) -> LogRecord:
    changed: dict[str, Any] = {name: value}
    return replace(record, **changed)


def _at_station(record: LogRecord, n: int, size: Size) -> LogRecord:
    rows = list(record.stations)
    rows[n] = replace(rows[n], size=size)
    return replace(record, stations=tuple(rows))


def _barked(record: LogRecord, error: float, z: float) -> LogRecord:
    return replace(record, bark=record.bark.times(max(0.1, 1 + z * error)))


def _swept(record: LogRecord, amount: float) -> LogRecord:
    return replace(record, sweep=(amount, record.sweep[1]))


def _sections(record: LogRecord, size: Size, by: Errors, put: Callable[[Size], LogRecord]) -> Iterator[Taped]:
    """The readings of one section, one by one."""

    def taped(name: str, value: float, new: Callable[[float], Size]) -> Taped:
        return _length(record, f"{size.field}.{name}", value, by.reading, lambda v: put(new(v)))

    for n, (name, value) in enumerate(zip(_SIDES, size.readings or (), strict=False)):
        yield taped(name, value, partial(_reached, size, n))
    for n, (angle, value) in enumerate(size.around or ()):
        yield taped(f"around, {math.degrees(angle) % 360:.0f} deg", value, partial(_around, size, n))
    for name in _SIZES:
        value = getattr(size, name)
        # A pith mark at nought is the middle, which nobody measured.
        if value:
            yield taped(name, value, partial(_sized, size, name))


def _reached(size: Size, n: int, value: float) -> Size:
    assert size.readings is not None
    right, up, left, down = (value if k == n else r for k, r in enumerate(size.readings))
    return replace(size, readings=(right, up, left, down))


def _around(size: Size, n: int, value: float) -> Size:
    rows = ((angle, value if k == n else r) for k, (angle, r) in enumerate(size.around or ()))
    return replace(size, around=tuple(rows))


def _sized(size: Size, name: str, value: float) -> Size:
    changed: dict[str, Any] = {name: value}
    return replace(size, **changed)


def _zone(record: LogRecord, n: int, zone: TapedZone, by: Errors) -> Iterator[Taped]:
    where = f"log.zones[{n + 1}]"

    def put(name: str, least: float, most: float, value: float) -> LogRecord:
        changed: dict[str, Any] = {name: min(most, max(least, value))}
        rows = list(record.zones)
        rows[n] = replace(zone, **changed)
        return replace(record, zones=tuple(rows))

    if zone.start > 0:
        yield _length(
            record, f"{where}.from", zone.start, by.place, partial(put, "start", 0.0, record.length), True
        )
    if zone.end < record.length:
        yield _length(
            record, f"{where}.to", zone.end, by.place, partial(put, "end", 0.0, record.length), True
        )
    yield _length(record, f"{where}.depth", zone.depth, by.depth, partial(put, "depth", 0.001, math.inf))


def _lie(record: LogRecord, by: Errors) -> Iterator[Taped]:
    def put(name: str, value: float) -> LogRecord:
        changed: dict[str, Any] = {name: value if name == "slope" else max(0.0, value)}
        return replace(record, ground=replace(record.ground, **changed))

    for name in ("pith_butt", "pith_top", "bearer_butt", "bearer_top"):
        value = getattr(record.ground, name)
        if value is not None:
            yield _length(record, f"lie.{name}", value, by.height, partial(put, name))
    slope = record.ground.slope
    if slope:
        told, error = f"{100 * slope:.0f} %", f"{100 * by.slope:.0f} %"
        yield Taped("lie.slope", told, error, lambda z: put("slope", slope + z * by.slope))

"""What nobody measured: named, with what it might be instead."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from pithline.errors import Refused
from pithline.log.outline import mean_diameter
from pithline.log.record import FLARE_TAPER, Assumption, LogRecord
from pithline.log.size import Size, Station
from pithline.units import FOOT

__all__ = ["assumed", "variants"]

_OVAL = 0.03  # half the difference of two diameters of a log taken as round. common practice, no source
_OFF = 0.05  # pith off the middle, as a share of the diameter. common practice, no source
_BEND = 0.005  # sweep of a log called straight, as a share of its length. common practice, no source
_BEARERS = 0.20  # [m]
# Stem taper above the flare, from sections of sweetgum and eucalypt: 0.4 to 1 cm a metre.
_STEM_TAPER = 0.010  # [m/m of diameter]
_FLARE_ENDS = 3 * FOOT  # [m] from the butt

Change = Callable[[LogRecord], LogRecord]


def assumed(record: LogRecord, log: Mapping[str, Any], lie: Mapping[str, Any] | None) -> LogRecord:
    """The record with everything listed that was not measured.

    Parameters
    ----------
    record : LogRecord
    log, lie : mapping
        The tables as written, to see what was said.
    """
    found = [
        *_bark_assumed(record, log),
        *_form_assumed(record, log),
        *_width_assumed(record),
        *_sweep_assumed(record, log),
        *_lie_assumed(record, lie),
    ]
    return replace(record, assumptions=tuple(found))


def variants(record: LogRecord) -> list[tuple[Assumption, LogRecord, LogRecord]]:
    """Each assumption that can be tried out, with the log at its low and at its high.

    Parameters
    ----------
    record : LogRecord

    Returns
    -------
    tried : list of (Assumption, low record, high record)
        Only those whose both logs are possible.
    """
    tried = []
    for assumption in record.assumptions:
        pair = _changes(record, assumption.field)
        if pair is None:
            continue
        low, high = (change(record) for change in pair)
        try:
            for changed in (low, high):
                changed.to_shape()
                changed.lie()
        except Refused:  # bark too thick for the readings, say: then it cannot be so
            continue
        tried.append((assumption, low, high))
    return tried


def _bark_assumed(record: LogRecord, log: Mapping[str, Any]) -> list[Assumption]:
    found = []
    if not record.bark.measured:
        shape = record.to_shape()
        mean = float(shape.bark.mean())
        spread = record.bark.spread
        found.append(
            Assumption(
                "log.bark",
                record.shown(mean),
                record.shown(mean * (1 - spread)),
                record.shown(mean * (1 + spread)),
                f"{record.bark.source} [{record.bark.mark}]",
            )
        )
    found += [
        Assumption(f"log.{end}.bark", "under", "over", "under", "the bark shows at a cut end")
        for end in ("butt", "top")
        if "bark" not in log[end]
    ]
    if any("bark" not in row for row in log.get("stations", ())):
        found.append(
            Assumption("log.stations.bark", "over", "over", "under", "a tape round a log lies on the bark")
        )
    return found


def _form_assumed(record: LogRecord, log: Mapping[str, Any]) -> list[Assumption]:
    found = []
    if not (record.butt.whole and record.top.whole):
        found.append(
            Assumption(
                "log.form",
                "round",
                f"{2 * _OVAL * 100:.0f} % wider than tall",
                f"{2 * _OVAL * 100:.0f} % taller than wide",
                "one diameter says no more; common practice, no source",
            )
        )
    if any(_pith_unsaid(log[end]) for end in ("butt", "top")):
        found.append(
            Assumption(
                "log.pith",
                "in the middle",
                f"{_OFF * 100:.0f} % of the diameter lower",
                f"{_OFF * 100:.0f} % of the diameter higher",
                "readings from the pith mark would tell; common practice, no source",
            )
        )
    if "seen_from" not in log["top"] and record.top != record.top.mirrored():
        found.append(
            Assumption("log.top.seen_from", "top", "top", "butt", "one stands at the end one measures")
        )
    return found


def _width_assumed(record: LogRecord) -> list[Assumption]:
    if record.stations:
        return []
    straight, stem = _between(record)
    if record.taper() > FLARE_TAPER:
        why = "a flared butt narrows fast at first; one width past the flare would tell"
    else:
        why = "no width between the ends was taken"
    return [
        Assumption(
            "log.stations",
            "straight sides",
            f"{record.shown(min(stem, straight))} at {record.shown(_flare_end(record), 'long')}",
            f"{record.shown(straight)} there",
            why,
        )
    ]


def _sweep_assumed(record: LogRecord, log: Mapping[str, Any]) -> list[Assumption]:
    if "sweep" in log:
        return []
    bend = record.shown(_BEND * record.length)
    return [
        Assumption(
            "log.sweep",
            "straight",
            f"{bend} sideways",
            f"{bend} upwards",
            "a string from mark to mark would tell; common practice, no source",
        )
    ]


def _lie_assumed(record: LogRecord, lie: Mapping[str, Any] | None) -> list[Assumption]:
    if lie is not None and any(key.startswith(("pith", "bearer")) for key in lie):
        return []
    return [
        Assumption(
            "lie",
            "on level ground, no bearers",
            "on level ground",
            f"on bearers of {record.shown(_BEARERS)}",
            "nothing was said",
        )
    ]


def _changes(record: LogRecord, field: str) -> tuple[Change, Change] | None:
    spread = record.bark.spread
    same: Change = lambda r: r  # noqa: E731
    table: dict[str, tuple[Change, Change]] = {
        "log.bark": (_barked(1 - spread), _barked(1 + spread)),
        "log.butt.bark": (lambda r: replace(r, butt=replace(r.butt, over_bark=True)), same),
        "log.top.bark": (lambda r: replace(r, top=replace(r.top, over_bark=True)), same),
        "log.stations.bark": (same, _stations_under),
        "log.form": (_oval(1 + _OVAL), _oval(1 - _OVAL)),
        "log.pith": (_pith_moved(-_OFF), _pith_moved(_OFF)),
        "log.top.seen_from": (same, lambda r: replace(r, top=r.top.mirrored())),
        "log.stations": (_flared, same),
        "log.sweep": (_bent(0.0), _bent(math.pi / 2)),
        "lie": (same, _on_bearers),
    }
    return table.get(field)


def _barked(factor: float) -> Change:
    return lambda r: replace(r, bark=r.bark.times(factor))


def _stations_under(record: LogRecord) -> LogRecord:
    return replace(
        record, stations=tuple(replace(s, size=replace(s.size, over_bark=False)) for s in record.stations)
    )


def _oval(wider: float) -> Change:
    def change(size: Size) -> Size:
        if size.whole:
            return size
        mean = size.mean
        return replace(size, diameter=None, girth=None, across=mean * wider, tall=mean / wider)

    return lambda r: replace(r, butt=change(r.butt), top=change(r.top))


def _pith_moved(share: float) -> Change:
    def change(size: Size) -> Size:
        if size.from_pith or size.pith_right or size.pith_up:
            return size
        return replace(size, pith_up=share * size.mean)

    return lambda r: replace(r, butt=change(r.butt), top=change(r.top))


def _flared(record: LogRecord) -> LogRecord:
    at = _flare_end(record)
    straight, stem = _between(record)
    size = Size("log.stations[1]", over_bark=False, diameter=min(stem, straight))
    return replace(record, stations=(Station(at, size),))


def _flare_end(record: LogRecord) -> float:
    return min(_FLARE_ENDS, record.length / 3)


def _between(record: LogRecord) -> tuple[float, float]:
    """Diameter under bark where a flare would end: with straight sides, and with stem taper. [m]"""
    shape = record.to_shape()
    butt, top = mean_diameter(shape.outlines[0]), mean_diameter(shape.outlines[-1])
    at = _flare_end(record)
    straight = butt + (top - butt) * at / record.length
    return straight, top + _STEM_TAPER * (record.length - at)


def _bent(towards: float) -> Change:
    return lambda r: replace(r, sweep=(_BEND * r.length, towards))


def _on_bearers(record: LogRecord) -> LogRecord:
    return replace(record, ground=replace(record.ground, bearer_butt=_BEARERS, bearer_top=_BEARERS))


def _pith_unsaid(end: Mapping[str, Any]) -> bool:
    return not any(key in end for key in ("up", "around", "pith_right", "pith_up"))

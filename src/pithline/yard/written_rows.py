"""Drying and money as a person writes them: rows in the words of the kinds that take them in again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from pithline.yard.models import Comparable, Effort, LumberRate, Reading, Sale, Sample, Spending, Weighing
from pithline.yard.money import currency, shown

__all__ = ["KIND_OF", "WRITTEN"]

Row = dict[str, Any]


def _samples() -> Iterator[Row]:
    for one in Sample.objects.select_related("slab__log", "log", "stack", "load"):
        yield {
            "name": one.name,
            "kind": one.kind,
            "slab": one.slab.label if one.slab else "",
            "log": one.log.number if one.log else None,
            "stack": one.stack.name if one.stack else "",
            "load": one.load.number if one.load else None,
            "species": one.species,
            "thickness_m": one.thickness_m,
            "width_m": one.width_m,
            "length_m": one.length_m,
            "cut_on": _day(one.cut_on),
            "weight_kg": one.green_kg,
            "oven_dry_kg": one.oven_dry_kg,
            "start_percent": one.start_percent,
            "ends_sealed": one.ends_sealed,
            "note": one.note,
        }


def _weighings() -> Iterator[Row]:
    for one in Weighing.objects.select_related("slab__log", "sample"):
        yield {
            **_piece(one),
            "weight_kg": one.weight_kg,
            "weighed_on": _day(one.weighed_on),
            "scale_kg": one.scale_kg,
            "note": one.note,
        }


def _readings() -> Iterator[Row]:
    for one in Reading.objects.select_related("slab__log", "sample"):
        yield {
            **_piece(one),
            "meter": one.meter,
            "shown_percent": one.shown_percent,
            "beyond": one.beyond,
            "depth_m": one.depth_m,
            "wood_temperature_c": one.wood_c,
            "compensated": one.compensated,
            "set_to": one.set_to,
            "gravity": one.gravity_set,
            "calibrated_c": one.calibrated_c,
            "from_butt_m": one.along_m,
            "read_on": _day(one.read_on),
            "note": one.note,
        }


def _work() -> Iterator[Row]:
    for one in Effort.objects.select_related("log", "stack", "load", "slab__log"):
        yield {
            "kind": one.kind,
            "about": _about(one),
            "hours": f"{one.hours!r} h",
            "people": one.people,
            "saw": "" if one.saw_hours is None else f"{one.saw_hours!r} h",
            "fuel": "" if one.fuel_l is None else f"{one.fuel_l!r} l",
            "distance": "" if one.distance_km is None else f"{one.distance_km!r} km",
            "done_on": _day(one.done_on),
            "note": one.note,
        }


def _spending() -> Iterator[Row]:
    code = currency()
    for one in Spending.objects.select_related("log", "stack", "load", "slab__log"):
        yield {
            "what": one.what,
            "amount": shown(one.amount_minor, code),
            "kind": one.kind,
            "about": _about(one),
            "spent_on": _day(one.spent_on),
            "months": one.months,
            "note": one.note,
        }


def _sales() -> Iterator[Row]:
    code = currency()
    for one in Sale.objects.select_related("slab__log", "buyer", "listing"):
        yield {
            "slab": one.slab.label,
            "price": shown(one.price_minor, code),
            "sold_on": _day(one.sold_on),
            "buyer": one.buyer.name if one.buyer else "",
            "dried": one.dried,
            "flattened": one.flattened,
            "pair": one.with_partner,
            "where": one.listing.where if one.listing else "",
            "use": one.use,
            "note": one.note,
        }


def _comparables() -> Iterator[Row]:
    book = currency()
    for one in Comparable.objects.all():
        rate = "" if one.rate is None else f"1 {one.currency} = {one.rate:.12g} {book}"
        yield {
            "source": one.source,
            "price": shown(one.price_minor, one.currency),
            "paid": one.paid,
            "exchange": rate,
            "exchange_on": _day(one.rate_on),
            "what": one.what,
            "species": one.species,
            "thickness_m": one.thickness_m,
            "width_m": one.width_m,
            "length_m": one.length_m,
            "volume": "" if one.volume_m3 is None else f"{one.volume_m3!r} m3",
            "dried": one.dried,
            "flattened": one.flattened,
            "pair": one.pair,
            "live": one.live_edge,
            "flawed": one.flawed,
            "figure_percent": 100 * one.figure_share,
            "use": one.use,
            "seen_on": _day(one.seen_on),
            "note": one.note,
        }


def _lumber() -> Iterator[Row]:
    code = currency()
    for one in LumberRate.objects.all():
        yield {
            "species": one.species,
            "thickness_m": one.thickness_m,
            "dried": one.dried,
            "rate": one.written if code in one.written else f"{one.written} {code}",
            "source": one.source,
            "seen_on": _day(one.seen_on),
        }


WRITTEN: dict[str, Callable[[], Iterator[Row]]] = {
    "samples": _samples,
    "weighings": _weighings,
    "readings": _readings,
    "work": _work,
    "spending": _spending,
    "sales": _sales,
    "comparables": _comparables,
    "lumber": _lumber,
}
"""Each table by its name, after those of the rack."""

KIND_OF = {
    "samples": "cut_sample",
    "weighings": "weigh_piece",
    "readings": "read_meter",
    "work": "note_work",
    "spending": "note_spending",
    "sales": "sell_slab",
    "comparables": "note_comparable",
    "lumber": "note_lumber",
}
"""What a row of each is entered as."""


def _piece(one: Weighing | Reading) -> Row:
    return {"slab": one.slab.label if one.slab else "", "sample": one.sample.name if one.sample else ""}


def _about(one: Effort | Spending) -> str:
    if one.log:
        return f"log {one.log.number}"
    if one.stack:
        return f"stack {one.stack.name}"
    if one.load:
        return f"load {one.load.number}"
    return f"slab {one.slab.label}" if one.slab else ""


def _day(day: Any) -> str | None:
    return day.isoformat() if day else None

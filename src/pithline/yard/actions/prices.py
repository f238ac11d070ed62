"""Prices noted elsewhere: pieces like ours, and plain lumber."""

from __future__ import annotations

from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.money.price.sales_table import PIECE, SALES
from pithline.yard.desk import Desk
from pithline.yard.kinds import entry
from pithline.yard.models import Comparable, LumberRate
from pithline.yard.moments import today
from pithline.yard.money import Amount, amount, currency, digits, settle

__all__ = ["note_comparable", "note_lumber"]

_T, _D = Quantity.TEXT, Quantity.DATE


def _declared(table: str, name: str) -> Field:
    """One field as the file of sales declares it, so that page and file take the same words."""
    rows = SALES[table]
    assert isinstance(rows, Table)
    field = rows[name]
    assert isinstance(field, Field)
    return field


@entry(
    Table(
        "note_comparable",
        "A price of somebody else's piece.",
        (
            Field("source", _T, "Where it was seen.", required=True),
            Field("price", _T, 'For the piece: "300 EUR".', required=True, parse=amount),
            Field("paid", Quantity.FLAG, "It was paid; else only asked.", default=False),
            _declared("comparable", "exchange"),
            Field("exchange_on", _D, "The day of that rate."),
            Field("what", _T, "What it was.", default=""),
            *PIECE,
            Field("seen_on", _D, "The day; else today."),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "A price seen elsewhere",
)
def note_comparable(desk: Desk, said: dict[str, Any]) -> Comparable:
    """Keep a price with its source, its day and, where it is in other money, your own dated rate."""
    price: Amount = said["price"]
    if not price.value > 0:
        raise BadValue("price", price.written, "more than 0", "Leave out what was given away.")
    if not said["source"]:
        raise BadValue("source", "", "given")
    own, rate = _turned(price, said)
    places = digits(own)
    whole = price.value.scaleb(places)
    if whole != whole.to_integral_value():
        raise BadValue("price", price.written, f"no finer than the smallest coin of {own}", "Round it.")
    return desk.create(
        Comparable,
        source=said["source"],
        what=said["what"],
        seen_on=said["seen_on"] or today(),
        species=said["species"],
        thickness_m=said["thickness"],
        width_m=said["width"],
        length_m=said["length"],
        volume_m3=said["volume"],
        dried=said["dried"],
        flattened=said["flattened"],
        pair=said["pair"],
        live_edge=said["live"],
        flawed=said["flawed"],
        figure_share=said["figure"],
        use=(said["use"] or "").lower(),
        paid=said["paid"],
        price_minor=int(whole),
        currency=own,
        rate=rate,
        rate_on=said["exchange_on"] if rate is not None else None,
        note=said["note"],
    )


def _turned(price: Amount, said: dict[str, Any]) -> tuple[str, float | None]:
    """Currency of a price, and what one of it is in the book's money; None where they are the same."""
    book = currency()
    if said["exchange"] is None:
        if said["exchange_on"] is not None:
            raise BadValue("exchange", "missing", "given with its day", 'Write "1 EUR = 1.08 USD".')
        if book and price.code and price.code != book:
            raise BadValue(
                "exchange",
                "missing",
                f"given with its day for a price in {price.code}",
                f'Write "1 {price.code} = 1.08 {book}", the rate that you would get.',
            )
        return settle(price.code, "price"), None
    start, rate, end = said["exchange"]
    if start == price.code:
        start, end = end, start  # now: 1 of `end` is `rate` of `start`
    elif end == price.code:
        rate = 1 / rate
    else:
        raise BadValue(
            "exchange", f"from {start} to {end}", f"of {price.code or 'the currency of the price'}"
        )
    if start == price.code:
        raise BadValue("exchange", f"from {start} to {end}", "between two currencies")
    if said["exchange_on"] is None:
        raise BadValue(
            "exchange_on", "missing", "given: a rate holds on its day", "Say when you looked it up."
        )
    settle(start, "exchange")
    return price.code, rate


@entry(
    Table(
        "note_lumber",
        "What plain square-edged lumber is sold at, to set a slab beside it.",
        (
            *(_declared("lumber", name) for name in ("species", "thickness", "dried", "rate", "source")),
            Field("seen_on", _D, "The day; else today."),
        ),
    ),
    "A price of plain lumber",
)
def note_lumber(desk: Desk, said: dict[str, Any]) -> LumberRate:
    """Keep a rate of plain lumber."""
    rate = said["rate"]
    if not rate.amount > 0:
        raise BadValue("rate", rate.written, "more than 0", 'Write "5.50 per bf".')
    settle(rate.currency, "rate")
    return desk.create(
        LumberRate,
        species=said["species"],
        thickness_m=said["thickness"],
        dried=said["dried"],
        written=rate.written,
        price_per_m3=rate.amount,
        source=said["source"],
        seen_on=said["seen_on"] or today(),
    )

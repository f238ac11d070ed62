"""The file of sales as a person writes it: its tables and fields, declared."""

from __future__ import annotations

import datetime
import re
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.money.amount import Amount, amount
from pithline.money.price.piece import Dried
from pithline.saw.written.price import Price, price
from pithline.wood.species import species

__all__ = ["PIECE", "SALES"]

_L, _F, _T = Quantity.LENGTH, Quantity.FLAG, Quantity.TEXT


def _wood(raw: Any, path: str) -> str:
    return species(raw, path).name


def _tag(raw: Any, path: str) -> tuple[datetime.date, Amount]:
    """``2025-06-01: 900 USD``."""
    day, colon, money = raw.partition(":") if isinstance(raw, str) else ("", "", "")
    try:
        found = datetime.date.fromisoformat(day.strip())
    except ValueError:
        colon = ""
    if not colon:
        raise BadValue(path, raw, "a day and a price", 'Write "2025-06-01: 900 USD".')
    return found, amount(money, path)


def _exchange(raw: Any, path: str) -> tuple[str, float, str]:
    """``1 EUR = 1.08 USD``: code turned over, rate, code it becomes."""
    shape = r"\s*1\s*([A-Za-z]{3})\s*=\s*(\d+(?:\.\d+)?)\s*([A-Za-z]{3})\s*"
    found = re.fullmatch(shape, raw) if isinstance(raw, str) else None
    if found is None or not float(found[2]) > 0:
        raise BadValue(path, raw, "a rate of exchange", 'Write "1 EUR = 1.08 USD".')
    return found[1].upper(), float(found[2]), found[3].upper()


def _per_volume(raw: Any, path: str) -> Price:
    return price(raw, path, ("m3", "bf", "ft3"), 'Write "5.50 per bf" or "2400 per m3".')


PIECE: tuple[Field | Table, ...] = (
    Field("species", _T, "Any name of the wood.", required=True, parse=_wood),
    Field("thickness", _L, 'As sold: 12/4, "80 mm".', required=True, least="3 mm", most="1 m"),
    Field("width", _L, "Mean width that is tallied.", required=True, least="1 cm", most="5 m"),
    Field("length", _L, "Usable length.", required=True, least="5 cm", most="30 m"),
    Field("volume", Quantity.VOLUME, "Tallied; thickness x width x length where left out.", least="0.01 bf"),
    Field("dried", _T, "How far.", default="green", choices=tuple(str(each) for each in Dried)),
    Field("flattened", _F, "Flattened.", default=False),
    Field("pair", _F, "One of a book-matched pair; the price is for this one.", default=False),
    Field("live", _F, "With live edges; false for square-edged boards.", default=True),
    Field("flawed", _F, "With checks, punky sapwood or stain.", default=False),
    Field("figure", Quantity.SHARE, "Share of the face with figure.", default="0 %", most="100 %"),
    Field("use", _T, 'What it was for: "table".'),
)

SALES = Table(
    "",
    "What is known of prices.",
    (
        Field("currency", _T, 'Three-letter code of the book, such as "USD".'),
        Table(
            "sale",
            "One piece that you sold.",
            (
                Field("name", _T, "As you call it."),
                Field("price", _T, "Paid for the piece.", required=True, parse=amount),
                Field("date", Quantity.DATE, "Of the sale.", required=True),
                *PIECE,
            ),
            many=True,
        ),
        Table(
            "comparable",
            "A price noted elsewhere.",
            (
                Field("name", _T, "As you call it."),
                Field("price", _T, "For the piece.", required=True, parse=amount),
                Field("asked", _F, "Asked only; false where it was paid.", default=True),
                Field("source", _T, "Where it was seen.", required=True),
                Field("date", Quantity.DATE, "When.", required=True),
                Field("exchange", _T, 'Your rate: "1 EUR = 1.08 USD".', parse=_exchange),
                Field("exchange_date", Quantity.DATE, "Of that rate."),
                *PIECE,
            ),
            many=True,
        ),
        Table(
            "lumber",
            "A rate of plain square-edged lumber.",
            (
                Field("species", _T, "Any name of the wood.", required=True, parse=_wood),
                Field("thickness", _L, "From this thickness on.", required=True),
                Field(
                    "dried", _T, "How far.", default="kiln dried", choices=tuple(str(each) for each in Dried)
                ),
                Field("rate", _T, 'Such as "5.50 per bf".', required=True, parse=_per_volume),
                Field("source", _T, "Where it was seen.", required=True),
                Field("date", Quantity.DATE, "When.", required=True),
            ),
            many=True,
        ),
        Table(
            "listing",
            "One piece put up for sale, sold or not.",
            (
                Field("name", _T, "As you call it.", required=True),
                Field("reference", _T, "What such a piece should bring.", required=True, parse=amount),
                Field(
                    "tags",
                    _T,
                    'Each price from its day: "2025-06-01: 900 USD".',
                    required=True,
                    many=True,
                    parse=_tag,
                ),
                Field("until", Quantity.DATE, "Day of the sale, or last seen unsold.", required=True),
                Field("sold", _F, "Whether it sold.", required=True),
            ),
            many=True,
        ),
    ),
)

"""The file of sales: own sales, comparables, listings and lumber rates, as a person writes them."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from pithline import units
from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.money.amount import Amount, amount
from pithline.money.listing import Listing
from pithline.money.piece import Dried, Piece, Sale
from pithline.saw.price import Price, price
from pithline.wood.species import species

__all__ = ["PIECE", "SALES", "LumberRate", "SalesBook", "piece_of", "read_sales"]

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


@dataclass(frozen=True, slots=True)
class LumberRate:
    """A rate of plain square-edged lumber, in the book's currency."""

    species: str
    thickness: float  # from this on [m]
    dried: Dried
    rate: float  # [money/m3]
    source: str
    day: datetime.date


@dataclass(frozen=True, slots=True)
class SalesBook:
    """All that the file tells; amounts in `currency`.

    Attributes
    ----------
    currency : str
    sales : tuple of Sale
        Own sales, then comparables.
    listings : tuple of Listing
    lumber : tuple of LumberRate
    """

    currency: str
    sales: tuple[Sale, ...]
    listings: tuple[Listing, ...]
    lumber: tuple[LumberRate, ...]

    def lumber_rate(self, piece: Piece) -> LumberRate | None:
        """Rate of the thickest stock that is no thicker than the piece, green or dried alike."""
        fits = [
            row
            for row in self.lumber
            if row.species == piece.species
            and row.thickness <= piece.thickness * (1 + 1e-9)
            and (row.dried is Dried.GREEN) == (piece.dried is Dried.GREEN)
        ]
        return max(fits, key=lambda row: (row.thickness, row.day), default=None)


def piece_of(got: Mapping[str, Any]) -> Piece:
    """The piece that a parsed row describes."""
    volume = got["volume"] or got["thickness"] * got["width"] * got["length"]
    return Piece(
        got["species"],
        got["thickness"],
        got["width"],
        got["length"],
        volume,
        Dried(got["dried"]),
        got["flattened"],
        got["pair"],
        got["live"],
        got["flawed"],
        got["figure"],
        (got["use"] or "").strip().lower(),
    )


def read_sales(raw: Mapping[str, Any]) -> SalesBook:
    """Read the whole file.

    Raises
    ------
    BadValue
        Unknown fields, sizes without a unit, no currency, a foreign price without a dated rate.
    """
    got = read(SALES, raw)
    code = _code(got)
    sales = [_own(row, n, code) for n, row in enumerate(got["sale"], 1)]
    sales += [_noted(row, n, code) for n, row in enumerate(got["comparable"], 1)]
    listings = [_listing(row, n, code) for n, row in enumerate(got["listing"], 1)]
    lumber = []
    for n, row in enumerate(got["lumber"], 1):
        its: Price = row["rate"]
        _same(its.currency, code, f"lumber[{n}].rate")
        lumber.append(
            LumberRate(
                row["species"], row["thickness"], Dried(row["dried"]), its.amount, row["source"], row["date"]
            )
        )
    return SalesBook(code, tuple(sales), tuple(listings), tuple(lumber))


def _code(got: Mapping[str, Any]) -> str:
    """The book's currency: said, or the first that an own sale, a listing or a comparable names."""
    if got["currency"]:
        code = str(got["currency"]).strip().upper()
        if not (len(code) == 3 and code.isascii() and code.isalpha()):
            raise BadValue("currency", code, "a three-letter code", 'Write for instance "USD".')
        return code
    found = [row["price"] for row in got["sale"]] + [row["reference"] for row in got["listing"]]
    codes = [each.code for each in found if each.code]
    if not codes:
        raise BadValue("currency", "missing", "given", 'Add currency = "USD" on top of the file.')
    return str(codes[0])


def _own(row: Mapping[str, Any], n: int, code: str) -> Sale:
    paid: Amount = row["price"]
    _same(paid.code, code, f"sale[{n}].price")
    return Sale(row["name"] or f"sale {n}", piece_of(row), _above_zero(paid), row["date"])


def _noted(row: Mapping[str, Any], n: int, code: str) -> Sale:
    seen: Amount = row["price"]
    value, noted = _above_zero(seen), f"{seen.value} {seen.code or code}"
    if seen.code and seen.code != code:
        where = f"comparable[{n}].exchange"
        if row["exchange"] is None or row["exchange_date"] is None:
            rule = f"given with its date for a price in {seen.code}"
            remedy = f'Add exchange = "1 {seen.code} = 1.08 {code}" and exchange_date.'
            raise BadValue(where, "missing", rule, remedy)
        start, rate, end = row["exchange"]
        if (start, end) == (code, seen.code):
            start, rate, end = end, 1 / rate, start
        if (start, end) != (seen.code, code):
            raise BadValue(where, f"from {start} to {end}", f"from {seen.code} to {code}")
        value *= rate
        noted += f" at {rate:.6g} of {row['exchange_date']}"
    return Sale(
        row["name"] or f"comparable {n}",
        piece_of(row),
        value,
        row["date"],
        False,
        row["asked"],
        row["source"],
        noted,
    )


def _listing(row: Mapping[str, Any], n: int, code: str) -> Listing:
    for money in (row["reference"], *(money for _, money in row["tags"])):
        _same(money.code, code, f"listing[{n}]")
    tags = tuple((day, float(money)) for day, money in row["tags"])
    return Listing(row["name"], _above_zero(row["reference"]), tags, row["until"], row["sold"])


def _same(code: str, book: str, field: str) -> None:
    if code and code != book:
        raise BadValue(field, code, f"in {book}, the currency of this file", "Convert it at your own rate.")


def _above_zero(money: Amount) -> float:
    if not money.value > 0:
        raise BadValue(money.field, str(money.value), "more than 0", "Leave out what was given away.")
    return float(money)


def show_sizes(pieces: Iterable[Piece], system: units.System) -> list[str]:
    """Sizes as a person reads them: 80 mm x 620 mm x 3.10 m."""
    return [
        " x ".join(
            (
                units.show_length(p.thickness, system),
                units.show_length(p.width, system),
                units.show_length(p.length, system, "long"),
            )
        )
        for p in pieces
    ]

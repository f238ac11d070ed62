"""The file of sales, read: own sales, comparables, listings and lumber rates in one currency."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pithline.errors import BadValue
from pithline.fields import read
from pithline.money.amount import Amount
from pithline.money.hold.listing import Listing
from pithline.money.price.piece import Dried, Piece, Sale
from pithline.money.price.sales_table import SALES
from pithline.saw.written.price import Price

__all__ = ["LumberRate", "SalesBook", "piece_of", "read_sales"]


@dataclass(frozen=True, slots=True)
class LumberRate:
    """A rate of plain square-edged lumber, in the book's currency."""

    species: str
    thickness: float  # from this on [m]
    dried: Dried
    rate: float  # [money/m3]
    source: str
    day: datetime.date

    def whence(self, piece: Piece) -> str:
        """Source and day; how dry that lumber is where the piece is not."""
        other = "" if self.dried is piece.dried else f", {self.dried} where this is {piece.dried}"
        return f"{self.source}, {self.day}{other}"


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
        """Rate of the thickest stock no thicker than the piece, as dry as it where there is one."""
        fits = [
            row
            for row in self.lumber
            if row.species == piece.species
            and row.thickness <= piece.thickness * (1 + 1e-9)
            and (row.dried is Dried.GREEN) == (piece.dried is Dried.GREEN)
        ]
        return max(fits, key=lambda row: (row.thickness, row.dried is piece.dried, row.day), default=None)


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

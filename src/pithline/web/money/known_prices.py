"""What the book knows of prices, read once for every state of the book, and what a piece brings by it."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from pithline.errors import BadValue
from pithline.money.price.piece import Dried
from pithline.yard.models import Entry, Slab
from pithline.yard.price_facts import piece_now, sales_book

if TYPE_CHECKING:
    from pithline.money.hold.listing_range import Learned
    from pithline.money.price.fit import Fit
    from pithline.money.price.piece import Piece
    from pithline.money.price.written import SalesBook

__all__ = ["Known", "known_prices"]


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """Sales, comparables, listings and lumber rates of the book.

    Attributes
    ----------
    book : SalesBook
    remarks : tuple of str
        What could not be used.
    fit : Fit or None
        Of all sales; None under `like_sales.ENOUGH` of them.
    learned : Learned
        Streams of buyers, by the law of limits that the listings fit better.
    odds : float
        How many times better.
    """

    book: SalesBook
    remarks: tuple[str, ...]
    fit: Fit | None
    learned: Learned
    odds: float

    def brings(self, piece: Piece) -> tuple[float, float, float] | None:
        """What a sale brings at 10, 50 and 90 %; None where nothing like it is known. [money]"""
        from pithline.money.price.asking import asking
        from pithline.money.price.like_sales import ENOUGH, like

        near = like(self.book.sales, piece)
        if len(near) >= ENOUGH and self.fit is not None:
            low, mid, high = self.fit.expected(piece)
            return low * piece.board_feet, mid * piece.board_feet, high * piece.board_feet
        try:
            return asking(piece, near).brings
        except BadValue:
            return None

    def green(self, slab: Slab) -> float:
        """What a slab would bring as it came off the saw; 0 where nobody knows. [money]"""
        return self._middle(slab, Dried.GREEN)

    def finished(self, slab: Slab) -> float:
        """What it brings dried at least in air; 0 where nobody knows. [money]"""
        return self._middle(slab, None)

    def _middle(self, slab: Slab, dried: Dried | None) -> float:
        try:
            piece = piece_now(slab)
        except BadValue:
            return 0.0
        if dried is not None:
            piece = replace(piece, dried=dried, flattened=False)
        elif piece.dried is Dried.GREEN:
            piece = replace(piece, dried=Dried.AIR)
        found = self.brings(piece)
        return found[1] if found else 0.0


def known_prices(today: datetime.date) -> Known:
    """The book's prices; read anew when an entry was made or a day has gone."""
    last = Entry.objects.order_by("-order").values_list("id", flat=True).first()
    return _known(str(last), today)


@lru_cache(maxsize=4)
def _known(last: str, today: datetime.date) -> Known:
    from pithline.money.hold.listing import spells
    from pithline.money.hold.listing_range import LAWS, learn
    from pithline.money.price.fit import fit_prices
    from pithline.money.price.like_sales import ENOUGH

    read, _ = sales_book(today)
    fit = fit_prices(read.sales) if len(read.sales) >= ENOUGH else None
    plain = Known(read, (), fit, learn(None), 1.0)

    def reference(slab: Slab) -> float | None:
        try:
            found = plain.brings(piece_now(slab))
        except BadValue:
            return None
        return found[1] if found else None

    # Listings that do not say what such a piece should bring are held against the book's own prices.
    book, remarks = sales_book(today, reference)
    cut = spells(book.listings) if book.listings else None
    worse, better = sorted((learn(cut, law) for law in LAWS), key=lambda each: each.evidence)
    odds = math.exp(min(better.evidence - worse.evidence, 700.0)) if cut is not None else 1.0
    return Known(book, remarks, fit, better, odds)

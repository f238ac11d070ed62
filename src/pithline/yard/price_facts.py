"""What the book knows of prices, as the money floor takes it. Amounts in whole units of currency."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import TYPE_CHECKING

from django.db.models import Prefetch, QuerySet

from pithline.errors import BadValue
from pithline.units import BOARD_FOOT
from pithline.yard.actions.selling import how_dry
from pithline.yard.cost_facts import major
from pithline.yard.models import Asked, Comparable, Listing, LumberRate, Pair, Sale, Size, Slab
from pithline.yard.money import currency

if TYPE_CHECKING:
    from pithline.money.hold.listing import Listing as Listed
    from pithline.money.price.piece import Piece
    from pithline.money.price.piece import Sale as Sold
    from pithline.money.price.written import SalesBook

__all__ = ["listings_of", "piece_now", "sales_book"]

# Figure that was noted without saying how much of the face shows it counts as half. A guess.
SOME_FIGURE = 0.5


def piece_now(slab: Slab) -> Piece:
    """A slab of stock as a buyer sees it.

    Raises
    ------
    BadValue
        It was not measured.
    """
    both = Pair.objects.filter(first=slab) | Pair.objects.filter(second=slab)
    return _piece(slab, how_dry(slab), slab.state == Slab.State.FLATTENED, both.exists(), "")


def sales_book(
    today: datetime.date, reference: Callable[[Slab], float | None] | None = None
) -> tuple[SalesBook, tuple[str, ...]]:
    """Everything the book knows of prices.

    Parameters
    ----------
    today : date
        Until which open listings are seen unsold.
    reference : callable, optional
        What a slab should bring, for listings that say nothing of it. [money]

    Returns
    -------
    book : SalesBook
        Own sales, then comparables; listings; rates of plain lumber.
    remarks : tuple of str
        What could not be used, and why.
    """
    from pithline.money.price.piece import Dried
    from pithline.money.price.written import LumberRate as Rate
    from pithline.money.price.written import SalesBook

    remarks: list[str] = []
    code = currency()
    lumber = tuple(
        Rate(row.species, row.thickness_m, Dried(row.dried), row.price_per_m3, row.source, row.seen_on)
        for row in LumberRate.objects.all()
    )
    sales = (*_own_sales(code, remarks), *_comparables())
    listings = tuple(listings_of(Listing.objects.all(), today, reference, remarks))
    return SalesBook(code, sales, listings, lumber), tuple(remarks)


def _own_sales(code: str, remarks: list[str]) -> list[Sold]:
    from pithline.money.price.piece import Sale as Sold

    found = []
    for sale in Sale.objects.select_related("slab__log").prefetch_related(_sizes("slab__sizes")):
        label = sale.slab.label
        if sale.price_minor <= 0:
            remarks.append(f"{label} was given away: no sale to learn from")
            continue
        try:
            piece = _piece(sale.slab, sale.dried, sale.flattened, sale.with_partner, sale.use)
        except BadValue as problem:
            remarks.append(f"{label}: {problem}")
            continue
        found.append(Sold(label, piece, major(sale.price_minor, code), sale.sold_on))
    return found


def _comparables() -> list[Sold]:
    from pithline.money.price.piece import Dried, Piece
    from pithline.money.price.piece import Sale as Sold

    found = []
    for n, row in enumerate(Comparable.objects.all(), 1):
        plain = row.thickness_m * row.width_m * row.length_m
        piece = Piece(
            row.species,
            row.thickness_m,
            row.width_m,
            row.length_m,
            row.volume_m3 or plain,
            Dried(row.dried),
            row.flattened,
            row.pair,
            row.live_edge,
            row.flawed,
            row.figure_share,
            row.use,
        )
        price = major(row.price_minor, row.currency)
        noted = f"{price:g} {row.currency}"
        if row.rate is not None:
            noted += f" at {row.rate:.6g} of {row.rate_on}"
            price *= row.rate
        name = row.what or f"comparable {n}"
        found.append(Sold(name, piece, price, row.seen_on, False, not row.paid, row.source, noted))
    return found


def listings_of(
    rows: QuerySet[Listing],
    today: datetime.date,
    reference: Callable[[Slab], float | None] | None,
    remarks: list[str],
) -> list[Listed]:
    """Listings with every price they bore; one without anything to set its prices against is left out."""
    from pithline.money.hold.listing import Listing as Listed

    code = currency()
    rows = rows.select_related("slab__log").prefetch_related(
        Prefetch("asked", Asked.objects.order_by("from_on"))
    )
    found = []
    for row in rows:
        name = " at ".join(part for part in (row.slab.label, row.where) if part)
        until = row.ends_on or today
        tags = tuple((tag.from_on, major(tag.asked_minor, code)) for tag in row.asked.all())
        against = major(row.reference_minor, code) if row.reference_minor else None
        if against is None and reference is not None:
            against = reference(row.slab)
        if against is None or not against > 0:
            remarks.append(f"{name}: not said what such a piece should bring; left out")
        elif not tags or until < tags[-1][0]:
            remarks.append(f"{name}: its price begins on {tags[-1][0] if tags else 'no day'}; left out")
        else:
            found.append(Listed(name, against, tags, until, row.end == Listing.End.SOLD))
    return found


def _sizes(path: str) -> Prefetch:
    return Prefetch(path, Size.objects.filter(current=True), to_attr="now")


def _piece(slab: Slab, dried: str, flattened: bool, pair: bool, use: str) -> Piece:
    from pithline.money.price.piece import Dried, Piece

    now = getattr(slab, "now", None) or list(slab.sizes.filter(current=True))
    size = now[0] if now else None
    if size is None or not (size.thickness_m and size.mean_width_m and size.length_m):
        raise BadValue("slab", slab.label, "measured: thickness, width and length", "Measure it anew.")
    volume = size.volume_m3 or size.thickness_m * size.mean_width_m * size.length_m
    if size.tally:
        volume = size.tally * (BOARD_FOOT if size.tally_unit == "bf" else 1.0)
    figure = slab.figure_share if slab.figure_share is not None else SOME_FIGURE * bool(slab.figure)
    return Piece(
        slab.species,
        size.thickness_m,
        size.mean_width_m,
        size.length_m,
        volume,
        Dried(dried),
        flattened,
        pair,
        True,
        bool(slab.flaws),
        figure,
        use,
    )

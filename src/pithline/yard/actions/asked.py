"""A listing's price from a day on."""

from __future__ import annotations

import datetime

from pithline.errors import BadValue
from pithline.yard.desk import Desk
from pithline.yard.models import Asked, Listing

__all__ = ["reprice"]


def reprice(desk: Desk, listing: Listing, day: datetime.date, asked_minor: int) -> None:
    """Ask another price from a day on; of two on one day the later entry holds.

    Raises
    ------
    BadValue
        A day before that of the last price.
    """
    last = listing.asked.order_by("-from_on").first()
    if last is not None and day < last.from_on:
        raise BadValue(
            "from_on", day, f"on or after {last.from_on}, the day of the last price", "Undo that entry first."
        )
    if last is not None and last.from_on == day:
        desk.change(last, asked_minor=asked_minor)
    elif last is None or last.asked_minor != asked_minor:
        desk.create(Asked, listing=listing, from_on=day, asked_minor=asked_minor)

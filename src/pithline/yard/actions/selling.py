"""Slabs put up for sale, offers, sales."""

from __future__ import annotations

import uuid
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.actions.asked import reprice
from pithline.yard.actions.slabs import SLAB, live_slab
from pithline.yard.actions.stays import NOWHERE, stay
from pithline.yard.desk import Desk
from pithline.yard.finding import by_name
from pithline.yard.kinds import entry
from pithline.yard.models import Contact, Dried, Listing, Offer, Sale, Slab
from pithline.yard.moments import today
from pithline.yard.money import amount, minor_units

__all__ = ["answer_offer", "list_slab", "note_offer", "sell_slab", "withdraw_slab"]

_T, _D = Quantity.TEXT, Quantity.DATE


@entry(
    Table(
        "list_slab",
        "A slab put up for sale, or its price there changed.",
        (
            SLAB,
            Field("asking", _T, 'What you ask: "480 USD".', required=True, parse=amount),
            Field("where", _T, "Where buyers see it.", default=""),
            Field("partner", _T, "The slab that it is offered with as a pair, by number."),
            Field("reference", _T, "What such a piece should bring by your own rates.", parse=amount),
            Field("from_on", _D, "The day; else today."),
            Field("note", _T, "Whatever else."),
        ),
    ),
    "Put a slab up for sale",
)
def list_slab(desk: Desk, said: dict[str, Any]) -> Listing:
    """List a slab, or change the price of one that is listed there already."""
    slab, day = live_slab(said["slab"]), said["from_on"] or today()
    values: dict[str, Any] = {"note": said["note"]} if said["note"] is not None else {}
    if said["partner"]:
        values["partner"] = live_slab(said["partner"], "partner")
        if values["partner"] == slab:
            raise BadValue("partner", said["partner"], "another slab")
    asked = minor_units(said["asking"])
    if not asked:
        raise BadValue(
            "asking", str(said["asking"].value), "more than 0", "What is given away is sold for 0."
        )
    reference = minor_units(said["reference"])
    if reference is not None:
        values["reference_minor"] = reference
    assert asked is not None
    listing = Listing.objects.filter(slab=slab, where=said["where"], ends_on=None).first()
    if listing is None:
        listing = desk.create(Listing, slab=slab, where=said["where"], begins_on=day, **values)
    elif values:
        listing = desk.change(listing, **values)
    reprice(desk, listing, day, asked)
    desk.change(slab, asking_minor=asked)
    return listing


@entry(
    Table(
        "withdraw_slab",
        "A slab taken off sale, unsold.",
        (
            SLAB,
            Field("where", _T, "Where; else everywhere."),
            Field("ended_on", _D, "The day; else today."),
            Field("why", _T, "What for.", default=""),
        ),
    ),
    "Take a slab off sale",
)
def withdraw_slab(desk: Desk, said: dict[str, Any]) -> Slab:
    """End listings of a slab; what was asked and for how long stays known."""
    slab = live_slab(said["slab"])
    up = Listing.objects.filter(slab=slab, ends_on=None)
    if said["where"] is not None:
        up = up.filter(where=said["where"])
    if not up.exists():
        raise BadValue("slab", said["slab"], "up for sale there")
    for listing in up:
        _end(desk, listing, said["ended_on"] or today(), "withdrawn", said["why"])
    return slab


@entry(
    Table(
        "sell_slab",
        "A slab sold.",
        (
            SLAB,
            Field("price", _T, "Paid for this slab; of a pair, its share.", required=True, parse=amount),
            Field("sold_on", _D, "The day; else today."),
            Field("buyer", _T, "By name."),
            Field("dried", _T, "How far; else by what the book knows of it.", choices=tuple(Dried.values)),
            Field("flattened", Quantity.FLAG, "Sold flattened; else by what the book knows of it."),
            Field("pair", Quantity.FLAG, "Sold as one of a pair.", default=False),
            Field("where", _T, "Where the buyer saw it, as it was listed."),
            Field("use", _T, 'What it is to be: "table".', default=""),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Sell a slab",
)
def sell_slab(desk: Desk, said: dict[str, Any]) -> Sale:
    """Sell a slab: it leaves its stack, and its listings end."""
    slab, day = live_slab(said["slab"]), said["sold_on"] or today()
    up = list(Listing.objects.filter(slab=slab, ends_on=None))
    seen = [one for one in up if said["where"] is None or one.where == said["where"]]
    if said["where"] is not None and not seen:
        raise BadValue("where", said["where"], "a place where it is listed")
    sold_by = seen[0] if len(seen) == 1 else None
    for listing in up:
        # Where nobody said which listing it was, the sale ends each of them as one.
        _end(desk, listing, day, "sold" if sold_by in (listing, None) else "withdrawn", "")
    flat = said["flattened"]
    sale = desk.create(
        Sale,
        slab=slab,
        listing=sold_by,
        buyer=by_name(Contact, said["buyer"], "buyer") if said["buyer"] else None,
        sold_on=day,
        price_minor=minor_units(said["price"]),
        dried=said["dried"] or how_dry(slab),
        flattened=slab.state == Slab.State.FLATTENED if flat is None else flat,
        with_partner=said["pair"],
        use=said["use"].lower(),
        note=said["note"],
    )
    stay(desk, slab, None, day)
    desk.change(slab, state=Slab.State.SOLD, **NOWHERE)
    return sale


def how_dry(slab: Slab) -> str:
    """How far a slab is dried, by its state and by whether it came out of a kiln."""
    if slab.loads.exclude(load__ended_at=None).exists():
        return str(Dried.KILN)
    return str(Dried.AIR if slab.state in (Slab.State.DRY, Slab.State.FLATTENED) else Dried.GREEN)


@entry(
    Table(
        "note_offer",
        "What somebody would pay for a slab.",
        (
            SLAB,
            Field("amount", _T, 'How much: "400 USD".', required=True, parse=amount),
            Field("contact", _T, "Who, by name."),
            Field("made_on", _D, "The day; else today."),
            Field("good_until", _D, "Until when it stands."),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "An offer",
)
def note_offer(desk: Desk, said: dict[str, Any]) -> Offer:
    """Keep an offer."""
    made = said["made_on"] or today()
    if said["good_until"] is not None and said["good_until"] < made:
        raise BadValue("good_until", said["good_until"], f"on or after {made}, the day it was made")
    return desk.create(
        Offer,
        slab=live_slab(said["slab"]),
        contact=by_name(Contact, said["contact"], "contact") if said["contact"] else None,
        amount_minor=minor_units(said["amount"]),
        made_on=made,
        good_until=said["good_until"],
        note=said["note"],
    )


@entry(
    Table(
        "answer_offer",
        "What was said to an offer. A taken one is no sale yet.",
        (
            Field("offer", _T, "Its identity.", required=True),
            Field("answer", _T, "What was said.", required=True, choices=tuple(Offer.Answer.values)),
            Field("answered_on", _D, "The day; else today."),
        ),
    ),
    "Answer an offer for a slab",
)
def answer_offer(desk: Desk, said: dict[str, Any]) -> Offer:
    """Close an offer, or open it again."""
    try:
        offer = Offer.objects.filter(pk=uuid.UUID(said["offer"])).first()
    except ValueError:
        offer = None
    if offer is None:
        raise BadValue("offer", said["offer"], "an offer in the book")
    opened = said["answer"] == Offer.Answer.OPEN
    return desk.change(
        offer, answer=said["answer"], answered_on=None if opened else said["answered_on"] or today()
    )


def _end(desk: Desk, listing: Listing, day: Any, end: str, why: str) -> None:
    last = listing.asked.order_by("-from_on").first()
    first = last.from_on if last else listing.begins_on
    if day < first:
        raise BadValue("ended_on", day, f"on or after {first}, the day of its last price")
    note = "\n".join(part for part in (listing.note, why) if part)
    desk.change(listing, ends_on=day, end=end, note=note)

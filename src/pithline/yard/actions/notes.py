"""What is written or pictured about a record, and sizes that buyers ask for."""

from __future__ import annotations

from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table
from pithline.yard.desk import Desk
from pithline.yard.files import stored
from pithline.yard.finding import by_name, record_about
from pithline.yard.kinds import entry
from pithline.yard.models import Attachment, Contact, Note, Want
from pithline.yard.money import amount, minor_units

__all__ = ["ask_for", "attach_photo", "detach_photo", "settle_want", "write_note"]

_T, _L = Quantity.TEXT, Quantity.LENGTH
ABOUT = Field(
    "about",
    _T,
    'What it is about: "log 14", "slab 14-3", "plan 14/2", "place ridge shed".',
    required=True,
)


@entry(
    Table(
        "write_note", "A note about any record.", (ABOUT, Field("text", _T, "What you note.", required=True))
    ),
    "Write a note",
)
def write_note(desk: Desk, said: dict[str, Any]) -> Note:
    """Keep a note about a record."""
    about = record_about(said["about"])
    if not said["text"]:
        raise BadValue("text", "", "more than nothing")
    return desk.create(Note, subject=about.pk, subject_kind=type(about).__name__, text=said["text"])


@entry(
    Table(
        "attach_photo",
        "A photo or another file that was handed in, put to a record.",
        (
            ABOUT,
            Field("file", _T, "Its SHA-256, as told when it was handed in.", required=True),
            Field("kind", _T, "What it is.", default="photo", choices=tuple(Attachment.Kind.values)),
            Field("caption", _T, "What it shows.", default=""),
        ),
    ),
    "Attach a photo",
)
def attach_photo(desk: Desk, said: dict[str, Any]) -> Attachment:
    """Put a stored file to a record."""
    about, file = record_about(said["about"]), stored(said["file"])
    return desk.create(
        Attachment,
        file=file,
        subject=about.pk,
        subject_kind=type(about).__name__,
        kind=said["kind"],
        caption=said["caption"],
    )


@entry(
    Table(
        "detach_photo",
        "A photo that does not belong to its record after all.",
        (ABOUT, Field("file", _T, "Its SHA-256.", required=True)),
    ),
    "Take a photo off",
)
def detach_photo(desk: Desk, said: dict[str, Any]) -> Attachment:
    """Take a file off a record; its bytes stay in the store."""
    about = record_about(said["about"])
    found = Attachment.objects.filter(subject=about.pk, file=stored(said["file"])).first()
    if found is None:
        raise BadValue("file", said["file"], f"attached to {said['about']}")
    gone = Attachment(pk=found.pk)
    desk.remove(found)
    return gone


@entry(
    Table(
        "ask_for",
        "A size that somebody asked for.",
        (
            Field("what", _T, "What it is to be: table top, bar, bench.", required=True),
            Field("contact", _T, "Who asked, by name."),
            Field(
                "form",
                _T,
                "What is to be cut of the slab.",
                default="rectangle",
                choices=tuple(Want.Form.values),
            ),
            Field("species", _T, "Which wood; left out, any."),
            Field(
                "length", _L, "Finished; of a round its diameter.", required=True, least="5 cm", most="30 m"
            ),
            Field("width", _L, "Finished; of a round left out.", least="1 cm", most="5 m"),
            Field("thickness", _L, "Finished; left out, any.", least="1 mm", most="1 m"),
            Field("count", Quantity.COUNT, "How many.", default=1, least="1", most="1000"),
            Field("wanted_by", Quantity.DATE, "The day it is needed."),
            Field("offer", _T, 'What they would pay: "900 USD".', parse=amount),
            Field("note", _T, "Whatever else.", default=""),
        ),
    ),
    "Asked for",
)
def ask_for(desk: Desk, said: dict[str, Any]) -> Want:
    """Keep what somebody wants, to be matched to slabs and plans."""
    from pithline.wood.species import species

    across = said["width"] or (said["length"] if said["form"] == Want.Form.ROUND else None)
    if across is None:
        raise BadValue("width", "missing", "given for everything but a round")
    return desk.create(
        Want,
        what=said["what"],
        contact=by_name(Contact, said["contact"], "contact") if said["contact"] else None,
        form=said["form"],
        species=species(said["species"], "species").name if said["species"] else "",
        length_m=said["length"],
        width_m=across,
        thickness_m=said["thickness"],
        count=said["count"],
        wanted_by=said["wanted_by"],
        offer_minor=minor_units(said["offer"]),
        note=said["note"],
    )


@entry(
    Table(
        "settle_want",
        "What was asked for is met, or no longer wanted.",
        (
            Field("want", _T, "Its identity.", required=True),
            Field("met", Quantity.FLAG, "Done with; false opens it again.", default=True),
        ),
    ),
    "Settle what was asked for",
)
def settle_want(desk: Desk, said: dict[str, Any]) -> Want:
    """Close a wish, or open it again."""
    want = record_about(f"want {said['want']}", "want")
    assert isinstance(want, Want)
    return desk.change(want, met=said["met"])

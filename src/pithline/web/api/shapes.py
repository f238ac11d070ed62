"""What the API takes and gives: the records' own columns, with their units in the names."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any, Literal
from uuid import UUID

from ninja import ModelSchema, Schema
from pydantic import AwareDatetime, Field

from pithline.yard.models import Contact, Entry, Log, Place, Plan, Size, Slab, Stack

__all__ = [
    "About",
    "ContactOut",
    "DoneOut",
    "EntryIn",
    "EntryOut",
    "Journal",
    "KindOut",
    "LogOut",
    "LogWhole",
    "Logs",
    "PlaceOut",
    "PlanOut",
    "PlanWhole",
    "Plans",
    "Problem",
    "SlabOut",
    "Slabs",
    "StackOut",
    "Undo",
    "Window",
    "answers",
]

# What a phone's clock may plausibly say; it decides nothing, but it has to fit a calendar.
_Instant = Annotated[
    AwareDatetime, Field(ge=datetime(2000, 1, 1, tzinfo=UTC), le=datetime(2200, 1, 1, tzinfo=UTC))
]
_LINE = r"^[^\x00-\x1f\x7f]*$"


class About(Schema):
    """Which program answers."""

    program: Literal["pithline"] = "pithline"
    version: str


class Problem(Schema):
    """Why something was refused: which field, what it held, the rule, and what to do."""

    message: str
    field: str = ""
    value: str = ""
    rule: str = ""
    remedy: str = ""


def answers(done: Any, *refused: int) -> dict[int, Any]:
    """What an address may answer, for its description: as asked, or one of the refusals."""
    return {200: done, **dict.fromkeys(sorted({401, 422, 429, *refused}), Problem)}


class Window(Schema):
    """Which part of a long list."""

    limit: int = Field(100, ge=1, le=500)
    offset: int = Field(0, ge=0, le=1_000_000)


class KindOut(Schema):
    """One kind of entry, with the JSON Schema of its words."""

    name: str
    title: str
    undoable: bool
    words: dict[str, Any] = Field(description="JSON Schema of `said`.")


class EntryIn(Schema):
    """One entry to be made, in words as a person types them."""

    kind: str = Field(max_length=60, description="A name from /api/kinds.")
    said: dict[str, Any] = Field(description="Words by the kind's schema, sizes with their units.")
    made_at: _Instant | None = Field(None, description="By the device's clock.")
    device: str = Field("", max_length=80, pattern=_LINE)
    zone: str = Field("", max_length=60, pattern=r"^[A-Za-z0-9_+/-]*$", description="Time zone of the place.")


class Undo(Schema):
    """An undo is an entry too; without an identity it gets one that follows from the entry undone."""

    id: UUID | None = None
    device: str = Field("", max_length=80, pattern=_LINE)


class EntryOut(ModelSchema):
    """A line of the journal."""

    undone: bool

    class Meta:
        model = Entry
        exclude = ("changes", "undone_by")

    @staticmethod
    def resolve_undone(line: Entry) -> bool:
        """Whether a later entry took it back."""
        return line.undone_by_id is not None


class DoneOut(Schema):
    """What became of an entry."""

    entry: EntryOut
    repeated: bool = Field(description="It was known already; nothing was done again.")
    number: str = Field(description="Of the record on the wood or in the book; empty where it has none.")


class LogOut(ModelSchema):
    """A log."""

    class Meta:
        model = Log
        exclude = ("record",)


class LogWhole(ModelSchema):
    """A log with what was measured, as typed."""

    class Meta:
        model = Log
        fields = "__all__"


class SizeOut(ModelSchema):
    """A slab's size in one state."""

    class Meta:
        model = Size
        exclude = ("slab", "outline")


class SlabOut(ModelSchema):
    """A slab, its number on the wood and its present size."""

    label: str
    size: SizeOut | None

    class Meta:
        model = Slab
        fields = "__all__"

    @staticmethod
    def resolve_size(slab: Slab) -> Size | None:
        """What holds now, from the sizes fetched beside the slabs."""
        return next((size for size in slab.sizes.all() if size.current), None)


class PlanOut(ModelSchema):
    """A plan, without its long answer."""

    class Meta:
        model = Plan
        exclude = ("inputs", "answer")


class PlanWhole(ModelSchema):
    """A plan with what went in and the whole plan document."""

    class Meta:
        model = Plan
        fields = "__all__"


class StackOut(ModelSchema):
    """A stack."""

    class Meta:
        model = Stack
        fields = "__all__"


class PlaceOut(ModelSchema):
    """A place."""

    class Meta:
        model = Place
        fields = "__all__"


class ContactOut(ModelSchema):
    """A person."""

    class Meta:
        model = Contact
        fields = "__all__"


class Logs(Schema):
    """Part of the logs, newest number first, and how many there are."""

    count: int
    items: list[LogOut]


class Slabs(Schema):
    """Part of the slabs, and how many there are."""

    count: int
    items: list[SlabOut]


class Plans(Schema):
    """Part of the plans, newest first, and how many there are."""

    count: int
    items: list[PlanOut]


class Journal(Schema):
    """Part of the journal in the book's own order, and how many lines there are."""

    count: int
    items: list[EntryOut]

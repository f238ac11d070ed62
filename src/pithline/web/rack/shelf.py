"""What the rack reads from the book: slabs with all that a row shows, in a fixed count of queries."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, F, Prefetch, Q, QuerySet
from django.urls import reverse

from pithline.sheets.slab_outline import slab_thumb
from pithline.sheets.stack_view import Bar, stack_view
from pithline.units import System
from pithline.web.rack.paper import TEXT, WIDTH
from pithline.yard.actions.slabs import GONE
from pithline.yard.models import Attachment, Pair, Size, Slab, Stack
from pithline.yard.sizing import outline_of

__all__ = ["Row", "drawn", "in_order", "offers", "rows", "slabs_in", "stacks_with", "woods"]

_ORDER: Mapping[str, tuple[Any, ...]] = {
    "number": (),
    "species": ("species",),
    "thickest": (F("sizes__thickness_m").desc(nulls_last=True),),
    "longest": (F("sizes__length_m").desc(nulls_last=True),),
    "widest": (F("sizes__mean_width_m").desc(nulls_last=True),),
    "newest": ("-created_at",),
    "dearest": (F("asking_minor").desc(nulls_last=True),),
}
_BY_SIZE = {"thickest", "longest", "widest"}
_NUMBER = (F("log__number").desc(nulls_last=True), "number", "suffix")


@dataclass(frozen=True, slots=True)
class Row:
    """One slab as the list shows it."""

    slab: Slab
    size: Size | None
    thumb: str
    photo: str  # SHA-256, "" = none
    paired: tuple[str, ...]


def slabs_in(values: Mapping[str, Any]) -> QuerySet[Slab]:
    """Slabs that were asked for, in no order yet."""
    found = Slab.objects.all()
    state = values["state"]
    if state == "in stock":
        found = found.exclude(state__in=GONE)
    elif state != "all":
        found = found.filter(state=state)
    texts = {
        "species": "species__icontains",
        "nominal": "nominal__iexact",
        "place": "place__name__iexact",
        "stack": "stack__name__iexact",
        "owner": "owner",
    }
    found = found.filter(**{column: values[name] for name, column in texts.items() if values[name]})
    if values["log"]:
        number = values["log"]
        known = number.isascii() and number.isdigit() and len(number) < 10
        found = found.filter(log__number=int(number)) if known else found.none()
    sizes = {
        "least_thickness": "sizes__thickness_m__gte",
        "most_thickness": "sizes__thickness_m__lte",
        "least_length": "sizes__length_m__gte",
        "least_width": "sizes__mean_width_m__gte",
    }
    # A hair of 0.1 mm: 3 in and 76.2 mm are one thickness, however they were kept.
    hair = {"gte": -1e-4, "lte": 1e-4}
    asked = {column: values[name] + hair[column[-3:]] for name, column in sizes.items() if values[name]}
    if asked or values["sort"] in _BY_SIZE:
        found = found.filter(sizes__current=True, **asked)
    if values["pair"]:
        both = Q(pairs_as_first__isnull=False) | Q(pairs_as_second__isnull=False)
        pks = Slab.objects.filter(both).values("pk")
        found = found.filter(pk__in=pks) if values["pair"] == "paired" else found.exclude(pk__in=pks)
    return found


def in_order(found: QuerySet[Slab], sort: str) -> QuerySet[Slab]:
    """The same in the order asked for; what is equal by the numbers on the wood."""
    return found.order_by(*_ORDER[sort], *_NUMBER)


def rows(slabs: QuerySet[Slab]) -> list[Row]:
    """Everything that the list shows of these slabs: four queries, however many they are."""
    now = Prefetch("sizes", Size.objects.filter(current=True), to_attr="now")
    some = list(slabs.select_related("log", "place", "stack", "owner_contact").prefetch_related(now))
    pks = [slab.pk for slab in some]
    photos = _photos(pks)
    pairs = _pairs(pks)
    told = []
    for slab in some:
        size = slab.now[0] if slab.now else None
        outline = outline_of(size) if size else None
        thumb = slab_thumb(outline) if outline else ""
        told.append(Row(slab, size, thumb, photos.get(slab.pk, ""), tuple(sorted(pairs.get(slab.pk, ())))))
    return told


def _photos(pks: list[uuid.UUID]) -> dict[uuid.UUID, str]:
    """The first photo of each slab."""
    found = Attachment.objects.filter(subject__in=pks, kind=Attachment.Kind.PHOTO).order_by("-created_at")
    return dict(found.values_list("subject", "file__sha256"))


def _pairs(pks: list[uuid.UUID]) -> dict[uuid.UUID, list[str]]:
    """Labels of the partners of each slab."""
    found: dict[uuid.UUID, list[str]] = {}
    both = Q(first__in=pks) | Q(second__in=pks)
    for pair in Pair.objects.filter(both).select_related("first__log", "second__log"):
        found.setdefault(pair.first_id, []).append(pair.second.label)
        found.setdefault(pair.second_id, []).append(pair.first.label)
    return found


def stacks_with() -> QuerySet[Stack]:
    """Stacks with the count of their slabs, the newest first."""
    return Stack.objects.select_related("place").annotate(pieces=Count("slabs")).order_by("-created_at")


def drawn(stacks: Iterable[Stack], system: System, marked: str = "") -> list[tuple[Stack, str, list[Slab]]]:
    """Each stack's picture, and the slabs in it that lie in no layer; three queries for all."""
    stacks = list(stacks)
    now = Prefetch("sizes", Size.objects.filter(current=True).defer("outline"), to_attr="now")
    inside = Slab.objects.filter(stack__in=stacks).select_related("log").prefetch_related(now)
    of: dict[uuid.UUID, list[Slab]] = {}
    for slab in inside.order_by("layer", "spot"):
        of.setdefault(slab.stack_id, []).append(slab)
    pictures = []
    for stack in stacks:
        slabs = of.get(stack.pk, [])
        bars = [_bar(slab, slab.label == marked) for slab in slabs if slab.layer]
        picture = ""
        if bars:
            picture = stack_view(bars, stack.name, system, stack.sticker_m, width=WIDTH, text=TEXT)
        pictures.append((stack, picture, [slab for slab in slabs if not slab.layer]))
    return pictures


def _bar(slab: Slab, marked: bool) -> Bar:
    size = slab.now[0] if slab.now else None
    return Bar(
        label=slab.label,
        width=size.mean_width_m if size else None,
        thickness=size.thickness_m if size else None,
        layer=slab.layer or 1,
        spot=slab.spot,
        href=reverse("rack:slab", args=[slab.label]),
        marked=marked,
    )


def woods() -> list[str]:
    """Every wood that lies in the book."""
    return list(Slab.objects.order_by("species").values_list("species", flat=True).distinct()[:200])


def offers() -> dict[str, list[str]]:
    """Names that the fields of the rack may take."""
    from pithline.web.names import places, stacks

    return {"species": woods(), "place": places(), "stack": stacks()}

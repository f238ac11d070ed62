"""One slab: its sizes, where it lay in its log, what came of it, and everything entered about it."""

from __future__ import annotations

from typing import Any

from django.db.models import Q, TextField
from django.db.models.functions import Cast
from django.http import Http404

from pithline.errors import BadValue
from pithline.sheets.slab_outline import slab_outline
from pithline.sheets.slab_place import slab_place
from pithline.units import System
from pithline.web.rack.paper import TEXT, WIDTH
from pithline.web.story import Line, line_of
from pithline.yard.finding import slab_of
from pithline.yard.models import Attachment, Entry, Note, Pair, Size, Slab
from pithline.yard.sizing import outline_of

__all__ = ["current_size", "find", "history", "partners", "piece"]


def find(number: str) -> Slab:
    """The slab with this number on it.

    Raises
    ------
    Http404
        None has it.
    """
    try:
        found = slab_of(number)
    except BadValue as wrong:
        raise Http404(str(wrong)) from None
    related = ("log", "plan", "place", "stack", "owner_contact")
    return Slab.objects.select_related(*related).get(pk=found.pk)


def piece(slab: Slab, system: System) -> dict[str, Any]:
    """Everything that the page shows, but the forms."""
    sizes = list(slab.sizes.order_by("-created_at"))
    now = next((size for size in sizes if size.current), None)
    outline = outline_of(now) if now else None
    drawing = ""
    if outline:
        drawing = slab_outline(outline, system, title=f"slab {slab.label}", width=WIDTH, text=TEXT)
    lay = slab_place(slab.plan.answer, slab.planned_number) if slab.plan and slab.planned_number else ""
    return {
        "slab": slab,
        "sizes": sizes,
        "size": now,
        "carried": (now.outline or {}).get("carried_over", []) if now else [],
        "drawing": drawing,
        "lay": lay,
        "pairs": partners(slab),
        "loads": list(slab.loads.select_related("load")),
        "parents": list(slab.came_from.select_related("parent__log")),
        "children": list(slab.became.select_related("child__log")),
        "photos": list(Attachment.objects.filter(subject=slab.pk).select_related("file")),
        "notes": list(Note.objects.filter(subject=slab.pk)),
        "journal": history(slab),
        "system": system,
    }


def partners(slab: Slab) -> list[Slab]:
    """Slabs that it is paired with."""
    both = Pair.objects.filter(Q(first=slab) | Q(second=slab)).select_related("first__log", "second__log")
    return [pair.second if pair.first_id == slab.pk else pair.first for pair in both]


def history(slab: Slab) -> list[Line]:
    """Every entry that is about the slab or changed it, the newest first.

    An entry for many slabs is about one of them; the others are found in the rows it changed.
    """
    # Not icontains: a text of JSON has the identity in one case only, and a plain match is quicker.
    touched = Entry.objects.annotate(text=Cast("changes", TextField()))
    found = touched.filter(Q(subject=slab.pk) | Q(text__contains=str(slab.pk)))
    return [line_of(entry) for entry in found.order_by("-order")[:200]]


def current_size(slab: Slab) -> Size | None:
    """What holds now."""
    return slab.sizes.filter(current=True).first()

"""What can be entered on a stack's page, each by its entry kind."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Q
from django.urls import reverse

from pithline.web.forms import Form, form_of
from pithline.web.names import places
from pithline.yard.models import Sample, Slab, Stack

__all__ = ["ACTS", "Act", "act_form"]


@dataclass(frozen=True, slots=True)
class Act:
    """One thing to do: its kind, what it is called, and the field that names stack or place."""

    kind: str
    title: str
    button: str
    names: str = ""


ACTS = (
    Act("weigh_piece", "Weigh a witness block, sample board or slab", "Keep this weight"),
    Act("read_meter", "Read a moisture meter", "Keep this reading"),
    Act("cut_sample", "Cut a witness block or sample board", "Keep this sample", "stack"),
    Act("change_sample", "What a sample weighed out of the oven; it is done", "Keep this"),
    Act("begin_phase", "It dries elsewhere from a day on: yard, shed, indoors, kiln", "Keep this", "stack"),
    Act(
        "lay_stack",
        "How it is laid: layers, stickers, bolsters, weight, what the floor bears",
        "Keep this",
        "stack",
    ),
    Act("cover_stack", "Roof and shade", "Keep this", "stack"),
    Act("seal_ends", "Ends are sealed", "They are sealed"),
    Act("set_months", "The months of its place", "Keep these months", "place"),
)
_BY_KIND = {act.kind: act for act in ACTS}


def act_form(stack: Stack, kind: str) -> Form | None:
    """The form of one act; None where there is no such act, or no place whose months could be told."""
    act = _BY_KIND.get(kind)
    if act is None or (act.names == "place" and stack.place is None):
        return None
    fixed = {"stack": stack.name} if act.names == "stack" else {}
    if act.names == "place" and stack.place:
        fixed = {"place": stack.place.name}
    near = Q(stack=stack) | Q(slab__stack=stack)
    slabs = [slab.label for slab in Slab.objects.filter(stack=stack).select_related("log")[:200]]
    offers = {
        "slab": slabs,
        "sample": list(
            Sample.objects.filter(near, done=False).distinct().values_list("name", flat=True)[:200]
        ),
        "place": places(),
        "like": _shipped(),
    }
    said: dict[str, object] = {"slabs": slabs} if kind == "seal_ends" else {}
    if kind == "lay_stack":
        said = {"slabs": _layers(stack)}
    skip = ("log",) if kind == "seal_ends" else ()
    return form_of(
        kind,
        reverse("drying:do", args=[stack.pk, kind]),
        button=act.button,
        fixed=fixed,
        said=said,
        skip=skip,
        offers=offers,
    )


def _shipped() -> list[str]:
    """Places of the shipped table."""
    from pithline.dry.printed import rows

    return list(dict.fromkeys(row["place"] for row in rows("months.csv")))


def _layers(stack: Stack) -> list[dict[str, str]]:
    """Slabs as they lie now, bottom first: changed where they were laid otherwise."""
    inside = Slab.objects.filter(stack=stack).select_related("log").order_by("layer", "spot")
    rows = []
    for slab in inside[:200]:
        told = {"slab": slab.label, "layer": slab.layer, "spot": slab.spot}
        rows.append({name: str(value) for name, value in told.items() if value is not None})
    return rows

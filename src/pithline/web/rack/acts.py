"""What can be done with one slab from its page, each by its entry kind."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from pithline.units import System, show_length
from pithline.web.forms import Form, form_of
from pithline.web.names import contacts, places, stacks
from pithline.yard.actions.slabs import GONE
from pithline.yard.models import Size, Slab
from pithline.yard.money import shown

__all__ = ["ACTS", "Act", "act_form", "acts_for"]


@dataclass(frozen=True, slots=True)
class Act:
    """One thing to do: its kind, what it is called, the field that names the slab."""

    kind: str
    title: str
    button: str
    names: str = "slab"
    of_gone: bool = False  # also for a slab that is no longer there


ACTS = (
    Act("move_slab", "Move it", "Move it", "slabs"),
    Act("resize_slab", "Measure it anew: dried, flattened, put right", "Keep this size"),
    Act("split_slab", "Cut it up", "It is cut up"),
    Act("pair_slabs", "Pair it with another", "They are a pair", "first"),
    Act("unpair_slabs", "Part a pair", "Part them", "first"),
    Act("price_slab", "Cost and price", "Keep these amounts", of_gone=True),
    Act("share_slab", "Whose it is", "Keep this", "slabs", of_gone=True),
    Act(
        "change_slab",
        "Trade thickness, pith, figure, day, note: put right what is written",
        "Keep this",
        of_gone=True,
    ),
    Act("write_note", "Write a note", "Keep this note", "about", of_gone=True),
    Act("scrap_slab", "Scrap it", "It is scrapped"),
)
_BY_KIND = {act.kind: act for act in ACTS}


def acts_for(slab: Slab, paired: bool) -> list[Act]:
    """What can be done with this slab now."""
    gone = slab.state in GONE
    return [a for a in ACTS if (a.of_gone or not gone) and (a.kind != "unpair_slabs" or paired)]


def act_form(slab: Slab, kind: str, size: Size | None, system: System) -> Form | None:
    """The form of one act, with what the book knows already; None where there is no such act."""
    act = _BY_KIND.get(kind)
    if act is None:
        return None
    name = f"slab {slab.label}" if act.names == "about" else slab.label
    return form_of(
        kind,
        reverse("rack:do", args=[slab.label, kind]),
        button=act.button,
        fixed={act.names: [name] if act.names == "slabs" else name},
        said=_said(slab, kind, size, system),
        offers={"place": places(), "stack": stacks(), "contact": contacts()},
        changes=kind == "change_slab",
    )


def _said(slab: Slab, kind: str, size: Size | None, system: System) -> dict[str, object]:
    match kind:
        case "resize_slab" if size and size.length_m:
            return {"length": show_length(size.length_m, system, "long", fine=True)}
        case "change_slab":
            said = {name: getattr(slab, name) or "" for name in ("nominal", "figure", "sawn_on", "note")}
            return said if slab.holds_pith is None else {**said, "holds_pith": slab.holds_pith}
        case "price_slab":
            amounts = {"asking": slab.asking_minor, "cost": slab.cost_minor}
            return {name: shown(minor) for name, minor in amounts.items() if minor is not None}
        case "share_slab":
            return {"owner": slab.owner}
        case _:
            return {}

"""What fits into a slab or its pair, asked for by a person and drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.sheets.slab_outline import fit_words, glued_outline, slab_outline
from pithline.slab.clear import Allowance
from pithline.slab.fits import Fit, largest_rectangle, pair_top
from pithline.slab.ovals import glued, largest_oval, largest_round, polygons
from pithline.units import System, show_length
from pithline.web.inputs import Asking, asked, place_of
from pithline.web.rack.left import Left, left_of
from pithline.web.rack.paper import TEXT, WIDTH
from pithline.web.rack.piece import current_size
from pithline.yard.models import Size, Slab
from pithline.yard.preferences import setting
from pithline.yard.sizing import outline_of

__all__ = ["ASKED", "Fitted", "fitted"]

TURNS = tuple(np.radians([0, *(side * a for a in range(1, 7) for side in (1, -1))]))
_FORMS = ("rectangle", "oval", "round", "pair's rectangle", "pair's oval", "pair's round")

ASKED = Table(
    "fits",
    "The largest that can be cut of it, once it is dry and flat.",
    (
        Field("form", Quantity.TEXT, "What is to be cut.", default="rectangle", choices=_FORMS),
        Field("end_trim", Quantity.LENGTH, "Checked wood at each end.", default="50 mm", most="3 m"),
        Field(
            "edge_strip",
            Quantity.LENGTH,
            "Strip off along each edge under the bark.",
            default="0 mm",
            most="1 m",
        ),
        Field(
            "pith_strip", Quantity.LENGTH, "Left out to either side of the pith; empty keeps it.", most="1 m"
        ),
        Field("may_lie_askew", Quantity.FLAG, "Up to 6 degrees.", default=False),
    ),
)


@dataclass(frozen=True, slots=True)
class Fitted:
    """A drawing with the words beside it."""

    inputs: tuple[Any, ...]
    drawing: str = ""
    told: str = ""
    thickness: str = ""
    why: tuple[str, ...] = ()
    refused: bool = False


def fitted(slab: Slab, partner: Slab | None, said: Mapping[str, Any], system: System) -> Fitted:
    """The largest form of what was asked for; the pair's where there is a partner."""
    problems: dict[str, str] = {}
    try:
        wish = read(ASKED, said)
    except BadValue as wrong:
        problems[place_of(wrong.field, ASKED.name)] = f"Must be {wrong.rule}. {wrong.remedy}".strip()
        return Fitted(asked(ASKED, said, Asking(problems=problems)), refused=True)
    inputs = asked(ASKED, said, Asking())
    left = _left(slab, wish)
    if left is None:
        return Fitted(inputs, told="Its outline was not measured.")
    thickness = show_length(left.thickness, system)
    why = left.why
    if wish["pith_strip"] is not None and slab.plan_id is None:
        why += ("The pith is taken to run along the middle line.",)
    if wish["form"].startswith("pair"):
        other = _left(partner, wish) if partner else None
        if partner is None or other is None:
            return Fitted(
                inputs, told="It has no partner with an outline. Pair it first.", thickness=thickness
            )
        thickness = show_length(min(left.thickness, other.thickness), system)
        drawing, told = _pair(
            wish["form"].split()[-1], left, other, f"{slab.label} and {partner.label}", system
        )
        return Fitted(inputs, drawing, told, thickness, why)
    fit = _single(wish["form"], left, wish["may_lie_askew"])
    if fit is None:
        return Fitted(inputs, told="No clear wood is left.", thickness=thickness, why=why)
    drawing = slab_outline(
        left.outline,
        system,
        clear=left.bands,
        fits=[fit],
        title=f"{fit.form} in slab {slab.label}",
        width=WIDTH,
        text=TEXT,
    )
    return Fitted(inputs, drawing, fit_words(fit, system), thickness, why)


def _left(slab: Slab, wish: Mapping[str, Any]) -> Left | None:
    size = current_size(slab)
    outline = outline_of(size) if size else None
    if size is None or outline is None:
        return None
    allowance = Allowance.of(wish["end_trim"], wish["end_trim"], wish["edge_strip"], wish["pith_strip"])
    return left_of(outline, Size.State(size.state), slab.species, setting("moisture"), allowance)


def _single(form: str, left: Left, turned: bool) -> Fit | None:
    if form == "rectangle":
        return largest_rectangle(left.bands, TURNS if turned else (0.0,))
    wood = polygons(left.bands)
    return largest_oval(wood) if form == "oval" else largest_round(wood)


def _pair(form: str, one: Left, other: Left, names: str, system: System) -> tuple[str, str]:
    """The top of a pair that is opened like a book, the better of its two edges being the joint."""
    best: tuple[float, str, str] = (0.0, "", "No clear wood lies beside each other.")
    for flip in (False, True):
        first = [b.mirrored() for b in one.bands] if flip else list(one.bands)
        second = list(other.bands) if flip else [b.mirrored() for b in other.bands]
        pair = pair_top(first, second)
        if pair is None:
            continue
        joint = (pair[0].across - pair[0].width / 2, pair[1].across + pair[1].width / 2)
        wood = glued(first, second, joint)
        fit: Fit | None
        if form == "rectangle":
            width = pair[0].width + pair[1].width
            fit = Fit(pair[0].form, pair[0].length, width, pair[0].z, (pair[0].width - pair[1].width) / 2)
        else:
            fit = largest_oval(wood) if form == "oval" else largest_round(wood)
        if fit and fit.area > best[0]:
            rings = [np.asarray(p.exterior.coords) for p in wood]
            drawing = glued_outline(
                rings, [fit], system, title=f"{form} of the pair {names}", width=WIDTH, text=TEXT
            )
            best = (fit.area, drawing, fit_words(fit, system))
    return best[1], best[2]

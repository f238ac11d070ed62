"""A kiln load in words: what each thickness takes, and how each slab lies."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.dry.laying.charge import Charge, Shelf
from pithline.dry.laying.layers import Laid
from pithline.dry.laying.stickers import OVERHANG
from pithline.units import System, show_length

__all__ = ["LaidWords", "charge_head", "choice_line", "laid_words", "shelf_line"]


@dataclass(frozen=True, slots=True)
class LaidWords:
    """How one slab lies, for a tape.

    Attributes
    ----------
    slab : str
    along : str
        Its nearer end from the near end of the floor.
    near, far : str
        Its left edge from the left side, at its near and its far end.
    how : str
        How it is turned, and which ends want a stick of their own.
    """

    slab: str
    along: str
    near: str
    far: str
    how: str


def charge_head(charge: Charge, system: System) -> str:
    """What the whole load takes."""
    pieces = sum(len(layer.slabs) for layer in charge.layers)
    high, room = (show_length(x, system, "long") for x in (charge.height, charge.room.height))
    return (
        f"{_count(pieces, 'slab')} in {_count(len(charge.layers), 'layer')}, {high} of {room} high; "
        f"they cover {charge.filled * 100:.0f} % of their floors; "
        f"{charge.wood_share * 100:.0f} % of the room is wood."
    )


def choice_line(charge: Charge) -> str:
    """How good the choice is where not all go in; empty where all that fit do."""
    if charge.short is None:
        return ""
    if charge.short == 0:
        return "The height is full; no other choice of the groups found holds more of what is wanted."
    return (
        "The height is full; another choice of the groups found might hold up to "
        f"{charge.short * 100:.1f} % more of what is wanted."
    )


def shelf_line(shelf: Shelf, system: System) -> str:
    """Layers of one thickness, beside rectangles and beside what no plan can beat."""
    boxes = f"{shelf.rectangle_layers} as bounding rectangles"
    boxes += "" if shelf.rectangles_proved else " (not proved the fewest)"
    end = "no plan takes fewer" if shelf.proved else f"not proved optimal, at least {shelf.at_least}"
    thick = show_length(shelf.thickness, system)
    return f"{thick}: {_count(shelf.slabs, 'slab')}, {_count(shelf.layers, 'layer')}; {boxes}; {end}."


def laid_words(laid: Laid, system: System) -> LaidWords:
    """How one slab lies."""
    how = ["butt at the far end" if laid.turn.end_for_end else "butt at the near end"]
    how += ["upper face down"] if laid.turn.face_down else []
    ends = zip(("near", "far"), laid.overhang, strict=True)
    how += [f"a stick of its own under the {end} end" for end, x in ends if x > OVERHANG]
    return LaidWords(
        laid.slab.name,
        show_length(laid.along, system, "long"),
        show_length(laid.edge(False), system),
        show_length(laid.edge(True), system),
        ", ".join(how),
    )


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"

"""A stack as its pages show it: laid as it is, or as it might be; and what follows from that."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pithline.units import System, show_mass
from pithline.yard.models import Stack
from pithline.yard.stack_facts import StackFacts, as_laid, entered, proposed, stack_facts

if TYPE_CHECKING:
    from pithline.dry.laying.stack import Stack as Laid
    from pithline.dry.laying.stood import Reminder, Standing
    from pithline.sheets.stack_words import StackWords

__all__ = ["LaidStack", "Row", "as_it_lies", "as_it_might"]

WIDTH, TEXT = 150.0, 3.0  # of a drawing on a page [mm]


@dataclass(frozen=True, slots=True)
class Row:
    """One slab of the stack."""

    label: str
    layer: int
    weighs: str
    lift: str
    first: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class LaidStack:
    """A way to lay a stack, and what follows.

    Attributes
    ----------
    laid : Stack of `dry.laying`
    stood : Standing
    words : StackWords
    rows : tuple of Row
        Top layer first.
    urgent, others : tuple of Reminder
    remarks : tuple of str
    mark : str
        The same for the same positions.
    """

    laid: Laid
    stood: Standing
    words: StackWords
    rows: tuple[Row, ...]
    urgent: tuple[Reminder, ...]
    others: tuple[Reminder, ...]
    remarks: tuple[str, ...]
    mark: str

    def drawn(self, title: str, system: System) -> str:
        """From its side and its end."""
        from pithline.sheets.stack_sides import stack_sides

        return stack_sides(self.laid, self.stood, title, system, WIDTH, 80.0, TEXT)

    def above(self, title: str, system: System) -> str:
        """Each layer from above."""
        from pithline.sheets.layer_view import layer_view

        laid = self.laid
        return layer_view(laid.layers, laid.ground.floor, laid.stickers, title, system, WIDTH, text=TEXT)


def as_it_lies(stack: Stack, system: System) -> LaidStack | None:
    """The stack as it is; None where no measured slab lies in a layer. Raises `BadValue`."""
    facts = stack_facts(stack)
    laid = as_laid(facts)
    return None if laid is None else _told(facts, laid, system)


def as_it_might(stack: Stack, by: str, width: float | None, system: System) -> LaidStack:
    """The stack by a proposal: "order" or "floor". Raises `BadValue`."""
    facts = stack_facts(stack)
    return _told(facts, proposed(facts, by, width), system)


def _told(facts: StackFacts, laid: Laid, system: System) -> LaidStack:
    from pithline.dry.laying.reaching import moved_first
    from pithline.dry.laying.standing import standing
    from pithline.sheets.stack_words import stack_words

    stood = standing(laid, facts.known)
    lifts = {lift.name: lift for lift in stood.lifts}
    rows = []
    for n, layer in reversed(list(zip(laid.numbers, laid.layers, strict=True))):
        for one in layer.slabs:
            lift = lifts[one.slab.name]
            weighs = show_mass(lift.most, system, up=True) if lift.most else "not known"
            hands = "" if not lift.most else f"{lift.people} at least" if lift.people else "hoist or cart"
            rows.append(Row(one.slab.name, n, weighs, hands, moved_first(laid.layers, one.slab.name)))
    # Seal and roof stand among what is due already.
    urgent = tuple(one for one in stood.reminders if one.kind in _URGENT)
    others = tuple(one for one in stood.reminders if one.kind not in (*_URGENT, *_DUE))
    mark = hashlib.sha256(repr(entered(facts.stack, laid)).encode()).hexdigest()[:16]
    words = stack_words(laid, stood, system)
    return LaidStack(laid, stood, words, tuple(rows), urgent, others, facts.remarks, mark)


_URGENT = ("floor", "tipping", "unsupported", "timbers", "weight")
_DUE = ("seal", "cover")

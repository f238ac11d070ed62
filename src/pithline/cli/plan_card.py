"""The field card of ``pithline plan``, and the next cut below one face."""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table

from pithline.errors import BadValue

if TYPE_CHECKING:
    from pithline.cli.plan_input import Job
    from pithline.saw.field.card import FieldCard
    from pithline.saw.field.next_cut import NextCut
    from pithline.saw.menu import Choice
    from pithline.saw.plan import Plan
    from pithline.units import System

_LINES = 150  # of a card on the terminal, which scrolls

__all__ = ["Asked", "add_card", "asked", "show_card"]


@dataclass(frozen=True, slots=True)
class Asked:
    """The card, and the next cut below one face with its heights at butt and top; each where asked for."""

    card: FieldCard | None
    cut: NextCut | None = None
    choice: Choice | None = None
    butt: float = 0.0
    top: float = 0.0


def asked(plan: Plan, job: Job, system: System, card: bool, face: str | None, sold: tuple[str, ...]) -> Asked:
    """Read the card, and the face that was typed.

    Raises
    ------
    BadValue
        A face outside the log or leaning, or pieces that nobody sells.
    """
    from pithline import units
    from pithline.saw.field.card import fitting_card, tables_of
    from pithline.saw.field.next_cut import line_of, next_cut, state_after
    from pithline.sheets.card_words import cards_of

    made = fitting_card(cards_of(plan, job.timber, system), _LINES) if card else None
    if face is None:
        if sold:
            raise BadValue("sold", ", ".join(sold), "told with a face", 'Add --face "118 mm".')
        return Asked(made)
    ends = [units.length(part.strip(), "face", signed=True) for part in face.split(",")]
    if len(ends) > 2:
        raise BadValue("face", face, "one height, or two: at the butt and at the top")
    butt, top = ends[0], ends[1] if len(ends) == 2 else ends[0] + plan.pitch * plan.shape.length
    solution, model = tables_of(plan, job.timber)
    line = line_of(solution, model, butt, top, system)
    cut = next_cut(solution, model, line, state_after(model, _counts(sold)))
    return Asked(made, cut, cut.aim(model), butt, top)


def show_card(plan: Plan, told: Asked, system: System) -> None:
    """Print the card, the next cut, or both."""
    from pithline.sheets.card_words import card_words, made_of_cut
    from pithline.sheets.wording import amount
    from pithline.units import show_length

    console = Console(file=sys.stdout, highlight=False, markup=False)
    if told.card:
        words = card_words(plan, told.card, system)
        console.print(words.title, style="bold")
        for name, rows in words.sections:
            table = Table(title=name or None, title_justify="left", box=SIMPLE_HEAD, pad_edge=False)
            for n, head in enumerate(words.heads):
                table.add_column(head, justify="left" if n == 3 else "right")
            for row in rows:
                table.add_row(*row)
            console.print(table)
        for rule in (*words.rules, *words.notes):
            console.print(f"• {rule}")
    if told.cut:
        said = (
            f"Face {show_length(told.butt, system)} at the butt, {show_length(told.top, system)} at the top: "
        )
        if told.cut.kind == "stop":
            said += "stop, no further cut pays."
        else:
            freed = made_of_cut(told.cut, told.choice)
            said += f"set mill to {show_length(told.cut.set_to, system)}, which frees {freed}; "
            said += f"{amount(plan, told.cut.to_come)} net still to come."
        console.print(said, style="bold")


def add_card(document: dict[str, Any], told: Asked) -> None:
    """Put the card, the next cut, or both into the plan's JSON document."""
    from pithline.sheets.card_json import card_part, next_cut_part

    if told.card:
        document["field_card"] = card_part(told.card)
    if told.cut:
        document["next_cut"] = next_cut_part(told.cut, told.choice, told.butt, told.top)


def _counts(sold: tuple[str, ...]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for text in sold:
        found = re.fullmatch(r"\s*(\d+)\s+of\s+(.+?)\s*", text)
        if found is None:
            raise BadValue("sold", text, "a number, of, a name", 'Write "1 of bench".')
        counts[found[2]] = counts.get(found[2], 0) + int(found[1])
    return counts

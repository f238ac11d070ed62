"""The field card in words: the same on the terminal, on the back of the cut sheet and on the page."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.saw.field.card import CardRow, FieldCard, Section, field_cards
from pithline.saw.field.next_cut import NextCut
from pithline.saw.menu import Choice
from pithline.saw.plan import Plan
from pithline.saw.timber import Timber
from pithline.sheets.wording import above_pith, amount, in_column, length_unit
from pithline.units import System, show_length

__all__ = ["SPACINGS", "CardWords", "card_words", "cards_of", "made_of_cut"]

SPACINGS: dict[System, tuple[float, ...]] = {
    "metric": (0.01, 0.02, 0.03, 0.05),
    "inch": (0.0127, 0.0254, 0.0508),
}
"""Distances between two rows of the same cut that a card may have, rising. [m]"""


@dataclass(frozen=True, slots=True)
class CardWords:
    """Ready to be set.

    Attributes
    ----------
    title : str
    rules : list of str
        How to read it.
    heads : list of str
    sections : list of (str, list of list of str)
        What is still open ("" where nothing is counted), and the rows.
    notes : list of str
        What the card leaves out.
    """

    title: str
    rules: list[str]
    heads: list[str]
    sections: list[tuple[str, list[list[str]]]]
    notes: list[str]


def cards_of(plan: Plan, timber: Timber, system: System) -> list[FieldCard]:
    """Cards of a plan with round spacings of the units, the finest first; see `fitting_card`."""
    fit = [s for s in SPACINGS[system] if s >= plan.step] or [plan.step]
    return field_cards(plan, timber, fit)


def card_words(plan: Plan, card: FieldCard, system: System) -> CardWords:
    """Say a card.

    Parameters
    ----------
    plan : Plan
    card : FieldCard
    system : {"metric", "inch"}
    """
    unit = length_unit(system)
    counted = any(s.open for s in card.sections)
    rules = [
        (
            "Measure the sawn face from the pith mark at both ends. Take the first row, going down, that "
            "is not higher than your face at the butt: between two rows round down. Its cut is the best."
        ),
        (
            "“Down to” is waste to a fixed height: set the mill to your face at the butt less that height "
            "(a − height adds)."
        ),
        "To come: the best net value of all wood below, from a face at the row's own height.",
    ]
    if counted:
        rules.append("What is sold counts: once a piece of a use or an order is cut, read the part for what "
                     "is still open.")  # fmt: skip
    notes = []
    if card.turned:
        notes.append("Holds until the log is turned over; then plan the rest again.")
    if card.states_left_out:
        more = card.states_left_out
        notes.append(
            f"{more} more {'state' if more == 1 else 'states'} of what is sold on the way: ask with "
            "pithline plan --face and --sold."
        )
    if card.rows_left_out:
        notes.append(f"The highest {card.rows_left_out} rows had no room here.")
    return CardWords(
        f"Field card: the next cut below a face · rows at most {show_length(card.spacing, system)} apart",
        rules,
        [f"face at butt, {unit}", "face at top", "set mill to", "frees", "to come"],
        [(_open(s), _rows(plan, s, system)) for s in card.sections],
        notes,
    )


def made_of_cut(cut: NextCut, choice: Choice | None) -> str:
    """What a cut frees, and what that makes."""
    if cut.kind == "stop":
        return "stop here"
    if choice is None:
        return "waste"
    names = [p.use or "tally" for p in cut.pieces]
    told = " + ".join(f"{names.count(n)} {n}" if names.count(n) > 1 else n for n in dict.fromkeys(names))
    if cut.kind == "pair":
        return f"{choice.aim.label}, twice: pair {told}"
    return f"{choice.aim.label}: {told}" if told and told != "tally" else choice.aim.label


def _open(section: Section) -> str:
    if not section.open:
        return ""
    return "Still open: " + ", ".join(f"{count or 'no'} {name}" for name, count in section.open)


def _rows(plan: Plan, section: Section, system: System) -> list[list[str]]:
    """Where the mill steps finer than the heights are said, the lower of two equal heights counts."""
    rows = [_row(plan, row, system) for row in section.rows]
    return [
        row for row, below in zip(rows, [*rows[1:], None], strict=True) if not below or row[0] != below[0]
    ]


def _row(plan: Plan, row: CardRow, system: System) -> list[str]:
    if row.cut.kind == "stop":
        depth = "–"
    elif row.down_to is not None:
        depth = f"down to {above_pith(row.down_to, system)}"
    else:
        depth = in_column(row.cut.set_to, system)
    return [
        above_pith(row.butt, system),
        above_pith(row.top, system),
        depth,
        made_of_cut(row.cut, row.choice),
        amount(plan, row.cut.to_come),
    ]

"""The card for the log: by the height of the face that was last sawn, the next cut and what is to come."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from pithline.errors import BadValue
from pithline.saw.field.next_cut import NextCut, all_open, next_cut
from pithline.saw.menu import Choice
from pithline.saw.model import Model, grounds, prepare
from pithline.saw.plan import Plan
from pithline.saw.solution import Solution, solve
from pithline.saw.timber import Timber
from pithline.saw.uses.tabled import need_tables
from pithline.saw.uses.wants import open_counts

__all__ = ["CardRow", "FieldCard", "Section", "field_card", "field_cards", "fitting_card", "tables_of"]

MOST_SECTIONS = 3
_LATER = 0.05  # a later section begins so far above the face at which the plan reaches it [m]


@dataclass(frozen=True, slots=True)
class CardRow:
    """What holds for a face from this height up to the row above. Lengths in metres.

    Attributes
    ----------
    butt, top : float
        The lowest such face, above the pith mark at each end.
    highest_butt : float
        The highest such face, at the butt.
    cut : NextCut
        From the lowest face.
    choice : Choice or None
        The thickness that is sawn.
    down_to : float or None
        Waste only, where from all these faces the same kerf is the best: its upper side
        at the butt. The mill is then set to the face less this.
    """

    butt: float
    top: float
    highest_butt: float
    cut: NextCut
    choice: Choice | None
    down_to: float | None = None


@dataclass(frozen=True, slots=True)
class Section:
    """Rows for one state of what is sold: names, and how many of each are still open."""

    open: tuple[tuple[str, int], ...]
    rows: tuple[CardRow, ...]


@dataclass(frozen=True, slots=True)
class FieldCard:
    """All of it.

    Attributes
    ----------
    spacing : float
        Rows of the same cut are this far apart at most. [m]
    sections : tuple of Section
        The first with everything open; then those that the plan passes through.
    states_left_out, rows_left_out : int
        Further states that the plan passes through; rows above the first one shown.
    turned : bool
        The plan turns the log over: the card holds until then.
    """

    spacing: float
    sections: tuple[Section, ...]
    states_left_out: int
    rows_left_out: int
    turned: bool

    @property
    def rows(self) -> int:
        """Lines that it takes on paper, headings not counted."""
        return sum(len(s.rows) for s in self.sections)


def tables_of(plan: Plan, timber: Timber) -> tuple[Solution, Model]:
    """A plan's own tables, solved again at its roll and pitch."""
    model = prepare(plan.shape, plan.mill, plan.aims, plan.rates, timber)
    need_tables(model, "What is best below every face")
    ground = grounds(plan.shape, plan.lie, plan.mill, plan.aims, np.array([plan.roll]))[0]
    return solve(model, plan.roll, plan.pitch, ground), model


def field_card(plan: Plan, timber: Timber, spacing: float) -> FieldCard:
    """Tell the next cut for every face that the saw can leave.

    Parameters
    ----------
    plan : Plan
        Its roll and pitch count; its cuts may be others than the best ones.
    timber : Timber
        That it was made with.
    spacing : float
        How far two rows of the same cut may be apart, at least a step of the mill. [m]

    Returns
    -------
    FieldCard
        From the highest face that a first cut can bare and a slab can lie under, down to
        where the best is to stop. Every line of the planner's grid falls into one row,
        and the row's cut is the best one there.

    Raises
    ------
    BadValue
        A spacing below a step of the mill.
    """
    return field_cards(plan, timber, (spacing,))[0]


def field_cards(plan: Plan, timber: Timber, spacings: Sequence[float]) -> list[FieldCard]:
    """As `field_card`, for several spacings from the same tables."""
    solution, model = tables_of(plan, timber)
    for spacing in spacings:
        if not spacing >= model.reach.step:
            raise BadValue("spacing", spacing, f"{model.reach.step} m, the mill's step, or more")
    uses = (*plan.aims.orders, *plan.rates.uses)
    states = _passed(solution, model)
    kept = states if len(states) <= MOST_SECTIONS else [states[0], states[1], states[-1]]
    turned = any(c.side == 2 for c in plan.cuts)
    read = cache(lambda line, state: next_cut(solution, model, line, state))
    found = []
    for spacing in spacings:
        sections = [
            Section(
                tuple(open_counts(uses, model.most_slabs, state).items()),
                tuple(_rows(solution, model, spacing, state, highest, read)),
            )
            for state, highest in kept
        ]
        shown = tuple(s for s in sections if s.rows)
        found.append(FieldCard(spacing, shown, len(states) - len(kept), 0, turned))
    return found


def fitting_card(cards: Sequence[FieldCard], most: int) -> FieldCard:
    """The finest of several cards that takes no more than so many lines of paper.

    Parameters
    ----------
    cards : sequence of FieldCard
        Of one plan, from the finest spacing to the widest.
    most : int
        Lines; a section's heading takes two.

    Returns
    -------
    FieldCard
        Where even the last takes more, its later sections and then its highest rows are
        left out, and counted.
    """
    for card in cards:
        if _lines(card) <= most:
            return card
    while len(card.sections) > 1 and _lines(card) > most:
        card = replace(card, sections=card.sections[:-1], states_left_out=card.states_left_out + 1)
    over = max(0, _lines(card) - most)
    first = card.sections[0]
    return replace(
        card, sections=(replace(first, rows=first.rows[over:]), *card.sections[1:]), rows_left_out=over
    )


def _lines(card: FieldCard) -> int:
    return card.rows + 2 * len(card.sections)


def _passed(solution: Solution, model: Model) -> list[tuple[int, int]]:
    """The states that the best plan passes through, with the highest face that each is shown for."""
    reach, tables, first = model.reach, solution.tables, solution.first
    starts = np.flatnonzero(tables.starts) - reach.kerf
    worth = np.asarray(np.isfinite(tables.values).any(axis=0))
    if solution.claimed is not None:
        worth |= np.isfinite(solution.claimed.values).any(axis=(0, 1))
    sensible = starts[(starts >= 0) & worth[np.maximum(starts, 0)]]
    opening = solution.cuts[0] - reach.kerf if solution.cuts else first - 1
    highest = max(opening, first + int(sensible.max()) if sensible.size else first - 1)
    state = all_open(model)
    found = [(state, highest)]
    line: int | None = opening if solution.cuts else None
    while line is not None:
        cut = next_cut(solution, model, line, state)
        line = cut.below
        if cut.state != state and line is not None:
            state = cut.state
            found.append((state, min(highest, line + math.floor(_LATER / reach.step))))
    return found


def _rows(
    solution: Solution,
    model: Model,
    spacing: float,
    state: int,
    highest: int,
    read: Callable[[int, int], NextCut],
) -> Iterator[CardRow]:
    """Faces with the same cut run together, from the top down; what is sold by them too."""
    step = model.reach.step
    tilt = 0.5 * solution.setting.pitch * float(model.wood.z[-1])
    run: list[NextCut] = []

    def row() -> CardRow:
        cut = run[-1]
        # One cut serves several faces at one distance, or at one height.
        same = len(run) > 1 and cut.kind == "waste" and run[0].below == cut.below
        low = cut.height - tilt
        down = low - cut.set_to if same else None
        return CardRow(low, cut.height + tilt, run[0].height - tilt, cut, cut.aim(model), down)

    def part(line: int) -> int:
        # Round at the butt, where most people measure first.
        return math.floor((line * step - tilt) / spacing + 1e-6)

    take = solution.tables.take if solution.claimed is None else solution.claimed.take[:, state]
    sawn = np.flatnonzero(take != -1)
    # Below the lowest face that is still sawn on, one row says so.
    lowest = max(0, int(sawn[0]) - 1) if sawn.size else max(0, highest - solution.first)
    for line in range(highest, solution.first + lowest - 1, -1):
        cut = read(line, state)
        if run and not (_alike(run, cut) and (cut.kind == "waste" or part(line) == part(run[0].line))):
            yield row()
            run = []
        run.append(cut)
    if run:
        yield row()


def _alike(run: list[NextCut], cut: NextCut) -> bool:
    """Whether a cut does the same as a run of them."""
    before = run[-1]
    if (cut.kind, cut.choice) != (before.kind, before.choice):
        return False
    if cut.kind == "waste":
        distance = all(c.set_to == cut.set_to for c in (run[0], before))
        return distance or all(c.below == cut.below for c in (run[0], before))
    # Not only the thickness: what is sold decides which section is read next.
    return sorted(p.use for p in cut.pieces) == sorted(p.use for p in before.pieces)

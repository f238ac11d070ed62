"""The one sheet that goes to the log, as a PDF."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from importlib.resources import files
from typing import Any, Literal

from pithline.saw.field.card import fitting_card
from pithline.saw.plan import Plan
from pithline.saw.timber import Timber
from pithline.sheets import sheet_words as words
from pithline.sheets.card_words import card_words, cards_of
from pithline.sheets.end_view import end_view
from pithline.sheets.side_view import side_view
from pithline.units import System

__all__ = ["Paper", "cut_sheet"]

Paper = Literal["a4", "us-letter"]


@dataclass(frozen=True, slots=True)
class _Room:
    """How roomy the sheet is laid out.

    Attributes
    ----------
    row, end, side : float
        Heights of a table row, of the end views and of the side view. [mm]
    big, small : float
        Text of the table and of all else. [pt]
    open : bool
        The side view has a line to itself; otherwise the three drawings share one.
    """

    row: float
    end: float
    side: float
    big: float
    small: float
    open: bool

    def least(self, cuts: int) -> float:
        """Height that is surely needed, to pass over layouts without trying them. [mm]"""
        # 79 mm: margin, title, rail box and headings can hardly be less.
        return 79.0 + cuts * self.row + self.side + (self.end if self.open else 0.0) * 0.7

    def grown(self, spare: float) -> _Room:
        """The same with larger drawings, as far as `spare` goes. [mm]"""
        if not self.open:
            return replace(self, end=min(self.end + spare, _END_MOST), side=min(self.side + spare, _END_MOST))
        side = min(self.side + 0.4 * spare, _SIDE_MOST)
        return replace(self, side=side, end=min(self.end + spare - (side - self.side), _END_MOST))


_FOOT = {"a4": 287.0, "us-letter": 269.4}  # depth of the lower margin [mm]
# From roomy to tight; 9 pt is the least that a table may have at arm's length. Drawings
# are given here as small as they may get: what the page has left over goes to them.
_ROOMS = (
    _Room(9.0, 50.0, 46.0, 12.0, 10.0, True),
    _Room(8.5, 48.0, 42.0, 12.0, 9.5, True),
    _Room(8.0, 46.0, 40.0, 12.0, 9.0, True),
    _Room(8.0, 44.0, 44.0, 12.0, 9.0, False),
    _Room(7.0, 44.0, 44.0, 11.0, 9.0, False),
    _Room(6.4, 42.0, 42.0, 10.5, 8.5, False),
    _Room(6.0, 42.0, 42.0, 10.0, 8.0, False),
    _Room(5.4, 38.0, 38.0, 9.5, 8.0, False),
)
_OVERLEAF = _Room(6.5, 50.0, 50.0, 11.0, 9.0, False)
_END_MOST, _SIDE_MOST = 66.0, 70.0  # [mm]
_CARD_LINES = (
    124,
    116,
    108,
    100,
    90,
    80,
    70,
    60,
    48,
    36,
)  # of the back; long names take several


def cut_sheet(
    plan: Plan,
    title: str,
    paper: Paper = "a4",
    system: System = "metric",
    dated: str = "",
    back: Timber | None = None,
) -> bytes:
    """Lay a plan out on one page: rail, cuts, blanks to fill in, drawings, cautions.

    Parameters
    ----------
    plan : Plan
    title : str
        Names the log, as "hollow oak · northern red oak".
    paper : {"a4", "us-letter"}
    system : {"metric", "inch"}
    dated : str
        Date or other words for the right-hand end of the title line.
    back : Timber, optional
        The wood that the plan was made with: then the field card is on a page of its own.

    Returns
    -------
    bytes
        A PDF. About twenty cuts fit on its one page; more go on overleaf, where the
        table repeats its headings.
    """
    import typst

    template = files("pithline.sheets").joinpath("cut_sheet.typ").read_bytes()

    def laid(room: _Room) -> tuple[dict[str, str], int, float]:
        """What goes to the template, and where the end then falls: page and depth. [mm]"""
        inputs = {"sheet": json.dumps(_content(plan, title, paper, system, dated, room))}
        told = typst.query(
            template, "<end>", field="value", one=True, ignore_system_fonts=True, sys_inputs=inputs
        )
        page, depth = json.loads(told)
        return inputs, page, depth

    for room in (r for r in _ROOMS if r.least(len(plan.cuts)) < _FOOT[paper]):
        inputs, page, depth = laid(room)
        if page == 1:
            # A drawing may leap to the next usual scale and take more than it was given: then offer less.
            for part in (1.5, 1.0, 0.6, 0.3):
                tried, on, _ = laid(room.grown(part * (_FOOT[paper] - depth - 1.0)))
                if on == 1:
                    inputs = tried
                    break
            break
    else:
        # Two pages anyway: then there is no need to crowd them.
        inputs, page, _ = laid(_OVERLEAF)
    if back is not None:
        inputs = _with_card(inputs, page, template, plan, back, system)
    return bytes(typst.compile(template, format="pdf", ignore_system_fonts=True, sys_inputs=inputs))


def _with_card(
    inputs: dict[str, str], page: int, template: bytes, plan: Plan, timber: Timber, system: System
) -> dict[str, str]:
    """The same with the finest field card that one page after the given one holds."""
    import typst

    sheet = json.loads(inputs["sheet"])
    cards = cards_of(plan, timber, system)

    def laid(lines: int) -> tuple[dict[str, str], bool]:
        told = card_words(plan, fitting_card(cards, lines), system)
        sheet["card"] = {
            "title": told.title,
            "rules": [*told.rules, *told.notes],
            "heads": told.heads,
            "level": abs(plan.pitch) < 1e-9,
            "sections": [{"name": name, "rows": rows} for name, rows in told.sections],
        }
        made = {"sheet": json.dumps(sheet)}
        last = typst.query(
            template, "<card-end>", field="value", one=True, ignore_system_fonts=True, sys_inputs=made
        )
        return made, json.loads(last) == page + 1

    # Fewer lines fit better, so halve what is left to try; the fewest are taken as they come.
    low, high = 0, len(_CARD_LINES) - 1
    found = laid(_CARD_LINES[high])[0]
    while low < high:
        middle = (low + high) // 2
        tried, fits = laid(_CARD_LINES[middle])
        if fits:
            found, high = tried, middle
        else:
            low = middle + 1
    return found


def _content(plan: Plan, title: str, paper: Paper, system: System, dated: str, room: _Room) -> dict[str, Any]:
    across = 190.0 if paper == "a4" else 195.9
    end = min(room.end, 60.0) if room.open else room.end * 0.98
    long = across if room.open else across - 2 * end
    text = 2.3 if room.end < 45 else 2.6
    most = 3 if room.open else 2  # columns of numbers beside a drawing
    drawings = [
        (end, end_view(plan, "butt", system, end, room.end, text, most), "the butt with its cuts"),
        (
            long,
            side_view(plan, system, long, room.side, text, most, heights=room.open),
            "the log from the side",
        ),
        (end, end_view(plan, "top", system, end, room.end, text, most), "the top with its cuts"),
    ]
    return {
        "title": title,
        "dated": dated,
        "paper": paper,
        "open": room.open,
        "columns": [9, 20, 18, 18, 19] if system == "metric" else [8, 18, 25, 25, 18],
        "row": room.row,
        "big": room.big,
        "small": room.small,
        "subtitle": words.subtitle(plan, system),
        "rail": words.rail(plan, system),
        "totals": {"name": "What to expect", "lines": words.totals(plan, system)},
        "late": {"name": "If the day runs short", "told": words.late(plan)},
        "rule": words.RULE,
        "heads": words.heads(plan, system),
        "rows": words.rows(plan, system),
        "after": words.left_over(plan, system),
        "drawings": [{"width": w, "svg": svg, "alt": alt} for w, svg, alt in drawings],
        "boxes": words.boxes(),
        "foot": words.FOOT,
        "uses": {
            "name": "What the slabs are for, from the butt",
            "lines": words.pieces(plan, system),
            "orders": words.orders(plan),
        },
        "card": None,
    }

"""The field card and one next cut as plain data."""

from __future__ import annotations

from typing import Any

from pithline.saw.field.card import CardRow, FieldCard
from pithline.saw.field.next_cut import NextCut
from pithline.saw.menu import Choice

__all__ = ["card_part", "next_cut_part"]


def card_part(card: FieldCard) -> dict[str, Any]:
    """A card for the plan's JSON document; keys of measures end in their unit."""
    return {
        "spacing_m": card.spacing,
        "until_turned": card.turned,
        "states_left_out": card.states_left_out,
        "sections": [
            {
                "open": [{"name": name, "count": count} for name, count in section.open],
                "rows": [_row(row) for row in section.rows],
            }
            for section in card.sections
        ],
    }


def next_cut_part(cut: NextCut, choice: Choice | None, butt: float, top: float) -> dict[str, Any]:
    """What to saw next below a face whose heights above the pith marks are given. [m]"""
    return {
        "face_butt_m": butt,
        "face_top_m": top,
        "frees": cut.kind,
        "set_to_m": None if cut.kind == "stop" else cut.set_to,
        "label": choice.aim.label if choice else "",
        "uses": [p.use for p in cut.pieces],
        "to_come_money": cut.to_come,
    }


def _row(row: CardRow) -> dict[str, Any]:
    part = next_cut_part(row.cut, row.choice, row.butt, row.top)
    return {**part, "highest_face_butt_m": row.highest_butt, "down_to_butt_m": row.down_to}

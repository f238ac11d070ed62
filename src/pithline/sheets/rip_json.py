"""Slabs, boards and both mixed, as one JSON document."""

from __future__ import annotations

from typing import Any

from pithline.saw.rip.mixed import Mixed
from pithline.sheets.plan_json import plan_document

__all__ = ["SCHEMA", "mixed_document"]

SCHEMA = "pithline/rip/1"


def mixed_document(mixed: Mixed, currency: str) -> dict[str, Any]:
    """Turn a log sawn for slabs and boards into plain lists, numbers and text.

    Parameters
    ----------
    mixed : Mixed
    currency : str
        "" where ``_money`` counts tally units.
    """
    return {
        "schema": SCHEMA,
        "currency": currency,
        "ways": [
            {
                "name": way.name,
                "net_money": way.net,
                "value_money": way.value,
                "slabs": way.slabs,
                "boards": way.boards,
                "cuts": way.cuts,
                "roll_rad": way.roll,
                "chosen": way.chosen,
            }
            for way in mixed.ways
        ],
        "slabs": [
            {
                "number": each.slab.number,
                "thickness": each.slab.aim.label,
                "as_slab_money": each.as_slab,
                "as_boards_money": each.rip.value,
                "ripped": each.ripped,
                "rips_along": str(each.rip.along),
                "rips_slope_m_per_m": each.rip.slope,
                "rips_middle_m": each.rip.middle,
                "boards": [
                    {
                        "left_m": board.left,
                        "width_m": board.width,
                        "start_m": board.start,
                        "end_m": board.end,
                        "value_money": board.value,
                        "heart_piece": board.cant,
                    }
                    for board in each.rip.boards
                ],
            }
            for each in mixed.slabs
        ],
        "plan": plan_document(mixed.plan),
    }

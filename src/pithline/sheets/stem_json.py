"""A stem cut across, as one JSON document."""

from __future__ import annotations

from typing import Any

from pithline.saw.stem.bucked import Bucked
from pithline.sheets.plan_json import plan_document

__all__ = ["SCHEMA", "bucked_document"]

SCHEMA = "pithline/buck/1"


def bucked_document(bucked: Bucked, currency: str, plans: bool = True) -> dict[str, Any]:
    """Turn a stem cut across into plain lists, numbers and text.

    Parameters
    ----------
    bucked : Bucked
    currency : str
        "" where ``_money`` counts tally units.
    plans : bool
        Whether each piece's whole plan is in it.
    """
    rules = bucked.rules
    return {
        "schema": SCHEMA,
        "currency": currency,
        "length_m": bucked.stem.shape.length,
        "net_money": bucked.net,
        "cuts": [
            {"at_m": cut.at, "may_lie_from_m": cut.low, "may_lie_to_m": cut.high} for cut in bucked.cuts
        ],
        "pieces": [
            {
                "number": piece.number,
                "start_m": piece.start,
                "end_m": piece.end,
                "length_m": piece.length,
                "small_end_m": piece.small_end,
                "sweep_m": piece.sweep,
                "net_money": piece.net,
                **({"plan": plan_document(piece.plan)} if plans else {}),
            }
            for piece in bucked.pieces
        ],
        "waste": [{"start_m": start, "end_m": end} for start, end in bucked.waste],
        "ways": [
            {
                "name": way.name,
                "net_money": way.net,
                "pieces_m": [list(piece) for piece in way.pieces],
                "chosen": way.chosen,
            }
            for way in bucked.ways
        ],
        "rules": {
            "step_m": rules.step,
            "least_m": rules.least,
            "most_m": rules.most,
            "lengths_m": list(rules.lengths),
            "over_m": rules.over,
            "kerf_m": rules.kerf,
            "bearers_m": rules.bearers,
            "cut_cost_money": rules.cut_cost,
            "piece_cost_money": rules.piece_cost,
            "whole": [{"start_m": w.start, "end_m": w.end, "note": w.note} for w in rules.whole],
        },
        "search": {
            "pieces_considered": bucked.considered,
            "pieces_searched_in_full": bucked.full,
            "quick_look_error_fraction": bucked.rough_error,
        },
    }

"""The whole plan as one JSON document, for other programs and for keeping."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Any

from numpy.typing import NDArray

from pithline.saw.plan import Cut, Doubt, Plan, PlannedSlab, Retake, Spread, Way
from pithline.sheets.placing import slabs_of
from pithline.sheets.plan_inputs_json import aims_part, lie_part, log_part, mill_part, rates_part
from pithline.slab.recovery import recovery
from pithline.slab.tally import TallyUnit
from pithline.slab.tallying import volume_unit

__all__ = ["SCHEMA", "plan_document", "plan_schema"]

SCHEMA = "pithline/plan/1"


@cache
def _schema_text() -> str:
    return files("pithline.sheets").joinpath("plan.schema.json").read_text(encoding="utf-8")


def plan_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) that every `plan_document` keeps to."""
    schema: dict[str, Any] = json.loads(_schema_text())
    return schema


def plan_document(plan: Plan) -> dict[str, Any]:
    """Turn a plan into plain lists, numbers and text.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    dict
        Ready for `json.dumps(..., allow_nan=False)`. Every key of a measure ends in its
        unit: ``_m``, ``_m2``, ``_m3``, ``_kg``, ``_min``, ``_rad``, ``_m_per_m``, ``_fraction``.
        ``_money`` is in `currency`, or in tally units where that is empty; ``_tally`` is in
        `tally_unit`.
    """
    bf = plan.aims.unit is not TallyUnit.M3
    each = volume_unit(plan.aims.unit)
    got = recovery((s.solid for s in plan.slabs), (s.tally * each for s in plan.slabs), plan.ledger.log)
    return {
        "schema": SCHEMA,
        "currency": plan.rates.currency,
        "tally_unit": "bf" if bf else "m3",
        "tally_rule": f"{plan.aims.tally.value}, {plan.aims.unit.value}",
        "roll_rad": plan.roll,
        "pitch_m_per_m": plan.pitch,
        "step_m": plan.step,
        "kerf_m": plan.kerf,
        "totals": {
            "slabs": len(plan.slabs),
            "cuts": len(plan.cuts),
            "total_tally": plan.tally,
            "solid_m3": sum(s.solid for s in plan.slabs),
            "recovery_solid_fraction": got.solid,
            "recovery_tally_fraction": got.tally,
            "green_weight_kg": sum(s.weight for s in plan.slabs),
            "green_weight_high_kg": sum(s.weight_high for s in plan.slabs),
            "cut_area_m2": plan.area,
            "sawing_min": plan.minutes,
            "turns": plan.turns,
            "turning_min": plan.turning_minutes,
            "value_money": plan.value,
            "cost_money": plan.cost,
            "net_money": plan.net,
            "net_range_money": _spread(plan.net_spread),
            "total_tally_range": _spread(plan.tally_spread),
        },
        "cuts": [_cut(plan, c) for c in plan.cuts],
        "slabs": [_slab(s) for s in plan.slabs],
        "rail": _rail(plan),
        "where_the_wood_went": {
            "log_m3": plan.ledger.log,
            "lines": [{"name": n.name, "volume_m3": n.volume, "note": n.note} for n in plan.ledger.lines],
            "worths": [{"name": w.name, "value_money": w.value, "note": w.note} for w in plan.ledger.worths],
        },
        "ways": [_way(w) for w in plan.ways],
        "orders": [
            {
                "name": o.name,
                "wanted": o.wanted,
                "cut": o.cut,
                "cost_money": o.cost,
                "missing": o.missing,
            }
            for o in plan.orders
        ],
        "orders_cost_money": plan.orders_cost,
        "doubts": [_doubt(d) for d in plan.doubts],
        "retakes": [_retake(r) for r in plan.retakes],
        "remarks": list(plan.remarks),
        "log": log_part(plan),
        "lie": lie_part(plan),
        "mill": mill_part(plan),
        "aims": aims_part(plan),
        "rates": rates_part(plan),
    }


def _cut(plan: Plan, cut: Cut) -> dict[str, Any]:
    return {
        "number": cut.number,
        "side": cut.side,
        "kerf_upper_m": cut.upper,
        "set_to_m": cut.set_to,
        "face_butt_m": cut.face_butt,
        "face_top_m": cut.face_top,
        "width_over_bark_m": cut.width,
        "bar_needed_m": cut.bar_needed,
        "area_m2": cut.area,
        "sawing_min": cut.minutes,
        "frees": cut.frees,
        "slabs": [s.number for s in slabs_of(plan, cut)],
    }


def _slab(slab: PlannedSlab) -> dict[str, Any]:
    o = slab.outline
    return {
        "number": slab.number,
        "label": slab.aim.label,
        "wanted_as": slab.aim.kind.value,
        "wanted_m": slab.aim.size,
        "green_m": o.thickness,
        "rough_dry_m": slab.rough_dry,
        "finished_m": slab.finished,
        "upper_m": slab.upper,
        "lower_m": slab.lower,
        "run_start_m": slab.start,
        "run_end_m": slab.end,
        "run_length_m": slab.length,
        "least_width_m": slab.least_width,
        "mean_width_m": slab.mean_width,
        "dry_width_m": slab.dry_width,
        "solid_m3": slab.solid,
        "slab_tally": slab.tally,
        "value_money": slab.value,
        "own_cost_money": slab.own_cost,
        "green_weight_kg": slab.weight,
        "green_weight_high_kg": slab.weight_high,
        "flat_fraction": slab.flat,
        "rift_fraction": slab.rift,
        "quarter_fraction": slab.quarter,
        "figure_fraction": slab.figure_share,
        "holds_pith": slab.holds_pith,
        "pieces": [
            {"use": p.use, "start_m": p.start, "end_m": p.end, "value_money": p.value} for p in slab.pieces
        ],
        "pair_with": slab.pair_with,
        "outline": {"z_m": _list(o.z), "upper_edges_m": _list(o.upper), "lower_edges_m": _list(o.lower)},
    }


def _rail(plan: Plan) -> dict[str, Any]:
    s = plan.setup
    tilt = 0.5 * (s.rail_top - s.rail_butt)
    return {
        "underside_above_pith_butt_m": s.rail_butt,
        "underside_above_pith_top_m": s.rail_top,
        "underside_above_ground_butt_m": s.above_ground_butt,
        "underside_above_ground_top_m": s.above_ground_top,
        "ledge_butt_m": s.ledge_butt,
        "ledge_top_m": s.ledge_top,
        "first_depth_m": s.first_depth,
        "overhang_m": s.overhang,
        "screws_low_butt_m": s.screws_low - tilt,
        "screws_high_butt_m": s.screws_high - tilt,
        "screws_low_top_m": s.screws_low + tilt,
        "screws_high_top_m": s.screws_high + tilt,
        "last_face_above_ground_m": s.last_face_above_ground,
        "remarks": list(s.remarks),
    }


def _way(way: Way) -> dict[str, Any]:
    return {
        "name": way.name,
        "chosen": way.chosen,
        "net_money": way.net,
        "total_tally": way.tally,
        "slabs": way.slabs,
        "cuts": way.cuts,
        "cut_area_m2": way.area,
        "sawing_min": way.minutes,
        "note": way.note,
    }


def _doubt(doubt: Doubt) -> dict[str, Any]:
    return {
        "field": doubt.field,
        "assumed": doubt.value,
        "low": doubt.low,
        "high": doubt.high,
        "net_low_money": doubt.net_low,
        "net_high_money": doubt.net_high,
        "swing_money": doubt.swing,
    }


def _retake(retake: Retake) -> dict[str, Any]:
    return {
        "field": retake.field,
        "measured": retake.value,
        "standard_error": retake.error,
        "net_low_money": retake.net_low,
        "net_high_money": retake.net_high,
        "same_cuts_low_money": retake.kept_low,
        "same_cuts_high_money": retake.kept_high,
        "swing_money": retake.swing,
        "regret_money": retake.regret,
        "largest_move_m": retake.moved,
    }


def _spread(spread: Spread | None) -> dict[str, float] | None:
    return None if spread is None else {"p10": spread.p10, "p50": spread.p50, "p90": spread.p90}


def _list(array: NDArray[Any]) -> list[Any]:
    told: list[Any] = array.tolist()
    return told

"""The whole plan as one JSON document, for other programs and for keeping."""

from __future__ import annotations

import json
import math
from functools import cache
from importlib.resources import files
from typing import Any

from numpy.typing import NDArray

from pithline.saw.plan import Cut, Doubt, Plan, PlannedSlab, Spread, Way
from pithline.sheets.placing import slabs_of
from pithline.slab.tally import TallyUnit

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
            "green_weight_kg": sum(s.weight for s in plan.slabs),
            "green_weight_high_kg": sum(s.weight_high for s in plan.slabs),
            "cut_area_m2": plan.area,
            "sawing_min": plan.minutes,
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
        "doubts": [_doubt(d) for d in plan.doubts],
        "remarks": list(plan.remarks),
        "log": _log(plan),
        "lie": {
            "pith_butt_m": plan.lie.pith_butt,
            "pith_top_m": plan.lie.pith_top,
            "bearer_butt_m": plan.lie.bearer_butt,
            "bearer_top_m": plan.lie.bearer_top,
            "side_slope_m_per_m": plan.lie.side_slope,
            "powerhead_room_m": plan.lie.powerhead_room,
        },
        "mill": _mill(plan),
        "aims": _aims(plan),
        "rates": _rates(plan),
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
        "outline": {"z_m": _list(o.z), "upper_edges_m": _list(o.upper), "lower_edges_m": _list(o.lower)},
    }


def _rail(plan: Plan) -> dict[str, Any]:
    s = plan.setup
    return {
        "underside_above_pith_butt_m": s.rail_butt,
        "underside_above_pith_top_m": s.rail_top,
        "underside_above_ground_butt_m": s.above_ground_butt,
        "underside_above_ground_top_m": s.above_ground_top,
        "ledge_butt_m": s.ledge_butt,
        "ledge_top_m": s.ledge_top,
        "first_depth_m": s.first_depth,
        "overhang_m": s.overhang,
        "screws_low_m": s.screws_low,
        "screws_high_m": s.screws_high,
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


def _log(plan: Plan) -> dict[str, Any]:
    shape = plan.shape
    second = None
    if shape.second_pith is not None:
        second = [None if any(map(math.isnan, p)) else list(p) for p in shape.second_pith.tolist()]
    return {
        "length_m": shape.length,
        "z_m": _list(shape.z),
        "outlines_under_bark_m": _list(shape.outlines),
        "bark_m": _list(shape.bark),
        "second_pith_m": second,
        "zones": [
            {
                "kind": zone.kind.value,
                "start_m": zone.start,
                "end_m": zone.end,
                "x_m": zone.x,
                "y_m": zone.y,
                "radius_m": zone.radius,
                "note": zone.note,
            }
            for zone in shape.zones
        ],
    }


def _mill(plan: Plan) -> dict[str, Any]:
    m = plan.mill
    return {
        "bar_m": m.bar,
        "bar_lost_m": m.bar_lost,
        "clearance_m": m.clearance,
        "kerf_m": m.kerf,
        "depth_min_m": m.depth_min,
        "depth_max_m": m.depth_max,
        "step_m": m.step,
        "rail_m": m.rail,
        "overrun_m": m.overrun,
        "below_bar_m": m.below_bar,
        "screw_low_m": m.screw_low,
        "screw_high_m": m.screw_high,
        "pace_min_per_m2": m.minutes_per_area,
        "per_cut_min": m.minutes_per_cut,
    }


def _aims(plan: Plan) -> dict[str, Any]:
    a = plan.aims
    return {
        "thicknesses": [
            {"label": t.label, "kind": t.kind.value, "size_m": t.size, "quarters": t.quarters}
            for t in a.thicknesses
        ],
        "moisture_fraction": a.moisture,
        "tally": a.tally.value,
        "unit": a.unit.value,
        "least_width_m": a.least_width,
        "least_length_m": a.least_length,
        "trim_butt_m": a.trim_butt,
        "trim_top_m": a.trim_top,
        "pith": a.pith.value,
        "pith_deduction_fraction": a.pith_deduction,
        "follow": a.follow.value,
        "pitch_m_per_m": a.pitch,
        "roll_rad": a.roll,
        "roll_free": a.roll_free,
        "both_sides": a.both_sides,
        "bark": a.bark.value,
        "least_waste_m": a.least_waste,
        "sawing_variation_m": a.sawing_variation,
        "flattening": [
            {"up_to_m": None if math.isinf(width) else width, "allowance_m": allowance}
            for width, allowance in a.flattening
        ],
        "flat_below_rad": a.flat_below,
        "quarter_above_rad": a.quarter_above,
    }


def _rates(plan: Plan) -> dict[str, Any]:
    r = plan.rates
    return {
        "by_thickness": [{"label": label, "per_tally_unit_money": rate} for label, rate in r.by_thickness],
        "otherwise_per_tally_unit_money": r.otherwise,
        "width": [{"from_m": s.least, "premium_fraction": s.premium} for s in r.width],
        "length": [{"from_m": s.least, "premium_fraction": s.premium} for s in r.length],
        "figure_fraction": r.figure,
        "cut_cost_money_per_m2": r.per_cut_area,
        "slab_cost_money": r.per_slab,
    }


def _spread(spread: Spread | None) -> dict[str, float] | None:
    return None if spread is None else {"p10": spread.p10, "p50": spread.p50, "p90": spread.p90}


def _list(array: NDArray[Any]) -> list[Any]:
    told: list[Any] = array.tolist()
    return told

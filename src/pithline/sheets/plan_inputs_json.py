"""What went into a plan, as parts of its JSON document."""

from __future__ import annotations

import math
from typing import Any

from pithline.saw.plan import Plan
from pithline.saw.uses.use import Use

__all__ = ["aims_part", "lie_part", "log_part", "mill_part", "rates_part"]


def log_part(plan: Plan) -> dict[str, Any]:
    """The shape that was sawn."""
    shape = plan.shape
    second = None
    if shape.second_pith is not None:
        second = [None if any(map(math.isnan, p)) else list(p) for p in shape.second_pith.tolist()]
    return {
        "length_m": shape.length,
        "z_m": shape.z.tolist(),
        "outlines_under_bark_m": shape.outlines.tolist(),
        "bark_m": shape.bark.tolist(),
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


def lie_part(plan: Plan) -> dict[str, Any]:
    """How the log lay when it was measured."""
    return {
        "pith_butt_m": plan.lie.pith_butt,
        "pith_top_m": plan.lie.pith_top,
        "bearer_butt_m": plan.lie.bearer_butt,
        "bearer_top_m": plan.lie.bearer_top,
        "side_slope_m_per_m": plan.lie.side_slope,
        "powerhead_room_m": plan.lie.powerhead_room,
    }


def mill_part(plan: Plan) -> dict[str, Any]:
    """The saw and its limits."""
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
        "per_turn_min": m.minutes_per_turn,
    }


def aims_part(plan: Plan) -> dict[str, Any]:
    """What was wanted."""
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
        "roll_held_to_crotch": a.crotch_plane and plan.shape.second_pith is not None,
        "both_sides": a.both_sides,
        "alternate": a.alternate,
        "bark": a.bark.value,
        "least_waste_m": a.least_waste,
        "sawing_variation_m": a.sawing_variation,
        "flattening": [
            {"up_to_m": None if math.isinf(width) else width, "allowance_m": allowance}
            for width, allowance in a.flattening
        ],
        "flat_below_rad": a.flat_below,
        "quarter_above_rad": a.quarter_above,
        "orders": [_use(u) for u in a.orders],
        "feather_m": a.feather,
        "skips": [{"low_m": low, "high_m": high} for low, high in a.skips],
    }


def rates_part(plan: Plan) -> dict[str, Any]:
    """What it is worth and costs."""
    r = plan.rates
    return {
        "by_thickness": [{"label": label, "per_tally_unit_money": rate} for label, rate in r.by_thickness],
        "otherwise_per_tally_unit_money": r.otherwise,
        "width": [{"from_m": s.least, "premium_fraction": s.premium} for s in r.width],
        "length": [{"from_m": s.least, "premium_fraction": s.premium} for s in r.length],
        "figure_fraction": r.figure,
        "cut_cost_money_per_m2": r.per_cut_area,
        "slab_cost_money": r.per_slab,
        "carry_cost_money_per_kg": r.per_kg,
        "month_cost_money_per_m3": r.per_month,
        "inch_drying_months": r.inch_months,
        "drying_months_power": r.months_power,
        "uses": [_use(u) for u in r.uses],
    }


def _use(use: Use) -> dict[str, Any]:
    return {
        "name": use.name,
        "width_m": use.width,
        "length_m": use.length,
        "thicknesses": list(use.thicknesses),
        "price_money": use.price,
        "at_most": use.at_most,
        "ordered": use.ordered,
        "pair": use.pair,
        "figure_fraction": use.figure,
        "grain": use.grain.value,
        "clear_of_pith": use.clear_of_pith,
    }

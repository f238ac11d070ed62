"""A stack for air drying as plain data, units in the keys."""

from __future__ import annotations

import math
from typing import Any

from pithline.dry.laying.floor_load import GRAVITY
from pithline.dry.laying.stack import Stack
from pithline.dry.laying.stood import Standing
from pithline.sheets.charge_json import layer_record

__all__ = ["pile_record"]


def pile_record(stack: Stack, stood: Standing) -> dict[str, Any]:
    """Everything that is said of a stack; null where a slab's weight is not known."""
    load, beams, steady = stood.load, stood.bolsters, stood.steadiness
    sticks = stack.stickers
    return {
        "how": stack.how,
        "proved_fewest_layers": stack.fewest if stack.how == "best use of floor" else None,
        "height_m": stack.height,
        "width_m": stack.width,
        "length_m": stack.length,
        "base_m": stack.ground.base,
        "layers": [layer_record(layer, n) for n, layer in zip(stack.numbers, stack.layers, strict=True)],
        "sticks": {
            "thickness_m": sticks.thickness,
            "width_m": sticks.width,
            "length_m": stack.width,
            "rows_m": list(sticks.rows),
            "spacing_m": sticks.spacing,
            "count": stack.sticks,
        },
        "bolsters": None
        if beams is None
        else {
            "count": beams.count,
            "length_m": beams.length,
            "side_m": beams.side,
            "blocks": beams.blocks,
            "span_m": beams.span or None,
            "loads_kg": list(stood.row_loads),
            "load_kn": beams.load * GRAVITY / 1000,
            "most_on_a_block_kn": beams.block_load * GRAVITY / 1000 if beams.blocks else None,
        },
        "wood_mass_kg": stood.wood,
        "sticks_timbers_top_mass_kg": stood.extras,
        "mass_kg": stood.mass,
        "floor_load_kg_m2": load,
        "floor_load_kn_m2": None if load is None else load * GRAVITY / 1000,
        "floor_bears_kg_m2": stood.bears,
        "floor_overloaded": stood.too_heavy,
        "top_weight_kg": stack.ground.top_weight,
        "top_weight_aim_kg": list(stood.top_weight),
        "height_over_width": steady.ratio,
        "tips_at_lean_deg": math.degrees(steady.lean),
        "tips_on_layer": stack.numbers[steady.weakest - 1] if steady.weakest else 0,
        "brace": steady.brace,
        "lifts": [
            {
                "slab": lift.name,
                "mass_now_kg": lift.mass,
                "mass_green_kg": lift.green,
                "people": lift.people,
                "not_by_hand": lift.people is None if lift.most else None,
            }
            for lift in stood.lifts
        ],
        "safe_losses": [
            {
                "species": pace.wood,
                "thickness_m": pace.thickness,
                "low_percent_per_day": 100 * pace.loss.low,
                "percent_per_day": 100 * pace.loss.mid,
                "high_percent_per_day": 100 * pace.loss.high,
                "guess": pace.loss.guess,
                "basis": list(pace.loss.basis),
            }
            for pace in stood.paces
        ],
        "reminders": [{"kind": one.kind, "told": one.told, "source": one.source} for one in stood.reminders],
    }

"""A kiln charge and its layers as plain data, units in the keys."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from pithline.dry.laying.charge import Charge
from pithline.dry.laying.layers import Laid, Layer
from pithline.dry.laying.share import SpaceShare
from pithline.dry.laying.stickers import OVERHANG, Stickers

__all__ = ["charge_record", "layer_record", "share_record", "sticks_record"]


def charge_record(charge: Charge) -> dict[str, Any]:
    """Everything that the plan of a load says."""
    shelves = [
        {
            "thickness_m": shelf.thickness,
            "slabs": shelf.slabs,
            "layers": shelf.layers,
            "layers_at_least": shelf.at_least,
            "gap_layers": shelf.gap,
            "proved_fewest": shelf.proved,
            "rectangle_layers": shelf.rectangle_layers,
            "rectangle_layers_proved_fewest": shelf.rectangles_proved,
            "groups": shelf.groups,
            "fewest_of_these_groups": shelf.settled,
        }
        for shelf in charge.shelves
    ]
    return {
        "room": {
            "length_m": charge.room.floor.length,
            "width_m": charge.room.floor.width,
            "height_m": charge.room.height,
            "gap_m": charge.room.floor.gap,
            "skew_most_deg": math.degrees(charge.room.floor.skew),
        },
        "height_m": charge.height,
        "filled_area_fraction": charge.filled,
        "wood_volume_fraction": charge.wood_share,
        "thicknesses": shelves,
        "sticks": sticks_record(charge.stickers, len(charge.layers)),
        "layers": [layer_record(layer, n) for n, layer in enumerate(charge.layers, 1)],
        "more_wanted_at_most_fraction": charge.short,
        "left_out": [{"slab": out.name, "why": out.why} for out in charge.left_out],
    }


def sticks_record(stickers: Stickers, layers: int) -> dict[str, Any]:
    """Sticks of a stack; one set below every layer."""
    return {
        "thickness_m": stickers.thickness,
        "width_m": stickers.width,
        "rows_m": list(stickers.rows),
        "spacing_m": stickers.spacing,
        "count": len(stickers.rows) * layers,
    }


def layer_record(layer: Layer, number: int) -> dict[str, Any]:
    """One layer and how its slabs lie."""
    return {
        "layer": number,
        "thickness_m": layer.thickness,
        "height_m": layer.height,
        "filled_area_fraction": layer.filled,
        "mass_kg": layer.mass or None,
        "slabs": [_laid(laid) for laid in layer.slabs],
    }


def share_record(shares: Sequence[SpaceShare], currency: str) -> list[dict[str, Any]]:
    """What each slab pays, and how much of that is for air."""
    return [
        {
            "slab": one.name,
            "days": one.days,
            "share_fraction": one.share,
            "cost_money": one.cost,
            "wood_money": one.wood_cost,
            "air_money": one.air_cost,
            "currency": currency,
        }
        for one in shares
    ]


def _laid(laid: Laid) -> dict[str, Any]:
    return {
        "slab": laid.slab.name,
        "thickness_m": laid.slab.thickness,
        "mass_kg": laid.slab.mass or None,
        "from_end_m": laid.along,
        "from_left_m": laid.across,
        "left_edge_near_end_m": laid.edge(False),
        "left_edge_far_end_m": laid.edge(True),
        "end_for_end": laid.turn.end_for_end,
        "face_down": laid.turn.face_down,
        "skew_deg": math.degrees(laid.turn.skew),
        "overhang_near_m": laid.overhang[0],
        "overhang_far_m": laid.overhang[1],
        "extra_stick_near": laid.overhang[0] > OVERHANG,
        "extra_stick_far": laid.overhang[1] > OVERHANG,
        "outline_m": [[round(float(x), 6), round(float(y), 6)] for x, y in laid.ring],
    }

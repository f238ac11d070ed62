"""Why no slab can be sawn: the limit that is in the way, and what to do about it."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pithline.saw.aims import Aims, BarkWay
from pithline.saw.mill import Mill
from pithline.saw.model import Model
from pithline.saw.solution import solve
from pithline.units import show_length

__all__ = ["why_nothing"]

Floats = NDArray[np.float64]


def why_nothing(model: Model, mill: Mill, aims: Aims, roll: float, pitch: float, ground: Floats) -> str:
    """Find what keeps every slab from being sawn, found by lifting one limit after the other."""
    longer = Model(model.wood, model.reach._replace(bar=math.inf), model.pay, model.choices)
    free = solve(longer, roll, pitch, ground)
    if free.slabs:
        i = free.cuts[len(free.cuts) // 2] - free.first
        width = max(free.tables.widest[i], free.tables.widest[i - model.reach.kerf])
        turned = model.wood.bar_outlines[..., 0] * math.cos(roll) - model.wood.bar_outlines[
            ..., 1
        ] * math.sin(roll)
        z = float(model.wood.z[np.argmax(turned.max(axis=1) - turned.min(axis=1))])
        excess = float(width) - model.reach.bar
        bark = " over bark" if aims.bark is BarkWay.ON else ""
        return (
            "The bar is too short for every cut that frees a slab: one halfway down is "
            f"{show_length(float(width))}{bark} "
            f"at {show_length(z, kind='long')} from the butt, your bar cuts {show_length(model.reach.bar)} "
            f"({show_length(mill.usable)} less {show_length(mill.clearance)} clearance). "
            f"Take {show_length(excess)} off the width there, or use a bar of "
            f"{show_length(mill.bar + excess)} or longer."
        )
    lifted = solve(longer, roll, pitch, np.array([-math.inf, -math.inf]))
    if lifted.slabs:
        short = float(ground.max()) - (lifted.cuts[-1] - model.reach.kerf) * model.reach.step
        return (
            "The log lies too low: no cut that frees a slab clears the ground. "
            f"Raise it on bearers by about {show_length(max(short, 0.0))}, or say that it may be turned over."
        )
    free_money = model.pay._replace(deduction=0.0, slab_cost=0.0, pith_rule=0)
    no_cost = Model(model.wood, longer.reach._replace(cut_cost=0.0), free_money, model.choices)
    paying = solve(no_cost, roll, pitch, np.array([-math.inf, -math.inf]))
    if paying.slabs:
        return (
            "No slab pays for its own cut under these rates, costs and pith rule. "
            "Look at the cost per m² of cut and per slab, the rates, and the pith rule."
        )
    widest = float((model.wood.outlines[..., 0].max(axis=1) - model.wood.outlines[..., 0].min(axis=1)).max())
    return (
        f"No slab reaches {show_length(aims.least_width)} in width over "
        f"{show_length(aims.least_length, kind='long')} in this log "
        f"(widest {show_length(widest)}). Ask for less width or length, or for thinner slabs."
    )

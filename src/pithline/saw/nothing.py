"""Why no slab can be sawn: the limit that is in the way, and what to do about it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pithline.saw.aims import Aims, BarkWay
from pithline.saw.mill import Mill
from pithline.saw.model import Model
from pithline.saw.solution import Solution, solve
from pithline.units import System, show_length

__all__ = ["why_nothing"]

Floats = NDArray[np.float64]


def _too_wide(free: Solution, model: Model, mill: Mill, aims: Aims, system: System) -> str:
    """How much width must come off for the widest cut of a plan that any bar could saw, and where."""
    kerf = model.reach.kerf
    widest = max(free.cuts, key=lambda c: free.tables.widest[[c - free.first, c - kerf - free.first]].max())
    heights = [line * model.reach.step for line in (widest, widest - kerf)]
    chords = np.array([_chords(model, free, height) for height in heights]).max(axis=0)
    bar = model.reach.bar
    over = np.flatnonzero(chords > bar)
    bark = " over bark" if aims.bark is BarkWay.ON else ""

    def at(station: int) -> str:
        return show_length(float(model.wood.z[station]), system, "long")

    def excess(station: int) -> str:
        return show_length(float(chords[station]) - bar, system)

    most, first, last = int(chords.argmax()), int(over[0]), int(over[-1])
    off = f"Take {excess(first)} off the width at {at(first)} from the butt"
    if last > first:
        off += f", {excess(last)} at {at(last)}, and what is over between them"
    return (
        "The bar is too short for every cut that frees a slab: the widest is "
        f"{show_length(float(chords[most]), system)}{bark} at {at(most)} from the butt, your bar cuts "
        f"{show_length(bar, system)} ({show_length(mill.usable, system)} less "
        f"{show_length(mill.clearance, system)} clearance). "
        f"{off}; or use a bar of {show_length(mill.bar + float(chords[most]) - bar, system)} or longer. "
        "`pithline halve` parts the log first, with --trim it finds the side cuts that pay most."
    )


def _chords(model: Model, solution: Solution, height: float) -> Floats:
    """What the bar must pass at each station on a plane [m]; 0 where it misses."""
    wood, s = model.wood, solution.setting
    u = wood.bar_outlines[..., 0] * s.sine + wood.bar_outlines[..., 1] * s.cosine
    v = wood.bar_outlines[..., 0] * s.cosine - wood.bar_outlines[..., 1] * s.sine
    h = (height + s.pitch * (wood.z - 0.5 * wood.z[-1]))[:, None]
    u2, v2 = np.roll(u, -1, axis=1), np.roll(v, -1, axis=1)
    crosses = (u > h) != (u2 > h)
    at = v + (h - u) * (v2 - v) / np.where(crosses, u2 - u, 1.0)
    far = np.where(crosses, at, -math.inf).max(axis=1) - np.where(crosses, at, math.inf).min(axis=1)
    return np.where(crosses.any(axis=1), far, 0.0)


def why_nothing(
    model: Model,
    mill: Mill,
    aims: Aims,
    roll: float,
    pitch: float,
    ground: Floats,
    system: System = "metric",
) -> str:
    """Find what keeps every slab from being sawn, found by lifting one limit after the other."""
    longer = replace(model, reach=model.reach._replace(bar=math.inf))
    free = solve(longer, roll, pitch, ground)
    if free.slabs:
        return _too_wide(free, model, mill, aims, system)
    lifted = solve(longer, roll, pitch, np.array([-math.inf, -math.inf]))
    if lifted.slabs:
        short = float(ground.max()) - (lifted.cuts[-1] - model.reach.kerf) * model.reach.step
        return (
            "The log lies too low: no cut that frees a slab clears the ground. "
            f"Raise it on bearers by about {show_length(max(short, 0.0), system)}, "
            "or say that it may be turned over."
        )
    nothing = np.zeros_like(model.pay.per_volume)
    free_money = model.pay._replace(deduction=0.0, slab_cost=0.0, per_volume=nothing, pith_rule=0)
    no_cost = replace(longer, reach=longer.reach._replace(cut_cost=0.0), pay=free_money)
    paying = solve(no_cost, roll, pitch, np.array([-math.inf, -math.inf]))
    if paying.slabs:
        return (
            "No slab pays for its own cut under these rates, costs and pith rule. "
            "Look at the cost per m² of cut and per slab, the rates, and the pith rule."
        )
    length = float(model.wood.z[model.wood.usable_to - 1] - model.wood.z[model.wood.usable_from])
    if length < aims.least_length:
        return (
            f"No slab can be {show_length(aims.least_length, system, 'long')} long: "
            f"{show_length(length, system, 'long')} is left between the end trims. "
            "Ask for less length or trim."
        )
    widest = float((model.wood.outlines[..., 0].max(axis=1) - model.wood.outlines[..., 0].min(axis=1)).max())
    return (
        f"No slab reaches {show_length(aims.least_width, system)} in width over "
        f"{show_length(aims.least_length, system, 'long')} in this log "
        f"(widest {show_length(widest, system)}). Ask for less width or length, or for thinner slabs."
    )

"""How to set the rail for the first cut, so that every later one follows from it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pithline.saw.mill import Mill
from pithline.saw.model import Model
from pithline.saw.plan import RailSetup
from pithline.saw.solution import Solution
from pithline.units import System, show_length, show_slope

__all__ = ["rail_setup", "turned_rail_depth"]

_SCREW_CLEAR = 0.015  # between a bracket screw and the kerf [m]
_SCREW_HOLD = 0.02  # wood above the farthest screw, below the end's highest point [m]; our choice


def _highest(solution: Solution, model: Model, sign: float = 1.0) -> float:
    """Highest bark above the pith line, measured along the cutting planes' normal. [m]"""
    wood, s = model.wood, solution.setting
    u = wood.over_bark[..., 0] * s.sine + wood.over_bark[..., 1] * s.cosine
    u = u - (s.pitch * (wood.z - 0.5 * wood.z[-1]))[:, None]
    return float((sign * u).max())


def _depth(cut: float, highest: float, model: Model, mill: Mill) -> tuple[float, bool]:
    """Smallest setting for a first cut at `cut` that clears the bark and the screws."""
    step = model.reach.step
    low = max(mill.depth_min, highest + model.reach.rail_clear - cut)
    depth = np.ceil(low / step - 1e-6) * step
    most = (model.reach.depth_max - model.reach.kerf) * step
    kerf = model.reach.kerf * step
    # Raise the rail a step at a time until the kerf passes above or below the screws.
    raised = depth
    while raised <= most + 1e-9:
        above = raised + kerf <= mill.screw_low - _SCREW_CLEAR
        below = raised >= mill.screw_high + _SCREW_CLEAR
        if above or below:
            return float(raised), True
        raised += step
    return float(depth), False


def turned_rail_depth(solution: Solution, model: Model, mill: Mill) -> float:
    """Setting of the first cut after the log has been turned over. [m]"""
    if not solution.cuts:
        return 0.0
    near = -(solution.cuts[-1] - model.reach.kerf) * model.reach.step
    return _depth(near, _highest(solution, model, -1.0), model, mill)[0]


def rail_setup(
    solution: Solution,
    model: Model,
    mill: Mill,
    pith_heights: tuple[float, float],
    turn: int,
    system: System = "metric",
) -> RailSetup:
    """Rail heights, ledges, first depth and bracket screws for a solution with cuts.

    Parameters
    ----------
    pith_heights : tuple of float
        Pith mark above the ground at butt and top, at the plan's roll. [m]
    turn : int
        Cuts made before the log is turned over; all of them where it is not.
    system : {"metric", "inch"}
        For the sizes in the remarks.
    """
    step, kerf = model.reach.step, model.reach.kerf
    length = float(model.wood.z[-1])
    tilt = solution.setting.pitch * 0.5 * length
    first = solution.cuts[0] * step
    depth, screws_clear = _depth(first, _highest(solution, model), model, mill)
    rail = first + depth
    rail_butt, rail_top = rail - tilt, rail + tilt
    s = solution.setting
    tops = (
        model.wood.over_bark[[0, -1], :, 0] * s.sine + model.wood.over_bark[[0, -1], :, 1] * s.cosine
    ).max(axis=1)
    # Once turned over, the log lies on its sawn face and the old ground says nothing.
    last = (solution.cuts[max(turn, 1) - 1] - kerf) * step
    over_ground = min(last - tilt + pith_heights[0], last + tilt + pith_heights[1])
    remarks = []
    overhang = mill.overrun
    if mill.rail is None:
        remarks.append(f"The rail must be {show_length(length + 2 * overhang, system, 'long')} long or more.")
    else:
        overhang = 0.5 * (mill.rail - length)
    if not screws_clear:
        remarks.append(
            "The first cut comes near the bracket screws: fix the brackets to the sides of the log, "
            "or take a thin opening piece off first."
        )
    remarks += _turned(solution, model, mill, turn, system)
    remarks += _screws_above_wood(solution, model, mill, rail, depth, system)
    if abs(pith_heights[0] - pith_heights[1]) > 1e-9:
        slope = (pith_heights[1] - pith_heights[0]) / length
        remarks.append(
            f"The log lies {'up' if slope > 0 else 'down'} towards the top by {show_slope(slope, system)}: "
            "set the rail from the pith marks, not with a spirit level."
        )
    return RailSetup(
        rail_butt=rail_butt,
        rail_top=rail_top,
        above_ground_butt=rail_butt + pith_heights[0],
        above_ground_top=rail_top + pith_heights[1],
        ledge_butt=rail_butt - float(tops[0]),
        ledge_top=rail_top - float(tops[1]),
        first_depth=depth,
        overhang=overhang,
        screws_low=rail - mill.screw_high,
        screws_high=rail - mill.screw_low,
        last_face_above_ground=over_ground,
        remarks=tuple(remarks),
    )


def _screws_above_wood(
    solution: Solution, model: Model, mill: Mill, rail: float, depth: float, system: System
) -> Iterator[str]:
    """Say where an end bracket's screws would find no wood."""
    s = solution.setting
    tilt = s.pitch * 0.5 * float(model.wood.z[-1])
    ends = model.wood.outlines[[0, -1]]
    tops = (ends[..., 0] * s.sine + ends[..., 1] * s.cosine).max(axis=1)
    bare = []
    for name, under, top in zip(("butt", "top"), (rail - tilt, rail + tilt), tops, strict=True):
        needed = under - float(top) + _SCREW_HOLD
        if needed <= mill.screw_high:
            continue
        if needed + _SCREW_CLEAR <= depth:
            yield (
                f"At the {name} the farthest bracket screw finds no wood: let it sit "
                f"{show_length(needed, system)} below the rail's underside or deeper."
            )
        else:
            bare.append(name)
    if bare:
        yield (
            f"At the {' and the '.join(bare)} too little wood stays above the first cut to hold a bracket: "
            "stand the rail on a trestle there, or let the cuts follow the bark."
        )


def _turned(solution: Solution, model: Model, mill: Mill, turn: int, system: System) -> Iterator[str]:
    """Say how to set the rail again once the log has been turned over."""
    if turn >= len(solution.cuts):
        return
    step, kerf = model.reach.step, model.reach.kerf
    tilt = solution.setting.pitch * 0.5 * float(model.wood.z[-1])
    depth = turned_rail_depth(solution, model, mill)
    rail = depth - (solution.cuts[-1] - kerf) * step
    at_butt, at_top = show_length(rail + tilt, system), show_length(rail - tilt, system)
    yield (
        f"Turned over: rail's underside above the pith mark {at_butt} at the butt, {at_top} at the top; "
        f"its first cut set to {show_length(depth, system)}."
    )
    most = (model.reach.depth_max - kerf) * step
    if depth > most + 1e-9:
        yield (
            f"That is deeper than this mill sets ({show_length(most, system)}): take a thin piece off the "
            "turned log first, and let the mill run on its face."
        )
    if turn > 0:
        left = (solution.cuts[turn - 1] - kerf - solution.cuts[turn]) * step
        lift = mill.below_bar - left
        if lift > 0:
            yield (
                f"Lay the turned log on bearers of {show_length(lift, system)} or more: its last cut passes "
                f"{show_length(left, system)} above the face it lies on; "
                f"the saw needs {show_length(mill.below_bar, system)}."
            )

"""The log from the side, butt at the left: pith line, rail, brackets, cuts, ground."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pithline.saw.plan import Plan
from pithline.sheets.end_view import zone_letter
from pithline.sheets.placing import ground, kerf_at, level, rolled, round_scale, slab_at
from pithline.sheets.svg import Frame, Svg, columned
from pithline.units import System, show_length

__all__ = ["side_view"]

Floats = NDArray[np.float64]

HEAD, SIDE, FOOT = 8.0, 17.0, 6.0  # paper kept for the caption, the heights and the ground [mm]
RAIL = 0.05  # drawn depth of the rail; the plan only needs its underside [m]


def side_view(
    plan: Plan,
    system: System = "metric",
    width: float = 250.0,
    height: float = 110.0,
    text: float = 3.0,
    columns: int = 3,
    heights: bool = True,
) -> str:
    """Draw the log as it lies for sawing, seen from its right.

    Right is meant as for a person who stands before the butt; the butt is at the left of the paper.

    Parameters
    ----------
    plan : Plan
    system : {"metric", "inch"}
    width, height : float
        The paper it may take. [mm]
    text : float
        Height of the numbers. [mm]
    columns : int
        Columns that the cut numbers may take turns in where lines crowd; beyond that some are left out.
    heights : bool
        Whether the heights of rail, pith and ground are written at both ends.

    Returns
    -------
    str
        An SVG document in millimetres of paper, lengths and heights to one round scale.
    """
    length, setup = plan.shape.length, plan.setup
    bark, wood = (rolled(o, plan.roll)[..., 1] for o in (plan.shape.over_bark(), plan.shape.outlines))
    feet = ground(plan)
    low = min(float(bark.min()), *feet)
    high = max(float(bark.max()), setup.rail_butt + RAIL, setup.rail_top + RAIL)
    over = setup.overhang
    side = SIDE if heights else 3.0
    scale = round_scale(length + 2 * over, high - low, width - 2 * side, height - HEAD - FOOT)
    k = 1000 / scale
    frame = Frame(width / 2 - length * k / 2, HEAD + high * k, scale)
    drawing = Svg(width, HEAD + (high - low) * k + FOOT, f"the log from the side, scale 1:{scale:g}")
    drawing.write((1.0, 2.8), "From the side, butt at the left", text * 1.1, "start", font_weight="bold")
    drawing.write((width - 1.0, 2.8), f"1:{scale:g}", text * 0.9, "end")

    _draw_ground(drawing, frame, plan, bark, text)
    z = plan.shape.z
    hatch = drawing.hatch("side-spare", 1.6, 45)
    _draw_band(drawing, frame, z, bark.min(axis=1), bark.max(axis=1), 0.2, "white", class_="bark")
    bottom, crown = wood.min(axis=1), wood.max(axis=1)
    _draw_band(drawing, frame, z, bottom, crown, 0.45, hatch, class_="wood")
    for slab in plan.slabs:
        faces = np.array([slab_at(plan, slab, float(s)) for s in z])
        lower, upper = np.maximum(faces[:, 0], bottom), np.minimum(faces[:, 1], crown)
        there = lower < upper
        if there.sum() > 1:
            _draw_band(drawing, frame, z[there], lower[there], upper[there], 0.0, "white", class_="slab")
    _draw_band(drawing, frame, z, bottom, crown, 0.45, "none")
    for zone in plan.shape.zones:
        y = float(rolled(np.array([zone.x, zone.y]), plan.roll)[1])
        corners = [(zone.start, y - zone.radius), (zone.end, y - zone.radius), (zone.end, y + zone.radius),
                   (zone.start, y + zone.radius)]  # fmt: skip
        drawing.shape([frame(*p) for p in corners], 0.3, stroke_dasharray="1.2 0.8", class_="zone")
    drawing.line(
        frame(-over * 0.4, 0), frame(length + over * 0.4, 0), 0.3, stroke_dasharray="4 1 0.6 1", class_="pith"
    )
    _draw_cuts(drawing, frame, plan, text, columns)
    for zone in plan.shape.zones:
        y = float(rolled(np.array([zone.x, zone.y]), plan.roll)[1])
        drawing.label(
            frame(zone.start + 0.15 * (zone.end - zone.start), y),
            zone_letter(zone),
            text,
            font_style="italic",
        )
    _draw_rail(drawing, frame, plan, text)
    if heights:
        _draw_heights(drawing, frame, plan, system, text)
    return drawing.render()


def _draw_band(
    drawing: Svg,
    frame: Frame,
    z: Floats,
    low: Floats,
    high: Floats,
    width: float,
    fill: str,
    **attributes: Any,
) -> None:
    there = [(float(a), float(b)) for a, b in zip(z, low, strict=True)]
    back = [(float(a), float(b)) for a, b in zip(z[::-1], high[::-1], strict=True)]
    drawing.shape([frame(*p) for p in there + back], width, fill, **attributes)


def _draw_ground(drawing: Svg, frame: Frame, plan: Plan, bark: Floats, text: float) -> None:
    """The ground between the two heights that were measured, and the bearers."""
    length, feet = plan.shape.length, ground(plan)
    rise = (feet[1] - feet[0]) / length
    ends = (-plan.setup.overhang, length + plan.setup.overhang)
    a, b = (frame(e, feet[0] + rise * e) for e in ends)
    drawing.line(a, b, 0.5, class_="ground")
    for e in np.arange(ends[0] + 0.1, ends[1], 3.0 / frame.size(1.0)):
        x, y = frame(float(e), feet[0] + rise * float(e))
        drawing.line((x, y), (x - 1.6, y + 1.6), 0.15)
    for z, station in ((0.3, 0), (length - 0.3, -1)):
        below, foot = float(bark[station].min()), feet[0] + rise * z
        if below > foot + 0.005:
            corners = [(z - 0.08, foot), (z + 0.08, foot), (z + 0.08, below), (z - 0.08, below)]
            drawing.shape([frame(*p) for p in corners], 0.3, fill="white", class_="bearer")
    drawing.write((frame(length / 2, 0)[0], frame(0, min(feet))[1] + 4.0), "ground", text * 0.85)


def _draw_cuts(drawing: Svg, frame: Frame, plan: Plan, text: float, columns: int) -> None:
    """Kerfs to scale; cut numbers beside both ends, slab numbers staggered inside."""
    length = plan.shape.length
    k = max(frame.size(plan.kerf), 0.25)
    for end, way, anchor in ((0.0, -1, "end"), (length, 1, "start")):
        lines = [frame(end, sum(kerf_at(plan, c, end)) / 2) for c in plan.cuts]
        for i, (column, place) in columned([y for _, y in lines], text * 0.95, columns).items():
            (x, y), at = lines[i], lines[i][0] + way * (2.6 + column * text * 1.75)
            drawing.path([(x + way * 0.6, y), (x + way * 1.6, y), (at, place)], 0.1)
            drawing.write(
                (at + way * 0.4, place), str(plan.cuts[i].number), text * 0.95, anchor, font_weight="bold"
            )
    for cut in plan.cuts:
        ends = [frame(end, sum(kerf_at(plan, cut, end)) / 2) for end in (0.0, length)]
        drawing.line(ends[0], ends[1], k, class_="cut", data_cut=cut.number)
    # Slab numbers climb a stair, so that white grounds do not cover one another.
    thin = min((frame.size(s.outline.thickness + plan.kerf) for s in plan.slabs), default=9.0)
    stairs = max(1, math.ceil(1.15 * text / thin))
    named = "s" if stairs > 3 else "slab "
    step = (0.66 * text * (len(named) + 2) + 1.5) / frame.size(length)
    for i, slab in enumerate(plan.slabs):
        z = length * (0.5 + (i % stairs - (stairs - 1) / 2) * min(step, 0.9 / stairs))
        drawing.label(frame(z, level(plan, (slab.upper + slab.lower) / 2, z)), f"{named}{slab.number}", text)


def _draw_rail(drawing: Svg, frame: Frame, plan: Plan, text: float) -> None:
    """The rail by its underside, and the end brackets down to their screws."""
    setup, length = plan.setup, plan.shape.length
    rise = (setup.rail_top - setup.rail_butt) / length
    a, b = -setup.overhang, length + setup.overhang
    under = [(a, setup.rail_butt + rise * a), (b, setup.rail_butt + rise * b)]
    drawing.shape(
        [frame(*p) for p in [*under, *((z, y + RAIL) for z, y in under[::-1])]], 0.35, "white", class_="rail"
    )
    x, y = frame(length * 0.75, setup.rail_butt + rise * length * 0.75 + RAIL)
    drawing.write((x, y - text * 0.7), "rail", text * 0.85)
    tilt = 0.5 * (setup.rail_top - setup.rail_butt)
    for z, out, top, off in ((0.0, -0.03, setup.rail_butt, -tilt), (length, 0.03, setup.rail_top, tilt)):
        foot = setup.screws_low + off - 0.02
        corners = [(z, top), (z + out, top), (z + out, foot), (z, foot)]
        drawing.shape([frame(*p) for p in corners], 0.3, "white", class_="bracket")
        for y in (setup.screws_low, setup.screws_high):
            at = frame(z + out / 2, y + off)
            drawing.add("circle", cx=at[0], cy=at[1], r=0.45, fill="black", class_="screw")


def _draw_heights(drawing: Svg, frame: Frame, plan: Plan, system: System, text: float) -> None:
    """At each end: rail's underside above the pith mark, pith mark above the ground."""
    setup, length, feet = plan.setup, plan.shape.length, ground(plan)
    for end, edge, rail, pith in (
        (0.0, 5.0, setup.rail_butt, -feet[0]),
        (length, drawing.width - 5.0, setup.rail_top, -feet[1]),
    ):
        near = frame(end, 0)[0]
        heights = [frame(end, h)[1] for h in (rail, 0.0, -pith)]
        for y in heights:
            drawing.line((edge, y), (near, y), 0.1, stroke_dasharray="0.6 0.8")
        for (y1, y2), told, upper in zip(pairwise(heights), (rail, pith), (True, False), strict=True):
            drawing.line((edge, y1), (edge, y2), 0.2)
            for y in (y1, y2):
                drawing.line((edge - 0.8, y + 0.8), (edge + 0.8, y - 0.8), 0.25)
            words, anchor, y = show_length(told, system), "middle", (y1 + y2) / 2
            if 0.57 * text * len(words) + 1.0 > abs(y2 - y1):
                # On a thin log the two would run into each other: each goes its own way from the mark.
                anchor, y = ("start", y2 - 0.6) if upper else ("end", y1 + 0.6)
            x = edge + (2.2 if end else -2.2)
            drawing.write((0.0, 0.0), words, text, anchor,
                          transform=f"translate({x:.2f} {y:.2f}) rotate(-90)")  # fmt: skip

"""The opened log: its slabs fanned like leaves about the butt, in the order they lay."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from pithline.saw.plan import Plan, PlannedSlab
from pithline.sheets.placing import band, chord, kerf_at, rolled, slab_at
from pithline.sheets.svg import Frame, Svg
from pithline.sheets.wording import tally
from pithline.units import System, show_length

__all__ = ["opened_log"]

Floats = NDArray[np.float64]
Point = tuple[float, float]

GAP = 0.10  # between neighbouring leaves at the butt [m]
HEAD, EDGE, SIDE = 13.0, 9.0, 26.0  # paper kept for the caption, and round the tips for words [mm]
RINGS = (0.2, 0.35, 0.5, 0.65, 0.8, 0.93)
_MOST = 36  # stations along a leaf


def opened_log(plan: Plan, system: System = "metric", width: float = 250.0, text: float = 3.2) -> str:
    """Draw every slab as a leaf round the butt end: the log as if it were opened like a fan.

    Parameters
    ----------
    plan : Plan
    system : {"metric", "inch"}
    width : float
        Paper it may take. [mm]
    text : float
        Height of the numbers. [mm]

    Returns
    -------
    str
        An SVG document in millimetres of paper; leaves and butt end to one scale.

    Notes
    -----
    A leaf points away from the butt and is looked at from above, as by the person who
    stands at the butt: the log's right is the leaf's right. The slabs follow each
    other clockwise from the top of the log. The full line is the wider face, dashes
    are the other. The thin lines are where growth rings would run if each had the
    outline's shape: arches where the face is flat-sawn, straight beside the pith.
    """
    slabs = plan.slabs
    half = float(np.abs(plan.shape.over_bark()[0]).max())
    angles, inner = _fan(slabs, half)
    reach = inner + plan.shape.length
    spread = [p for s, a in zip(slabs, angles, strict=True) for p in _corners(s, a, inner, reach)]
    points = np.array([*spread, (half, half), (-half, -half)])
    low, high = points.min(axis=0), points.max(axis=0)
    # Few leaves make a tall fan: it may not be taller than it is wide.
    scale = 1000 * max((high[0] - low[0]) / (width - 2 * SIDE), (high[1] - low[1]) / width)
    k = 1000 / scale
    frame = Frame(width / 2 - (low[0] + high[0]) / 2 * k, HEAD + EDGE + high[1] * k, scale)
    height = HEAD + EDGE + 4.0 + (high[1] - low[1]) * k
    drawing = Svg(width, height, f"the opened log, {len(slabs)} slabs round the butt end")
    drawing.write((1.0, 3.2), "The opened log", text * 1.25, "start", font_weight="bold")
    told = "slabs from the top of the log clockwise, butt ends at the middle, seen from above"
    drawing.write((1.0, 3.2 + text * 1.5), told, text * 0.85, "start")
    drawing.write((width - 1.0, 3.2), f"1:{scale:.0f}", text * 0.9, "end")
    hatch = drawing.hatch("opened-off", 1.2, 45)
    for slab, angle in zip(slabs, angles, strict=True):
        _draw_leaf(drawing, frame, plan, slab, angle, inner, hatch)
    _draw_butt(drawing, frame, plan, text)
    for slab, angle in zip(slabs, angles, strict=True):
        _name_leaf(drawing, frame, plan, slab, angle, inner, system, text)
    return drawing.render()


def _fan(slabs: tuple[PlannedSlab, ...], half: float) -> tuple[list[float], float]:
    """Direction of each leaf, clockwise from straight up [rad], and how far its butt lies from the middle."""
    widths = [_edges(s)[1] - _edges(s)[0] + GAP for s in slabs]
    turn = min(math.radians(34 * max(len(slabs) - 1, 0)), math.radians(200 if len(slabs) < 12 else 290))
    total = sum(widths) - (widths[0] + widths[-1]) / 2 if widths else 0.0
    inner = max(half + 0.22, total / turn if turn else 0.0)
    angles, along = [], 0.0
    for n, w in enumerate(widths):
        along += (widths[n - 1] + w) / 2 if n else 0.0
        angles.append(turn * (along / total - 0.5) if total else 0.0)
    return angles, inner


def _edges(slab: PlannedSlab) -> tuple[float, float]:
    both = np.concatenate([slab.outline.upper, slab.outline.lower])
    return float(both[:, 0].min()), float(both[:, 1].max())


def _leaf(angle: float, inner: float) -> Callable[[float, float], Point]:
    """From along and across a slab to the plane of the fan. [m]"""
    s, c = math.sin(angle), math.cos(angle)
    return lambda z, x: ((inner + z) * s + x * c, (inner + z) * c - x * s)


def _corners(slab: PlannedSlab, angle: float, inner: float, reach: float) -> list[Point]:
    at = _leaf(angle, inner)
    low, high = _edges(slab)
    middle = (low + high) / 2
    return [at(z, x - middle) for z in (0.0, reach - inner) for x in (low, high)]


def _draw_leaf(
    drawing: Svg, frame: Frame, plan: Plan, slab: PlannedSlab, angle: float, inner: float, hatch: str
) -> None:
    o, at = slab.outline, _leaf(angle, inner)
    low, high = _edges(slab)
    middle = (low + high) / 2  # a leaf is centred, wherever its log sweeps to
    upper_is_wide = float(o.upper_width.sum()) >= float(o.lower_width.sum())
    wide, other = (o.upper, o.lower) if upper_is_wide else (o.lower, o.upper)

    def outline(face: Floats, z: Floats) -> list[Point]:
        left = [at(float(a), float(x) - middle) for a, x in zip(z, face[:, 0], strict=True)]
        right = [at(float(a), float(x) - middle) for a, x in zip(z[::-1], face[::-1, 1], strict=True)]
        return [frame(*p) for p in left + right]

    drawing.shape(outline(wide, o.z), 0.0, "white", class_="leaf", data_slab=slab.number)
    for start, end in ((0.0, slab.start), (slab.end, plan.shape.length)):
        z = np.unique(np.concatenate([[start, end], o.z[(o.z > start) & (o.z < end)]]))
        if end - start > 1e-6:
            part = np.stack([np.interp(z, o.z, wide[:, 0]), np.interp(z, o.z, wide[:, 1])], axis=1)
            drawing.shape(outline(part, z), 0.0, hatch, class_="not-counted")
    height = slab.upper if upper_is_wide else slab.lower
    for ring in _rings(plan, height):
        for run in ring:
            drawing.path([frame(*at(z, x - middle)) for z, x in run], 0.1, class_="ring")
    drawing.shape(outline(other, o.z), 0.2, stroke_dasharray="1.2 0.8", class_="other-face")
    drawing.shape(outline(wide, o.z), 0.4, class_="wide-face")
    if slab.holds_pith:
        butt, top = (frame(*at(z, -middle)) for z in (0.0, plan.shape.length))
        drawing.line(butt, top, 0.35, stroke_dasharray="3 1 0.6 1", class_="pith")


def _rings(plan: Plan, height: float) -> list[list[list[Point]]]:
    """Runs of (z, x) of each ring on a face: both sides, broken where the ring lies below the face."""
    places = np.linspace(0.0, plan.shape.length, _MOST)
    outlines = rolled(plan.shape.at(places).outlines, plan.roll)
    drawn = []
    for part in RINGS:
        sides: tuple[list[list[Point]], list[list[Point]]] = ([[]], [[]])
        for z, outline in zip(places, outlines, strict=True):
            level = height + plan.pitch * (float(z) - plan.shape.length / 2)
            across = chord(outline * part, level)
            for side, runs in enumerate(sides):
                if across is None:
                    if runs[-1]:
                        runs.append([])
                else:
                    runs[-1].append((float(z), across[side]))
        drawn.append(_joined(sides))
    return drawn


def _joined(sides: tuple[list[list[Point]], list[list[Point]]]) -> list[list[Point]]:
    """Close an arch where a ring dives below the face before the top end."""
    runs = []
    for left, right in zip(*sides, strict=True):
        if len(left) < 2:
            continue
        last = left[-1][0]
        ends_inside = last < max(r[-1][0] for r in sides[0] if r) or len(sides[0]) > 1
        runs += [left + right[::-1]] if ends_inside else [left, right]
    return runs


def _draw_butt(drawing: Svg, frame: Frame, plan: Plan, text: float) -> None:
    """The butt end in the middle, with the same numbers."""
    wood = rolled(plan.shape.outlines[0], plan.roll)
    bark = rolled(plan.shape.over_bark()[0], plan.roll)
    hatch = drawing.hatch("opened-spare", 1.2, 45)
    drawing.shape([frame(*p) for p in bark], 0.2, "white", class_="bark")
    drawing.shape([frame(*p) for p in wood], 0.35, hatch, class_="wood")
    for slab in plan.slabs:
        piece = band(wood, *slab_at(plan, slab, 0.0))
        if len(piece):
            drawing.shape([frame(*p) for p in piece], 0.0, "white", class_="slab", data_slab=slab.number)
    for cut in plan.cuts:
        level = sum(kerf_at(plan, cut, 0.0)) / 2
        across = chord(wood, level)
        if across:
            drawing.line(
                frame(across[0], level),
                frame(across[1], level),
                max(frame.size(plan.kerf), 0.15),
                class_="cut",
            )
    drawing.shape([frame(*p) for p in wood], 0.35)
    at = frame(0.0, 0.0)
    drawing.add("circle", cx=at[0], cy=at[1], r=0.7, fill="white", stroke="black", stroke_width=0.3)
    for slab in plan.slabs:
        low, high = slab_at(plan, slab, 0.0)
        if frame.size(high - low) > 1.6:
            left, right = chord(wood, (low + high) / 2) or (0.0, 0.0)
            place = frame(left + 0.22 * (right - left), (low + high) / 2)
            drawing.write(place, str(slab.number), min(text * 0.8, 0.85 * frame.size(high - low)))


def _name_leaf(
    drawing: Svg, frame: Frame, plan: Plan, slab: PlannedSlab, angle: float, inner: float, system: System,
    text: float,
) -> None:  # fmt: skip
    """Number on the leaf; size, width and tally beyond its tip."""
    at = _leaf(angle, inner)
    number = frame(*at(0.14 * plan.shape.length, 0.0))
    drawing.add(
        "circle", cx=number[0], cy=number[1], r=text * 0.95, fill="white", stroke="black", stroke_width=0.3
    )
    drawing.write(number, str(slab.number), text * 1.1, font_weight="bold", class_="slab-number")
    tip = frame(*at(plan.shape.length, 0.0))
    sine, cosine = math.sin(angle), math.cos(angle)
    lines = [
        f"{show_length(slab.outline.thickness, system)} × {show_length(slab.mean_width, system)}",
        tally(plan, slab.tally) + (" · pith" if slab.holds_pith else ""),
    ]
    anchor = "middle" if abs(sine) < 0.35 else ("start" if sine > 0 else "end")
    low, high = _edges(slab)
    corners = [frame(*at(plan.shape.length, x)) for x in ((low - high) / 2, (high - low) / 2)]
    away = 2.0 + text * 1.3
    if anchor == "middle":
        x, y = tip[0] + away * sine, min(c[1] for c in corners) - away
    else:
        # Beside both corners: a wide leaf turned half up would else lie under its own words.
        x = (max if sine > 0 else min)(c[0] for c in corners) + math.copysign(1.5, sine)
        y = tip[1] - 2.0 * cosine
    for n, line in enumerate(lines):
        drawing.write((x, y + (n - 0.5) * text * 1.15), line, text * 0.85, anchor)

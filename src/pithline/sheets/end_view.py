"""One end of the log with the pith mark, the cuts and the slabs, to scale."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pithline.log.zones import Zone, ZoneKind
from pithline.saw.plan import Plan
from pithline.sheets.placing import band, chord, ground, kerf_at, rolled, round_scale, slab_at
from pithline.sheets.svg import Frame, Svg, columned
from pithline.units import System, show_length

__all__ = ["End", "end_scale", "end_view", "zone_letter"]

Floats = NDArray[np.float64]
End = Literal["butt", "top"]

HEAD, SIDE, FOOT = 9.0, 11.0, 6.0  # paper kept for the caption, the numbers and the ground [mm]
_LETTERS = {ZoneKind.FIGURE: "F", ZoneKind.ROT: "R", ZoneKind.SPLIT: "S", ZoneKind.METAL: "M"}


def zone_letter(zone: Zone) -> str:
    """F figure, R rot, S split, M metal."""
    return _LETTERS[zone.kind]


def end_view(
    plan: Plan,
    end: End,
    system: System = "metric",
    width: float = 120.0,
    height: float = 120.0,
    text: float = 3.0,
    columns: int = 3,
) -> str:
    """Draw one end as the person who stands before it sees it.

    The butt is seen from the butt; the top from the top, so left and right change
    places. The cuts lie level: the log is drawn as it is turned for sawing.

    Parameters
    ----------
    plan : Plan
    end : {"butt", "top"}
    system : {"metric", "inch"}
    width, height : float
        The paper it may take. [mm]
    text : float
        Height of the numbers. [mm]
    columns : int
        Columns that the numbers may take turns in where lines crowd; beyond that some are left out.

    Returns
    -------
    str
        An SVG document whose unit is the millimetre of paper; its round scale is the same for both ends.
    """
    butt = end == "butt"
    station, z = (0, 0.0) if butt else (-1, plan.shape.length)
    wood = rolled(plan.shape.outlines[station], plan.roll)
    bark = rolled(plan.shape.over_bark()[station], plan.roll)
    foot = ground(plan)[0 if butt else 1]
    low, high = min(float(bark[:, 1].min()), foot), float(bark[:, 1].max())
    left, right = float(bark[:, 0].min()), float(bark[:, 0].max())
    scale = end_scale(plan, width, height)
    middle = (left + right) / 2 * (1 if butt else -1)
    k = 1000 / scale
    frame = Frame(width / 2 - middle * k, HEAD + high * k, scale, mirror=not butt)
    paper = HEAD + (high - low) * k + FOOT
    drawing = Svg(width, paper, f"{end} end seen from the {end}, scale 1:{scale:g}")
    drawing.write(
        (1.0, 2.8), f"{end.capitalize()}, seen from the {end}", text * 1.15, "start", font_weight="bold"
    )
    drawing.write((1.0, 2.8 + text * 1.3), f"1:{scale:g}", text * 0.9, "start")

    told = f"ground, {show_length(-foot, system)} below the pith mark"
    _draw_ground(drawing, frame, foot, float(bark[:, 1].min()), (left, right), told, text)
    hatch = drawing.hatch(f"{end}-spare", 1.6, 45)
    drawing.shape([frame(*p) for p in bark], 0.2, class_="bark", fill="white")
    drawing.shape([frame(*p) for p in wood], 0.45, fill=hatch, class_="wood")
    for slab in plan.slabs:
        piece = band(wood, *slab_at(plan, slab, z))
        if len(piece):
            drawing.shape([frame(*p) for p in piece], 0.0, fill="white", class_="slab", data_slab=slab.number)
    drawing.shape([frame(*p) for p in wood], 0.45)
    _draw_cuts(drawing, frame, plan, z, bark, text, columns)
    _draw_zones(drawing, frame, plan, z, text)
    _draw_pith(drawing, frame, plan, station, text)
    _draw_twelve(drawing, frame, plan, bark, text)
    return drawing.render()


def end_scale(plan: Plan, width: float = 120.0, height: float = 120.0) -> float:
    """The n of "1:n" that both ends are drawn to on paper of this size. [mm]"""
    wide, tall = _larger_end(plan)
    return round_scale(wide, tall, width - 2 * SIDE, height - HEAD - FOOT)


def _larger_end(plan: Plan) -> tuple[float, float]:
    """Width and height over both ends, so that they are drawn to the same scale. [m]"""
    ends = rolled(plan.shape.over_bark()[[0, -1]], plan.roll)
    x, y = ends[..., 0], ends[..., 1]
    tall = y.max(axis=1) - np.minimum(y.min(axis=1), ground(plan))
    return float((x.max(axis=1) - x.min(axis=1)).max()), float(tall.max())


def _draw_ground(
    drawing: Svg, frame: Frame, foot: float, lowest: float, sides: tuple[float, float], told: str, text: float
) -> None:
    """Ground line with strokes below it, and the bearer that carries the log."""
    y = frame(0, foot)[1]
    drawing.line((2, y), (drawing.width - 2, y), 0.5, class_="ground")
    for x in np.arange(4, drawing.width - 2, 3.0):
        drawing.line((float(x), y), (float(x) - 1.6, y + 1.6), 0.15)
    if lowest > foot + 0.005:
        middle, half = (sides[0] + sides[1]) / 2, (sides[1] - sides[0]) * 0.3
        corners = [
            (middle - half, foot),
            (middle + half, foot),
            (middle + half, lowest),
            (middle - half, lowest),
        ]
        drawing.shape([frame(*p) for p in corners], 0.3, fill="white", class_="bearer")
        drawing.line(frame(*corners[0]), frame(*corners[2]), 0.15)
        drawing.line(frame(*corners[1]), frame(*corners[3]), 0.15)
    drawing.write((2.0, y + 4.0), told, text * 0.8, "start")


def _draw_cuts(
    drawing: Svg, frame: Frame, plan: Plan, z: float, bark: Floats, text: float, columns: int
) -> None:
    """Kerfs to scale with their numbers on the right, slab numbers inside or on the left."""
    thick = max(frame.size(plan.kerf), 0.3)
    edge, middle = drawing.width - SIDE, drawing.width / 2
    lines = []
    for cut in plan.cuts:
        height = sum(kerf_at(plan, cut, z)) / 2
        y, across = frame(0, height)[1], chord(bark, height)
        if across:
            a, b = sorted(frame(x, 0)[0] for x in across)
            drawing.line((a - 1.5, y), (b + 1.5, y), thick, class_="cut", data_cut=cut.number)
        else:  # the blade leaves the wood before this end
            a, b = middle - 4, middle + 4
            drawing.line((a, y), (b, y), 0.2, stroke_dasharray="1 0.7", class_="cut", data_cut=cut.number)
        lines.append((y, b + 1.5))
    for i, (column, place) in columned([e[0] for e in lines], text, columns).items():
        (y, x), at = lines[i], edge + 2.0 + column * text * 1.5
        drawing.path([(x, y), (edge, y), (at, place)], 0.1)
        drawing.write(
            (at + 0.4, place),
            str(plan.cuts[i].number),
            text,
            "start",
            font_weight="bold",
            class_="cut-number",
        )
    _number_slabs(drawing, frame, plan, z, bark, text, columns)


def _number_slabs(
    drawing: Svg, frame: Frame, plan: Plan, z: float, bark: Floats, text: float, columns: int
) -> None:
    """Inside where they fit, clear of zones and pith; else on the left with leaders."""
    heights = [sum(slab_at(plan, s, z)) / 2 for s in plan.slabs]
    spans = [chord(bark, h) or (-0.05, 0.05) for h in heights]
    if all(frame.size(s.outline.thickness) > text * 1.2 for s in plan.slabs):
        half = text * 1.7 * frame.scale / 1000  # of the words, in the log's metres
        taken = [(float(x), float(y), n.radius) for n in plan.shape.zones
                 for x, y in [rolled(np.array([n.x, n.y]), plan.roll)]] + [(0.0, 0.0, half)]  # fmt: skip
        for slab, height, (a, b) in zip(plan.slabs, heights, spans, strict=True):
            tries = [a + part * (b - a) for part in (0.3, 0.7, 0.5, 0.18, 0.82)]
            clear = [x for x in tries if all(math.hypot(x - u, height - v) > r + half for u, v, r in taken)]
            at = frame(clear[0] if clear else tries[0], height)
            drawing.write(at, f"slab {slab.number}", text, class_="slab-number")
        return
    for i, (column, place) in columned([frame(0, h)[1] for h in heights], text, columns).items():
        y, x = frame(0, heights[i])[1], min(frame(e, 0)[0] for e in spans[i]) + 2.5
        at_x = SIDE - 2.0 - column * text * 1.8
        drawing.path([(x, y), (SIDE, y), (at_x, place)], 0.1)
        drawing.add("circle", cx=x, cy=y, r=0.35, fill="black")
        drawing.write((at_x - 0.4, place), f"s{plan.slabs[i].number}", text, "end", class_="slab-number")


def _draw_zones(drawing: Svg, frame: Frame, plan: Plan, z: float, text: float) -> None:
    """Zones as circles: a full stroke where one reaches this end, dashes where it lies inside."""
    for zone in plan.shape.zones:
        x, y = rolled(np.array([zone.x, zone.y]), plan.roll)
        here = zone.start - 0.02 <= z <= zone.end + 0.02
        at = frame(float(x), float(y))
        style = {} if here else {"stroke_dasharray": "1.2 0.8"}
        drawing.add("circle", cx=at[0], cy=at[1], r=frame.size(zone.radius), fill="none", stroke="black",
                    stroke_width=0.35, class_="zone", **style)  # fmt: skip
        # Towards the pith, where the letter stands in the wood and clear of the 12.
        inward = 1 - 0.6 * zone.radius / max(math.hypot(zone.x, zone.y), zone.radius)
        drawing.label(
            frame(float(x) * inward, float(y) * inward), zone_letter(zone), text, font_style="italic"
        )


def _draw_pith(drawing: Svg, frame: Frame, plan: Plan, station: int, text: float) -> None:
    """The pith mark that all heights are measured from, and the other pith of a crotch."""
    at = frame(0, 0)
    drawing.add(
        "circle", cx=at[0], cy=at[1], r=1.1, fill="white", stroke="black", stroke_width=0.4, class_="pith"
    )
    drawing.line((at[0] - 2.4, at[1]), (at[0] + 2.4, at[1]), 0.3)
    drawing.line((at[0], at[1] - 2.4), (at[0], at[1] + 2.4), 0.3)
    if plan.shape.second_pith is not None and np.isfinite(plan.shape.second_pith[station]).all():
        x, y = rolled(plan.shape.second_pith[station], plan.roll)
        second = frame(float(x), float(y))
        drawing.add(
            "circle", cx=second[0], cy=second[1], r=1.1, fill="white", stroke="black", stroke_width=0.4
        )
        drawing.label((second[0], second[1] + text), "2nd pith", text * 0.8)


def _draw_twelve(drawing: Svg, frame: Frame, plan: Plan, bark: Floats, text: float) -> None:
    """An arrowhead at what was 12 o'clock when the log was measured."""
    way = np.array([-math.sin(plan.roll), math.cos(plan.roll)])
    reach = float((bark @ way).max())
    x, y = frame(*(way * reach))
    across = -1.0 if frame.mirror else 1.0
    dx, dy = way[0] * across, -way[1]
    tip = (x + 0.4 * dx, y + 0.4 * dy)
    base = (x + 3.0 * dx, y + 3.0 * dy)
    sides = [(base[0] - 1.1 * dy, base[1] + 1.1 * dx), (base[0] + 1.1 * dy, base[1] - 1.1 * dx)]
    drawing.shape([tip, *sides], 0.1, fill="black", class_="twelve")
    drawing.write((x + 3.2 * dx + 2.4, y + 2.6 * dy), "12", text * 0.9, "start")

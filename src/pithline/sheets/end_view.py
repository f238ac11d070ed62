"""One end of the log with the pith mark, the cuts and the slabs, to scale."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pithline.log.zones import Zone, ZoneKind
from pithline.saw.plan import Plan
from pithline.sheets.placing import band, chord, kerf_at, rolled, round_scale, slab_at
from pithline.sheets.svg import Frame, Svg, columned
from pithline.units import System, show_length

__all__ = ["End", "end_view", "zone_letter"]

Floats = NDArray[np.float64]
End = Literal["butt", "top"]

HEAD, SIDE, FOOT = 9.0, 12.0, 6.0  # paper kept for the caption, the numbers and the ground [mm]
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

    Returns
    -------
    str
        An SVG document whose unit is the millimetre of paper; its scale is a round one.
    """
    butt = end == "butt"
    station, z = (0, 0.0) if butt else (-1, plan.shape.length)
    wood = rolled(plan.shape.outlines[station], plan.roll)
    bark = rolled(plan.shape.over_bark()[station], plan.roll)
    ground = -(plan.lie.pith_butt if butt else plan.lie.pith_top)
    low, high = min(float(bark[:, 1].min()), ground), float(bark[:, 1].max())
    left, right = float(bark[:, 0].min()), float(bark[:, 0].max())
    scale = round_scale(right - left, high - low, width - 2 * SIDE, height - HEAD - FOOT)
    middle = (left + right) / 2 * (1 if butt else -1)
    k = 1000 / scale
    frame = Frame(width / 2 - middle * k, HEAD + high * k, scale, mirror=not butt)
    paper = HEAD + (high - low) * k + FOOT
    drawing = Svg(width, paper, f"{end} end seen from the {end}, scale 1:{scale:g}")
    drawing.write(
        (1.0, 2.8), f"{end.capitalize()}, seen from the {end}", text * 1.15, "start", font_weight="bold"
    )
    drawing.write((1.0, 2.8 + text * 1.3), f"1:{scale:g}", text * 0.9, "start")

    told = f"ground, {show_length(-ground, system)} below the pith mark"
    _draw_ground(drawing, frame, plan, end, ground, float(bark[:, 1].min()), (left, right), told, text)
    hatch = drawing.hatch(f"{end}-spare", 1.6, 45)
    drawing.shape([frame(*p) for p in bark], 0.2, class_="bark", fill="white")
    drawing.shape([frame(*p) for p in wood], 0.45, fill=hatch, class_="wood")
    for slab in plan.slabs:
        piece = band(wood, *slab_at(plan, slab, z))
        if len(piece):
            drawing.shape([frame(*p) for p in piece], 0.0, fill="white", class_="slab", data_slab=slab.number)
    drawing.shape([frame(*p) for p in wood], 0.45)
    _draw_cuts(drawing, frame, plan, z, bark, text)
    _draw_zones(drawing, frame, plan, z, text)
    _draw_pith(drawing, frame, plan, station, text)
    _draw_twelve(drawing, frame, plan, bark, text)
    return drawing.render()


def _draw_ground(
    drawing: Svg, frame: Frame, plan: Plan, end: End, ground: float, lowest: float, sides: tuple[float, float],
    told: str, text: float,
) -> None:  # fmt: skip
    """Ground line with strokes below it, and the bearer that carries the log."""
    y = frame(0, ground)[1]
    drawing.line((2, y), (drawing.width - 2, y), 0.5, class_="ground")
    for x in np.arange(4, drawing.width - 2, 3.0):
        drawing.line((float(x), y), (float(x) - 1.6, y + 1.6), 0.15)
    carried = plan.lie.bearer_butt if end == "butt" else plan.lie.bearer_top
    if carried > 0.005 and lowest > ground:
        middle, half = (sides[0] + sides[1]) / 2, (sides[1] - sides[0]) * 0.3
        corners = [
            (middle - half, ground),
            (middle + half, ground),
            (middle + half, lowest),
            (middle - half, lowest),
        ]
        drawing.shape([frame(*p) for p in corners], 0.3, fill="white", class_="bearer")
        drawing.line(frame(*corners[0]), frame(*corners[2]), 0.15)
        drawing.line(frame(*corners[1]), frame(*corners[3]), 0.15)
    drawing.write((2.0, y + 4.0), told, text * 0.8, "start")


def _draw_cuts(drawing: Svg, frame: Frame, plan: Plan, z: float, bark: Floats, text: float) -> None:
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
    for cut, (y, x), (column, place) in zip(
        plan.cuts, lines, columned([e[0] for e in lines], text), strict=True
    ):
        at = edge + 2.0 + column * text * 1.35
        drawing.path([(x, y), (edge, y), (at, place)], 0.1)
        drawing.write(
            (at + 0.4, place), str(cut.number), text, "start", font_weight="bold", class_="cut-number"
        )
    places = [sum(slab_at(plan, s, z)) / 2 for s in plan.slabs]
    roomy = all(frame.size(s.outline.thickness) > text * 1.2 for s in plan.slabs)
    for slab, height, (column, beside) in zip(
        plan.slabs, places, columned([frame(0, h)[1] for h in places], text), strict=True
    ):
        y, across = frame(0, height)[1], chord(bark, height)
        a, b = sorted(frame(x, 0)[0] for x in across) if across else (middle - 4, middle + 4)
        if roomy:  # left of the middle, so that the pith mark stays free
            drawing.write((a + 0.32 * (b - a), y), f"slab {slab.number}", text, class_="slab-number")
        else:
            at = SIDE - 2.0 - column * text * 1.6
            drawing.path([(a + 2.5, y), (SIDE, y), (at, beside)], 0.1)
            drawing.add("circle", cx=a + 2.5, cy=y, r=0.35, fill="black")
            drawing.write((at - 0.4, beside), f"s{slab.number}", text, "end", class_="slab-number")


def _draw_zones(drawing: Svg, frame: Frame, plan: Plan, z: float, text: float) -> None:
    """Zones as circles: a full stroke where one reaches this end, dashes where it lies inside."""
    for zone in plan.shape.zones:
        x, y = rolled(np.array([zone.x, zone.y]), plan.roll)
        here = zone.start - 0.02 <= z <= zone.end + 0.02
        at = frame(float(x), float(y))
        style = {} if here else {"stroke_dasharray": "1.2 0.8"}
        drawing.add("circle", cx=at[0], cy=at[1], r=frame.size(zone.radius), fill="none", stroke="black",
                    stroke_width=0.35, class_="zone", **style)  # fmt: skip
        drawing.label(
            (at[0], at[1] - frame.size(zone.radius) * 0.62), zone_letter(zone), text, font_style="italic"
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
    way = np.array([math.sin(plan.roll), math.cos(plan.roll)])
    reach = float((bark @ way).max())
    x, y = frame(*(way * reach))
    across = -1.0 if frame.mirror else 1.0
    dx, dy = way[0] * across, -way[1]
    tip = (x + 0.4 * dx, y + 0.4 * dy)
    base = (x + 3.0 * dx, y + 3.0 * dy)
    sides = [(base[0] - 1.1 * dy, base[1] + 1.1 * dx), (base[0] + 1.1 * dy, base[1] - 1.1 * dx)]
    drawing.shape([tip, *sides], 0.1, fill="black", class_="twelve")
    drawing.write((x + 3.2 * dx + 2.4, y + 2.6 * dy), "12", text * 0.9, "start")

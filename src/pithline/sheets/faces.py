"""One end of a log while it is being taped: what was read so far, as the person there sees it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from pithline.sheets.placing import round_scale
from pithline.sheets.svg import Frame, Svg
from pithline.units import System, show_length

__all__ = ["READINGS", "face"]

Floats = NDArray[np.float64]

READINGS = {"right": 0.0, "up": math.pi / 2, "left": math.pi, "down": 3 * math.pi / 2}
"""Direction of each reading from the pith mark. [rad]"""

_WIDTH, _HEAD, _EDGE = 100.0, 9.0, 15.0  # paper, its caption, room for figures [mm]


def face(
    end: str,
    seen_from: str,
    outline: Floats | None,
    readings: Mapping[str, float],
    system: System = "metric",
    bark: float = 0.0,
    around: Sequence[tuple[float, float]] = (),
    touch: bool = False,
) -> str:
    """Draw an end face with the pith mark and the tape's readings.

    Parameters
    ----------
    end, seen_from : {"butt", "top"}
        Which face, and where the person stands; right is the person's right.
    outline : ndarray, shape (points, 2), or None
        As that person sees it, about the pith mark; None while it cannot be known. [m]
    readings : mapping of {"right", "up", "left", "down"} to float
        Those there are. [m]
    system : {"metric", "inch"}
    bark : float
        Drawn outside the outline. [m]
    around : sequence of (angle, reach)
        Readings at other directions, as the person sees them. [rad, m]
    touch : bool
        Lay a sheet over the face that takes a finger for the pith mark; its data-
        attributes tell a script the middle of the face and the scale.

    Returns
    -------
    str
        SVG whose unit is a millimetre of paper.
    """
    rays = [(READINGS[name], reach, name) for name, reach in readings.items()]
    rays += [(angle, reach, "") for angle, reach in around]
    points = np.array(
        [(reach * math.cos(angle), reach * math.sin(angle)) for angle, reach, _ in rays] or [(0.0, 0.0)]
    )
    if outline is not None:
        points = np.concatenate([points, outline])
    low, high = points.min(axis=0) - bark, points.max(axis=0) + bark
    span = np.maximum(high - low, 0.1)
    room = _WIDTH - 2 * _EDGE
    scale = round_scale(float(span[0]), float(span[1]), room, room)
    k = 1000 / scale
    middle = (low + high) / 2
    height = _HEAD + 2 * _EDGE + float(span[1]) * k
    frame = Frame(
        _WIDTH / 2 - float(middle[0]) * k, _HEAD + _EDGE + (float(middle[1]) + span[1] / 2) * k, scale
    )
    drawing = Svg(_WIDTH, height, f"{end} face seen from the {seen_from}")
    drawing.write(
        (1, 3), f"{end.capitalize()} face, you stand at the {seen_from}", 3.6, "start", font_weight="bold"
    )
    drawing.write((1, 7.2), f"1:{scale:g}", 2.8, "start")
    if outline is not None:
        if bark > 0:
            drawing.shape([frame(*p) for p in _outside(outline, bark)], 0.2, fill="#e4ded2", class_="bark")
        drawing.shape([frame(*p) for p in outline], 0.6, fill="#fff", class_="wood")
    _draw_sides(drawing, frame, low, high)
    _draw_rays(drawing, frame, rays, system)
    at = frame(0, 0)
    drawing.add(
        "circle", cx=at[0], cy=at[1], r=1.4, fill="#fff", stroke="black", stroke_width=0.5, class_="pith"
    )
    drawing.line((at[0] - 3, at[1]), (at[0] + 3, at[1]), 0.35)
    drawing.line((at[0], at[1] - 3), (at[0], at[1] + 3), 0.35)
    if touch and outline is not None:
        centre = frame(*((outline.min(axis=0) + outline.max(axis=0)) / 2))
        drawing.add("rect", x=0, y=_HEAD, width=_WIDTH, height=height - _HEAD, fill="none",
                    pointer_events="all", class_="place-pith", data_end=end, data_scale=scale,
                    data_x=centre[0], data_y=centre[1])  # fmt: skip
    return drawing.render()


def _draw_sides(drawing: Svg, frame: Frame, low: Floats, high: Floats) -> None:
    """Say which way is left, right and up for who stands there."""
    middle_y = frame(0, float(low[1]))[1] + 10
    drawing.write((4, middle_y), "◂ your left", 3, "start")
    drawing.write((_WIDTH - 4, middle_y), "your right ▸", 3, "end")
    top = frame(0, float(high[1]))
    drawing.shape(
        [(top[0], top[1] - 8), (top[0] - 1.6, top[1] - 5), (top[0] + 1.6, top[1] - 5)], 0.1, fill="black"
    )
    drawing.write((top[0] + 3, top[1] - 6.5), "12", 3, "start")


def _draw_rays(drawing: Svg, frame: Frame, rays: Sequence[tuple[float, float, str]], system: System) -> None:
    """The tape from the pith mark to the edge, with what it read."""
    for angle, reach, name in rays:
        tip = frame(reach * math.cos(angle), reach * math.sin(angle))
        drawing.line(
            frame(0, 0), tip, 0.4, class_="reading", stroke_dasharray="2 0.8", data_reading=name or "around"
        )
        drawing.add("circle", cx=tip[0], cy=tip[1], r=0.9, fill="black")
        if name:
            half = frame(0.55 * reach * math.cos(angle), 0.55 * reach * math.sin(angle))
            drawing.label(half, show_length(reach, system), 3.4)


def _outside(outline: Floats, by: float) -> Floats:
    """The outline moved outward along its normals. [m]"""
    edge = np.roll(outline, -1, axis=0) - np.roll(outline, 1, axis=0)
    normal = np.stack([edge[:, 1], -edge[:, 0]], axis=-1)
    moved: Floats = outline + by * normal / np.maximum(np.hypot(*edge.T), 1e-12)[:, None]
    return moved

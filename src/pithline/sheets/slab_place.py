"""Where a slab lay in its log: the butt with one band shaded."""

from __future__ import annotations

from typing import Any

import numpy as np

from pithline.sheets.placing import band, rolled, round_scale
from pithline.sheets.svg import Frame, Svg

__all__ = ["slab_place"]


def slab_place(plan: dict[str, Any], number: int, size: float = 70.0, text: float = 3.2) -> str:
    """Draw the butt of a planned log, seen from the butt as it was turned for sawing.

    Parameters
    ----------
    plan : dict
        A plan's document.
    number : int
        Of the slab to shade.
    size : float
        The paper it may take. [mm]
    text : float
        Height of the numbers. [mm]

    Returns
    -------
    str
        An SVG document in millimetres of paper.
    """
    log = plan["log"]
    wood = rolled(np.asarray(log["outlines_under_bark_m"][0], dtype=np.float64), plan["roll_rad"])
    (left, low), (right, high) = wood.min(axis=0), wood.max(axis=0)
    scale = round_scale(float(right - left), float(high - low), size - 4, size - 4)
    k = 1000 / scale
    drawing = Svg(size, (high - low) * k + 4.0, f"slab {number} in the butt of its log")
    frame = Frame(size / 2 - (left + right) / 2 * k, 2.0 + high * k, scale)
    drawing.shape([frame(*p) for p in wood], 0.45, "#f6efdf", class_="wood")
    # A plan gives heights at mid-length; the butt is half a length away along the cut.
    drop = -plan["pitch_m_per_m"] * log["length_m"] / 2
    for slab in plan["slabs"]:
        piece = band(wood, slab["lower_m"] + drop, slab["upper_m"] + drop)
        if not len(piece):
            continue
        here = slab["number"] == number
        drawing.shape([frame(*p) for p in piece], 0.3, "#c9b27c" if here else "white", class_="slab")
        x = float(piece[:, 0].min() + piece[:, 0].max()) / 2
        at = frame(x - 0.12 * float(right - left), (slab["lower_m"] + slab["upper_m"]) / 2 + drop)
        weight = {"font_weight": "bold"} if here else {}
        drawing.write(at, str(slab["number"]), min(text, frame.size(slab["green_m"])), **weight)
    drawing.add("circle", cx=frame(0, 0)[0], cy=frame(0, 0)[1], r=0.9, fill="white", stroke="black",
                stroke_width=0.4, class_="pith")  # fmt: skip
    return drawing.render()

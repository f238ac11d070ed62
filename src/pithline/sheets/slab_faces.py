"""Every slab laid flat: both faces, their widths at stations, the run or the pieces that are sold."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from pithline.saw.plan import Plan, PlannedSlab
from pithline.sheets.placing import round_scale
from pithline.sheets.svg import Frame, Svg
from pithline.sheets.wording import sizes, tally
from pithline.units import System, show_length

__all__ = ["slab_faces"]

SIDE, HEAD, FOOT, GAP = 14.0, 9.0, 9.0, 3.0  # paper around each slab [mm]


def slab_faces(
    plan: Plan, system: System = "metric", width: float = 190.0, tallest: float = 40.0, text: float = 2.8
) -> str:
    """Draw all slabs under each other, looked at from above as they lie in the log.

    Parameters
    ----------
    plan : Plan
    system : {"metric", "inch"}
    width, tallest : float
        The paper that one slab may take between its margins. [mm]
    text : float
        Height of the numbers. [mm]

    Returns
    -------
    str
        An SVG document in millimetres of paper; all slabs to one round scale.

    Notes
    -----
    The butt is at the left; the right-hand side of a person who stands before the
    butt is at the foot of the paper. The upper face is a full line, the lower a
    dashed one. Widths are given where the run is crossed by a station of the plan.
    """
    edges = [np.concatenate([s.outline.upper, s.outline.lower]) for s in plan.slabs]
    widest = max((float(e.max() - e.min()) for e in edges), default=0.1)
    scale = round_scale(plan.shape.length, widest, width - 2 * SIDE, tallest)
    k = 1000 / scale
    heights = [HEAD + float(e.max() - e.min()) * k + FOOT for e in edges]
    drawing = Svg(width, 7 + sum(heights) + GAP * len(heights), f"faces of the slabs, scale 1:{scale:g}")
    drawing.write(
        (1, 3), f"Slabs from above, butt at the left · 1:{scale:g}", text * 1.15, "start", font_weight="bold"
    )
    drawing.write(
        (width - 1, 3), "full line: upper face · dashes: lower face · hatched: not counted", text, "end"
    )
    hatch = drawing.hatch("faces-off", 1.4, 45)
    top = 7.0
    for slab, edge, height in zip(plan.slabs, edges, heights, strict=True):
        frame = Frame((width - plan.shape.length * k) / 2, top + HEAD - float(edge.min()) * k, scale)
        _draw_slab(drawing, frame, plan, slab, system, text, hatch, top, top + height)
        top += height + GAP
    return drawing.render()


def _draw_slab(
    drawing: Svg, frame: Frame, plan: Plan, slab: PlannedSlab, system: System, text: float, hatch: str,
    top: float, foot: float,
) -> None:  # fmt: skip
    """One slab between `top` and `foot` of the paper. [mm]"""
    o = slab.outline
    counted = f"{show_length(slab.length, system, 'long')} counted · {tally(plan, slab.tally)}"
    if slab.pieces:
        counted = (
            f"pair with slab {slab.pair_with}" if slab.pair_with else tally(plan, slab.tally) + " in all"
        )
    runs = [(p.start, p.end, p.use or "tally") for p in slab.pieces] or [
        (slab.start, slab.end, "counted run")
    ]
    drawing.write(
        (1, top + 2), f"slab {slab.number}", text * 1.2, "start", font_weight="bold", class_="slab-number"
    )
    drawing.write((17, top + 2), f"{slab.aim.label} · {sizes(slab, system)} · {counted}", text, "start")

    # Across the slab x grows to the right seen from the butt, which is down the paper when seen from above.
    faces = [
        [frame(float(z), -float(x)) for z, x in zip(o.z, face[:, 0], strict=True)]
        + [frame(float(z), -float(x)) for z, x in zip(o.z[::-1], face[::-1, 1], strict=True)]
        for face in (o.upper, o.lower)
    ]
    drawing.shape(faces[0], 0.45, class_="upper-face", data_slab=slab.number)
    drawing.shape(faces[1], 0.35, stroke_dasharray="1.6 0.9", class_="lower-face")

    low = float(min(o.upper.min(), o.lower.min()))
    high = float(max(o.upper.max(), o.lower.max()))
    ends = [0.0, *(z for start, end, _ in runs for z in (start, end)), plan.shape.length]
    for a, b in zip(ends[::2], ends[1::2], strict=True):
        if b - a > 1e-6:
            corners = [frame(a, -low), frame(b, -low), frame(b, -high), frame(a, -high)]
            drawing.shape(corners, 0.0, hatch, class_="not-counted")
    for z in ends[1:-1]:
        drawing.line(frame(z, -low), frame(z, -high), 0.3, class_="end-of-run")
    drawing.line(
        frame(0.0, 0.0), frame(plan.shape.length, 0.0), 0.15, stroke_dasharray="4 1 0.6 1", class_="pith"
    )

    above, below = top + HEAD - 2.0, foot - FOOT + 2.0
    drawing.write((1, above), "upper", text * 0.9, "start")
    drawing.write((1, below), "lower", text * 0.9, "start")
    widths = [
        [show_length(float(w), system).removesuffix(" mm") for w in face]
        for face in (o.upper_width, o.lower_width)
    ]
    room, last = max(11.0, _long(max((t for face in widths for t in face), key=len), text) + 1.5), -1e9
    for i, z in enumerate(o.z):
        at = frame(float(z), 0)[0]
        if at - last < room:
            continue
        last = at
        for y, told, tick in ((above, widths[0][i], 1.3), (below, widths[1][i], -1.3)):
            drawing.line((at, y + tick), (at, y + 1.7 * tick), 0.15)
            drawing.write((at, y), told, text * 0.85)
    if slab.pieces:
        named = [
            f"{n}, {show_length(a, system, 'long')} to {show_length(b, system, 'long')}" for a, b, n in runs
        ]
        middles = [frame((a + b) / 2, 0)[0] for a, b, _ in runs]
        if any(
            y - x < (_long(one, text) + _long(two, text)) / 2 + 1.5
            for (x, one), (y, two) in pairwise(zip(middles, named, strict=True))
        ):  # side by side they would run into each other
            named, middles = [" · ".join(named)], [(middles[0] + middles[-1]) / 2]
        for x, words in zip(middles, named, strict=True):
            drawing.write((x, below + 4.0), words, text * 0.85, class_="piece")
        return
    for z in (slab.start, slab.end):
        drawing.write(
            (frame(z, 0)[0], below + 4.0), show_length(z, system, "long"), text * 0.85, class_="run"
        )
    drawing.write((frame((slab.start + slab.end) / 2, 0)[0], below + 4.0), "counted run", text * 0.85)


def _long(words: str, text: float) -> float:
    """About how wide words are drawn on the paper. [mm]"""
    return 0.57 * text * 0.85 * len(words)

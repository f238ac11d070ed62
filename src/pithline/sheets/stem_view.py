"""A stem from the side with its cuts across, butt at the left."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pithline.saw.stem.bucked import Bucked
from pithline.sheets.end_view import zone_letter
from pithline.sheets.placing import round_scale
from pithline.sheets.svg import Frame, Svg
from pithline.units import System, show_length

__all__ = ["stem_view"]

Floats = NDArray[np.float64]

HEAD, FOOT, SIDE = 15.0, 15.0, 10.0  # paper above, below and beside the stem [mm]


def stem_view(
    bucked: Bucked, system: System = "metric", width: float = 260.0, height: float = 110.0, text: float = 3.2
) -> str:
    """Draw where the stem is cut, each piece with its own pith line.

    Seen square to the plane in which the stem bends most, so that the sweep is seen whole.

    Parameters
    ----------
    bucked : Bucked
    system : {"metric", "inch"}
    width, height : float
        The paper it may take. [mm]
    text : float
        Height of the numbers. [mm]

    Returns
    -------
    str
        An SVG document in millimetres of paper, lengths and heights to one round scale.
    """
    stem = bucked.stem
    shape = stem.shape
    way = _bent(stem.pith)
    pith = stem.pith @ way
    wood, bark = (o @ way for o in (shape.outlines, shape.over_bark()))
    low, high = float(bark.min()), float(bark.max())
    scale = round_scale(shape.length, high - low, width - 2 * SIDE, height - HEAD - FOOT)
    k = 1000 / scale
    drawing = Svg(width, HEAD + (high - low) * k + FOOT, f"the stem cut across, scale 1:{scale:g}")
    frame = Frame((width - shape.length * k) / 2, HEAD + high * k, scale)
    told = "The stem, butt at the left; cuts from the butt"
    if shape.zones:
        told += " · dashed: F figure, M metal, R rot, S split"
    drawing.write((1.0, 2.8), told, text, "start")
    drawing.write((width - 1.0, 2.8), f"1:{scale:g}", text * 0.9, "end")
    z = shape.z
    drawing.shape(_band(frame, z, bark.min(axis=1), bark.max(axis=1)), 0.2, "white", class_="bark")
    low_z, high_z = wood.min(axis=1), wood.max(axis=1)
    hatch = drawing.hatch("stem-waste", 1.6, 45)
    for start, end in bucked.waste:
        at = np.unique(np.concatenate([[start, end], z[(z > start) & (z < end)]]))
        band = _band(frame, at, np.interp(at, z, low_z), np.interp(at, z, high_z))
        drawing.shape(band, 0.0, hatch, class_="waste")
    drawing.shape(_band(frame, z, low_z, high_z), 0.45, "none", class_="wood")
    for zone in shape.zones:
        y = float(np.array([zone.x, zone.y]) @ way)
        ring = [(zone.start, y - zone.radius), (zone.end, y - zone.radius), (zone.end, y + zone.radius),
                (zone.start, y + zone.radius)]  # fmt: skip
        drawing.shape([frame(*p) for p in ring], 0.3, stroke_dasharray="1.2 0.8", class_="zone")
        drawing.label(frame(0.5 * (zone.start + zone.end), y), zone_letter(zone), text * 0.9)
    for whole in bucked.rules.whole:
        a, b = frame(whole.start, low), frame(whole.end, low)
        drawing.line((a[0], a[1] + 1.5), (b[0], b[1] + 1.5), 1.2, class_="whole")
        drawing.write(((a[0] + b[0]) / 2, a[1] + 4.2), f"kept whole: {whole.note or 'as asked'}", text * 0.8)
    drawing.path([frame(float(a), float(b)) for a, b in zip(z, pith, strict=True)], 0.2, class_="grown-pith")
    for piece in bucked.pieces:
        ends = np.array([piece.start, piece.end])
        marks = np.interp(ends, z, pith)
        a, b = (frame(float(e), float(m)) for e, m in zip(ends, marks, strict=True))
        drawing.line(a, b, 0.3, stroke_dasharray="4 1 0.6 1", class_="pith", data_piece=piece.number)
        middle = frame(float(ends.mean()), float(np.interp(ends.mean(), z, high_z)))
        drawing.label((middle[0], frame(0, 0.5 * (low + high))[1]), str(piece.number), text * 1.4)
        told = show_length(piece.length, system, "long")
        drawing.write((middle[0], drawing.height - 3.0), told, text)
    for cut in bucked.cuts:
        x, top = frame(cut.at, high)
        foot = frame(cut.at, low)[1]
        drawing.line((x, top - 2.0), (x, foot + 2.0), 0.6, class_="cut")
        drawing.write((x, top - 4.5), show_length(cut.at, system, "long"), text, font_weight="bold")
        if cut.high > cut.low:
            there, back = frame(cut.low, high)[0], frame(cut.high, high)[0]
            drawing.line((there, top - 1.2), (back, top - 1.2), 0.2, class_="may-lie")
    return drawing.render()


def _bent(pith: Floats) -> Floats:
    """Direction across the stem in which the pith leaves its line most; upright where it does not."""
    far = pith[int(np.argmax((pith**2).sum(axis=1)))]
    length = math.hypot(*far)
    if length < 1e-6:
        return np.array([0.0, 1.0])
    turned = far / length
    return turned if turned[1] >= 0 else -turned


def _band(frame: Frame, z: Floats, low: Floats, high: Floats) -> list[tuple[float, float]]:
    there = [frame(float(a), float(b)) for a, b in zip(z, low, strict=True)]
    return there + [frame(float(a), float(b)) for a, b in zip(z[::-1], high[::-1], strict=True)]

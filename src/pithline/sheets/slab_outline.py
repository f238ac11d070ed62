"""One slab laid flat: both faces, the clear wood and what fits into it; or as a thumbnail."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pithline.sheets.placing import round_scale
from pithline.sheets.svg import Frame, Point, Svg
from pithline.slab.clear import Band
from pithline.slab.fits import Fit, Form
from pithline.slab.outline import SlabOutline
from pithline.units import System, show_length

__all__ = ["fit_words", "glued_outline", "slab_outline", "slab_thumb"]

Floats = NDArray[np.float64]
SIDE, HEAD, FOOT = 14.0, 8.0, 12.0  # paper around the slab [mm]
_FIT = "#e6efe0"  # a pale ground, so that it stays light in print


def fit_words(fit: Fit, system: System = "metric") -> str:
    """Size of a fit: 2.10 m × 540 mm; of a round its diameter."""
    if fit.form is Form.ROUND:
        return f"{show_length(_down(fit.width, system), system)} across"
    long = show_length(_down(fit.length, system, 0.01), system, "long")
    return f"{long} × {show_length(_down(fit.width, system), system)}"


def slab_outline(
    outline: SlabOutline, system: System = "metric", *, clear: Sequence[Band] = (), fits: Sequence[Fit] = (),
    title: str = "slab", width: float = 190.0, tallest: float = 70.0, text: float = 3.4,
) -> str:  # fmt: skip
    """Draw a slab from above as it lay in its log, with what fits into it.

    Parameters
    ----------
    outline : SlabOutline
    system : {"metric", "inch"}
    clear : sequence of Band
        Clear wood; what lies outside is hatched.
    fits : sequence of Fit
    title : str
        For those who cannot see it.
    width, tallest : float
        The paper it may take, and the height of the slab on it. [mm]
    text : float
        Height of the numbers. [mm]

    Returns
    -------
    str
        An SVG document in millimetres of paper, to a round scale.

    Notes
    -----
    The butt is at the left; a full line is the upper face, a dashed one the lower.
    """
    edges = np.concatenate([outline.upper, outline.lower])
    low, high = float(edges.min()), float(edges.max())
    start, length = float(outline.z[0]), float(outline.z[-1] - outline.z[0])
    scale = round_scale(length, high - low, width - 2 * SIDE, tallest)
    k = 1000 / scale
    drawing = Svg(width, HEAD + (high - low) * k + FOOT, title)
    frame = Frame((width - length * k) / 2 - start * k, HEAD - low * k, scale)
    upper, lower = _face(frame, outline.z, outline.upper), _face(frame, outline.z, outline.lower)
    if clear:
        drawing.shape(upper, 0.0, drawing.hatch("not-clear", 1.6, 45), class_="not-clear")
        for band in clear:
            drawing.shape([frame(z, -x) for z, x in band.ring], 0.1, "white", class_="clear")
    for fit in fits:
        drawing.shape([frame(z, -x) for z, x in _corners(fit)], 0.5, _FIT, class_=f"fit {fit.form}")
    drawing.shape(upper, 0.45, class_="upper-face")
    drawing.shape(lower, 0.3, stroke_dasharray="1.6 0.9", class_="lower-face")
    drawing.line(frame(start, 0), frame(start + length, 0), 0.15, stroke_dasharray="4 1 0.6 1", class_="pith")
    for fit in fits:
        drawing.label(frame(fit.z, -fit.across), fit_words(fit, system), text, class_="fit-size")
    _widths(drawing, frame, outline, (HEAD - 3.0, HEAD + (high - low) * k + 3.2), system, text)
    drawing.write(
        (width / 2, drawing.height - text * 0.8),
        f"butt at the left · {show_length(length, system, 'long')} long · 1:{scale:g}", text,
    )  # fmt: skip
    return drawing.render()


def glued_outline(
    rings: Sequence[Floats], fits: Sequence[Fit], system: System = "metric", *, title: str = "pair",
    width: float = 190.0, tallest: float = 110.0, text: float = 3.4,
) -> str:  # fmt: skip
    """Draw two slabs glued along the line across = 0, with what fits into the whole.

    Parameters
    ----------
    rings : sequence of ndarray, shape (corners, 2)
        Edges as (z, across). [m]
    fits : sequence of Fit
    """
    corners = np.concatenate(rings)
    (start, low), (end, high) = corners.min(axis=0), corners.max(axis=0)
    scale = round_scale(float(end - start), float(high - low), width - 2 * SIDE, tallest)
    k = 1000 / scale
    drawing = Svg(width, HEAD + (high - low) * k + HEAD, title)
    frame = Frame((width - (end - start) * k) / 2 - start * k, HEAD - low * k, scale)
    for ring in rings:
        drawing.shape([frame(z, -x) for z, x in ring], 0.45, "white", class_="clear")
    for fit in fits:
        drawing.shape([frame(z, -x) for z, x in _corners(fit)], 0.5, _FIT, class_=f"fit {fit.form}")
    drawing.line(frame(start, 0), frame(end, 0), 0.35, class_="joint")
    for fit in fits:
        drawing.label(frame(fit.z, -fit.across - 0.04), fit_words(fit, system), text, class_="fit-size")
    drawing.write((width / 2, drawing.height - text * 0.8), f"line: the joint · 1:{scale:g}", text)
    return drawing.render()


def slab_thumb(outline: SlabOutline, width: int = 96, height: int = 32) -> str:
    """A drawing of a few hundred bytes for a list; takes the colour of the text around it. [px]"""
    z, edges = outline.z, np.concatenate([outline.upper, outline.lower])
    low, high = float(edges.min()), float(edges.max())
    k = min((width - 2) / float(z[-1] - z[0]), (height - 2) / max(high - low, 1e-6))
    left, base = width / 2 - k * float(z[-1] + z[0]) / 2, height / 2 - k * (low + high) / 2

    def run(face: Floats) -> str:
        there = [(left + k * a, base + k * x) for a, x in zip(z, face[:, 0], strict=True)]
        back = [(left + k * a, base + k * x) for a, x in zip(z, face[:, 1], strict=True)]
        return "M" + "L".join(f"{a:.0f} {x:.1f}" for a, x in there + back[::-1]) + "z"

    inner = "" if np.array_equal(outline.upper, outline.lower) else f'<path d="{run(outline.lower)}"/>'
    return (
        f'<svg width="{width}" height="{height}" viewBox="0 0 {width} {height}" fill="none" '
        f'stroke="currentColor" aria-hidden="true">'
        f'<path d="{run(outline.upper)}" stroke-width="1.6"/>{inner}</svg>'
    )


def _down(metres: float, system: System, step: float = 0.001) -> float:
    """To the step that is shown, downward: what is promised must fit."""
    if system == "inch":
        step = 0.0254 / 16
    return math.floor(metres / step + 1e-6) * step


def _face(frame: Frame, z: Floats, face: Floats) -> list[Point]:
    # Across the slab x grows to the right seen from the butt, which is down the paper when seen from above.
    there = [frame(float(a), -float(x)) for a, x in zip(z, face[:, 0], strict=True)]
    return there + [frame(float(a), -float(x)) for a, x in zip(z[::-1], face[::-1, 1], strict=True)]


def _corners(fit: Fit) -> Floats:
    if fit.form is Form.RECTANGLE:
        flat = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * [fit.length / 2, fit.width / 2]
    else:
        t = np.linspace(0, 2 * math.pi, 73)[:-1]
        flat = np.column_stack([np.cos(t) * fit.length / 2, np.sin(t) * fit.width / 2])
    c, s = math.cos(fit.turned), math.sin(fit.turned)
    turned: Floats = flat @ np.array([[c, s], [-s, c]]) + [fit.z, fit.across]
    return turned


def _widths(
    drawing: Svg, frame: Frame, outline: SlabOutline, rows: tuple[float, float], system: System, text: float
) -> None:
    """Widths of both faces where there is room for the numbers."""
    length = float(outline.z[-1] - outline.z[0])
    every = max(1, math.ceil(len(outline.z) * text * 4.2 / max(frame.size(length), 1.0)))
    for i in range(0, len(outline.z), every):
        at = frame(float(outline.z[i]), 0)[0]
        for y, width in zip(rows, (outline.upper_width[i], outline.lower_width[i]), strict=True):
            drawing.write((at, y), show_length(float(width), system).removesuffix(" mm"), text * 0.85)

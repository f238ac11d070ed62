"""Layers of a kiln load or a stack from above: every outline where it lies, with the rows of sticks."""

from __future__ import annotations

from collections.abc import Sequence

from pithline.dry.laying.contact import Floor
from pithline.dry.laying.layers import Layer
from pithline.dry.laying.stickers import OVERHANG, Stickers
from pithline.sheets.placing import round_scale
from pithline.sheets.svg import Frame, Svg
from pithline.units import System, show_length

__all__ = ["CAUTION", "layer_view"]

SIDE, HEAD, FOOT, GAP = 8.0, 9.0, 7.0, 3.0  # paper around each layer [mm]
# In two lines: one would be wider than a page on a phone.
CAUTION = (
    "Stacks tip and slabs slide: chock, lift with help, keep feet clear;",
    "local codes, the maker's manual and licensed practice come first.",
)


def layer_view(
    layers: Sequence[Layer], floor: Floor, stickers: Stickers, title: str, system: System = "metric",
    width: float = 190.0, tallest: float = 62.0, text: float = 2.8,
) -> str:  # fmt: skip
    """Draw every layer from above, bottom layer first, to one round scale.

    Parameters
    ----------
    layers : sequence of Layer
        From the bottom.
    floor : Floor
    stickers : Stickers
    title : str
    system : {"metric", "inch"}
    width, tallest : float
        The paper it may take, and the height of one layer on it. [mm]
    text : float
        Height of the numbers. [mm]

    Returns
    -------
    str
        An SVG document in millimetres of paper.

    Notes
    -----
    The near end is at the left and the left side at the top, as for a person who stands before
    the right side and looks down. An arrow points to the butt; "down" means upper face down; a
    dashed line is an edge that is turned askew along the side; a black bar is an end that wants a stick of
    its own.
    """
    scale = round_scale(floor.length, floor.width, width - 2 * SIDE, tallest)
    k = 1000 / scale
    each = HEAD + floor.width * k + FOOT + GAP
    drawing = Svg(width, 8 + each * len(layers) + 9, title)
    drawing.write((1, 3), f"{title} · 1:{scale:g}", text * 1.15, "start", font_weight="bold")
    drawing.write((width - 1, 3), "near end at the left · arrow: to the butt · grey: sticks", text, "end")
    for n, layer in enumerate(layers):
        frame = Frame((width - floor.length * k) / 2, 8 + n * each + HEAD, scale)
        _layer(drawing, frame, layer, n + 1, floor, stickers, system, text)
    for line, told in enumerate(CAUTION):
        drawing.write((width / 2, drawing.height - 6.5 + 3.8 * line), told, text * 0.85)
    return drawing.render()


def _layer(
    drawing: Svg, frame: Frame, layer: Layer, number: int, floor: Floor, stickers: Stickers,
    system: System, text: float,
) -> None:  # fmt: skip
    told = f"layer {number}"
    size = f"{show_length(layer.thickness, system)} · {layer.filled * 100:.0f} % of the floor"
    left, top = frame(0, 0)
    drawing.write((left, top - 4.5), told, text * 1.2, "start", font_weight="bold", class_="layer-number")
    drawing.write((frame(floor.length, 0)[0], top - 4.5), size, text, "end")
    half = stickers.width / 2
    for row in stickers.rows:
        corners = [(row - half, 0), (row + half, 0), (row + half, floor.width), (row - half, floor.width)]
        drawing.shape([frame(x, -y) for x, y in corners], 0.1, "#d9d3c4", class_="stick")
    corners = [(0, 0), (floor.length, 0), (floor.length, floor.width), (0, floor.width)]
    drawing.shape([frame(x, -y) for x, y in corners], 0.25, class_="floor")
    for laid in layer.slabs:
        drawing.shape(
            [frame(float(x), -float(y)) for x, y in laid.ring], 0.4, "#f6efdf", class_="slab",
            data_slab=laid.slab.name, fill_opacity=0.8,
        )  # fmt: skip
        x, y = laid.ring.mean(axis=0)
        far = float(laid.ring[:, 0].max())
        arrow = "→ " if laid.turn.end_for_end else "← "
        label = f"{arrow}{laid.slab.name}{' down' if laid.turn.face_down else ''}"
        room = frame.size(far - laid.along) / (0.62 * len(label))
        drawing.label(
            frame(float(x), -float(y)), label, min(text, room), font_weight="bold", class_="slab-number"
        )
        for reach, end in zip(laid.overhang, (laid.along, far), strict=True):
            if reach > OVERHANG:
                inward = min(0.05, far - laid.along) * (1 if end == laid.along else -1)
                low, high = float(laid.ring[:, 1].min()), float(laid.ring[:, 1].max())
                drawing.line(frame(end + inward, -low), frame(end + inward, -high), 0.9, class_="extra-stick")

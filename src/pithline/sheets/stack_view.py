"""A stack seen from its end: every slab a bar where it lies, with the sticks between the layers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

from pithline.sheets.placing import round_scale
from pithline.sheets.svg import Frame, Svg
from pithline.units import System, show_length

__all__ = ["Bar", "stack_view"]

SIDE, HEAD, FOOT = 12.0, 3.0, 9.0  # paper kept for the numbers of the layers and the ground [mm]
STICK = 0.025  # drawn where a stack does not say; common practice, no source [m]
GAP = 0.05  # between two slabs of a layer [m]
_WIDTH, _THICKNESS = 0.40, 0.05  # of a slab that was not measured, drawn with dashes [m]


@dataclass(frozen=True, slots=True)
class Bar:
    """One slab of a stack.

    Attributes
    ----------
    label : str
        The number on the wood.
    width, thickness : float, optional
        None where not measured. [m]
    layer : int
        From the bottom, 1 first.
    spot : int, optional
        From the left within its layer; None comes last.
    href : str
        Where a click on it leads; "" for nowhere.
    marked : bool
        Drawn with a heavy edge.
    """

    label: str
    width: float | None
    thickness: float | None
    layer: int
    spot: int | None = None
    href: str = ""
    marked: bool = False


def stack_view(
    bars: Sequence[Bar], name: str, system: System = "metric", stick: float | None = None,
    width: float = 150.0, height: float = 150.0, text: float = 3.4,
) -> str:  # fmt: skip
    """Draw a stack as the person who stands before its end sees it.

    Parameters
    ----------
    bars : sequence of Bar
        Those that lie in a layer.
    name : str
        Of the stack.
    system : {"metric", "inch"}
    stick : float, optional
        Between two layers. [m]
    width, height : float
        The paper it may take. [mm]
    text : float
        Height of the numbers. [mm]

    Returns
    -------
    str
        An SVG document in millimetres of paper, to a round scale.

    Notes
    -----
    A bar is as wide as its slab on average and as thick; live edges are not drawn.
    """
    stick = STICK if stick is None else stick
    layers = _layers(bars)
    rows = [max(b.thickness or _THICKNESS for b in layer) for layer in layers]
    wide = max((_wide(layer) for layer in layers), default=_WIDTH)
    tall = sum(rows) + stick * (len(rows) + 1)
    scale = round_scale(wide, tall, width - 2 * SIDE, height - HEAD - FOOT)
    k = 1000 / scale
    paper = HEAD + tall * k + FOOT
    frame = Frame(width / 2, HEAD + tall * k, scale)
    drawing = Svg(width, paper, f"Stack {name} from its end: {len(bars)} slabs in {len(layers)} layers")
    _ground(drawing, frame, f"{show_length(tall, system, 'long')} high · 1:{scale:g}", text)
    foot = stick
    for layer, row in zip(layers, rows, strict=True):
        _sticks(drawing, frame, layer, foot, stick)
        x = -_wide(layer) / 2
        for bar in layer:
            _bar(drawing, frame, bar, x, foot, text)
            x += (bar.width or _WIDTH) + GAP
        at = frame(0, foot + row / 2)[1]
        drawing.write((SIDE - 4, at), str(layer[0].layer), text * 0.85, "end", class_="layer")
        foot += row + stick
    # Links inside a picture would be hidden from those who hear it.
    linked = any(bar.href for bar in bars)
    return drawing.render().replace('role="img"', 'role="group"', 1) if linked else drawing.render()


def _layers(bars: Sequence[Bar]) -> list[list[Bar]]:
    """Layers from the bottom, each from the left; a layer without slabs takes no room."""
    order = sorted(bars, key=lambda b: (b.layer, b.spot is None, b.spot or 0, b.label))
    return [[b for b in order if b.layer == n] for n in sorted({b.layer for b in order})]


def _wide(layer: Sequence[Bar]) -> float:
    return sum(b.width or _WIDTH for b in layer) + GAP * (len(layer) - 1)


def _ground(drawing: Svg, frame: Frame, told: str, text: float) -> None:
    y = frame(0, 0)[1]
    drawing.line((2, y), (drawing.width - 2, y), 0.5, class_="ground")
    drawing.write((drawing.width / 2, y + text * 1.4), told, text)


def _sticks(drawing: Svg, frame: Frame, layer: Sequence[Bar], foot: float, stick: float) -> None:
    """One stick is seen along its whole length under a layer."""
    half = _wide(layer) / 2 + 0.02
    corners = [(-half, foot - stick), (half, foot - stick), (half, foot), (-half, foot)]
    drawing.shape([frame(*p) for p in corners], 0.12, "#d9d3c4", class_="stick")


def _bar(drawing: Svg, frame: Frame, bar: Bar, x: float, foot: float, text: float) -> None:
    wide, thick = bar.width or _WIDTH, bar.thickness or _THICKNESS
    corners = [frame(*p) for p in ((x, foot), (x + wide, foot), (x + wide, foot + thick), (x, foot + thick))]
    dashed = {} if bar.width and bar.thickness else {"stroke_dasharray": "1.2 0.8"}
    if bar.href:
        drawing.parts.append(f"<a href={quoteattr(bar.href)} aria-label={quoteattr('slab ' + bar.label)}>")
    drawing.shape(
        corners, 0.9 if bar.marked else 0.35, "#f6efdf", class_="slab", data_slab=bar.label, **dashed
    )
    room_up, room_across = frame.size(thick) * 0.8, frame.size(wide) / (0.62 * max(len(bar.label), 1))
    drawing.write(
        frame(x + wide / 2, foot + thick / 2), bar.label, min(text, room_up, room_across),
        font_weight="bold", class_="slab-number",
    )  # fmt: skip
    if bar.href:
        drawing.parts.append("</a>")

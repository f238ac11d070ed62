"""A stack from its side and from its near end, to one scale: slabs, sticks, timbers, blocks, loads."""

from __future__ import annotations

import math

from pithline.dry.laying.layers import Layer
from pithline.dry.laying.stack import Stack
from pithline.dry.laying.steadiness import across_extent
from pithline.dry.laying.stood import Standing
from pithline.sheets.placing import round_scale
from pithline.sheets.svg import Frame, Svg
from pithline.units import System, show_length, show_mass

__all__ = ["CAUTION", "stack_sides"]

CAUTION = "Stacks tip: chock, brace, lift with help; local codes and licensed practice come first."
SIDE, HEAD, FOOT, GAP = 6.0, 17.0, 20.0, 10.0  # paper around the two views [mm]
_STICK, _WOOD, _TIMBER = "#d9d3c4", "#f6efdf", "#bfb59c"
_SIDE = 0.09  # of a timber where none is reckoned [m]


def stack_sides(
    stack: Stack, stood: Standing, title: str, system: System = "metric", width: float = 190.0,
    tallest: float = 90.0, text: float = 2.8,
) -> str:  # fmt: skip
    """Draw a stack from its right side and, beside it, as who stands before its near end sees it.

    Parameters
    ----------
    stack : Stack
    stood : Standing
    title : str
    system : {"metric", "inch"}
    width, tallest : float
        The paper it may take, and the height of the drawing on it. [mm]
    text : float
        Height of the numbers. [mm]

    Returns
    -------
    str
        An SVG document in millimetres of paper, to a round scale.

    Notes
    -----
    From the side the near end is at the left. A slab is a bar as long, as wide and as thick as it reaches;
    live edges are not drawn. Below each timber stand its place and what lies on it.
    """
    floor = stack.ground.floor
    broad = max(stack.width, 0.3)
    scale = round_scale(floor.length + broad, stack.height, width - 2 * SIDE - GAP - 8, tallest)
    k = 1000 / scale
    base = HEAD + stack.height * k
    drawing = Svg(width, base + FOOT, title)
    drawing.write((SIDE, 3), f"{title} · 1:{scale:g}", text * 1.15, "start", font_weight="bold")
    told = (
        f"{show_length(stack.height, system, 'long')} high, {show_length(stack.width, system, 'long')} wide"
    )
    drawing.write((width - SIDE, 3), f"{told}, {show_length(stack.length, system, 'long')} long", text, "end")
    side = Frame(SIDE, base, scale)
    low = min(across_extent(layer)[0] for layer in stack.layers)
    end = Frame(width - SIDE - broad * k - low * k, base, scale)
    drawing.write(side(floor.length / 2, stack.height + 7 / k), "from its right side", text, class_="view")
    drawing.write(end(low + broad / 2, stack.height + 7 / k), "near end", text, class_="view")
    drawing.line((SIDE - 3, base), (width - SIDE + 3, base), 0.5, class_="ground")
    _base(drawing, side, end, stack, stood, low, low + broad)
    foot = stack.ground.base
    for n, layer in zip(stack.numbers, stack.layers, strict=True):
        _layer(drawing, side, end, stack, layer, n, foot, text)
        foot += layer.height
    if stack.ground.top_weight:
        _top(drawing, side, end, stack, foot, text, system)
    _loads(drawing, side, stack, stood, base, text, system)
    drawing.write((width / 2, drawing.height - 2.5), CAUTION, text * 0.85)
    return drawing.render()


def _box(
    drawing: Svg, frame: Frame, x: tuple[float, float], y: tuple[float, float], line: float, fill: str,
    name: str, **more: str,
) -> None:  # fmt: skip
    corners = [(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])]
    drawing.shape([frame(*p) for p in corners], line, fill, class_=name, **more)


def _base(
    drawing: Svg, side: Frame, end: Frame, stack: Stack, stood: Standing, low: float, high: float
) -> None:
    """Timbers under the rows, and blocks under the timbers."""
    square = min((stood.bolsters.side if stood.bolsters else None) or _SIDE, stack.ground.base)
    blocks, top = stack.ground.blocks, stack.ground.base
    foot = top - square if blocks else 0.0
    half = square / 2
    for row in stack.stickers.rows:
        _box(drawing, side, (row - half, row + half), (foot, top), 0.25, _TIMBER, "timber")
        if foot > 0:
            _box(drawing, side, (row - half, row + half), (0, foot), 0.15, "none", "block")
    _box(drawing, end, (low, high), (foot, top), 0.25, _TIMBER, "timber-along")
    for n in range(blocks if foot > 0 else 0):
        middle = low + (high - low) * n / (blocks - 1)
        x = min(max(middle, low + half), high - half)
        _box(drawing, end, (x - half, x + half), (0, foot), 0.15, "none", "block")


def _layer(
    drawing: Svg, side: Frame, end: Frame, stack: Stack, layer: Layer, number: int, foot: float, text: float
) -> None:
    stick = layer.height - layer.thickness
    half = stack.stickers.width / 2
    reach = across_extent(layer)
    ends = [(float(laid.ring[:, 0].min()), float(laid.ring[:, 0].max())) for laid in layer.slabs]
    for row in stack.stickers.rows:
        if any(a - half <= row <= b + half for a, b in ends):
            _box(drawing, side, (row - half, row + half), (foot, foot + stick), 0.12, _STICK, "stick")
    _box(drawing, end, reach, (foot, foot + stick), 0.12, _STICK, "stick-along")
    up = foot + stick
    for laid, (near, far) in zip(reversed(layer.slabs), reversed(ends), strict=True):
        name = laid.slab.name
        tall = (up, up + laid.slab.thickness)
        _box(drawing, side, (near, far), tall, 0.35, _WOOD, "slab-side", data_slab=name)
    for laid in layer.slabs:
        name = laid.slab.name
        wide = (float(laid.ring[:, 1].min()), float(laid.ring[:, 1].max()))
        _box(drawing, end, wide, (up, up + laid.slab.thickness), 0.35, _WOOD, "slab", data_slab=name)
        size = min(
            text, end.size(laid.slab.thickness) * 0.8, end.size(wide[1] - wide[0]) / (0.62 * len(name))
        )
        at = end(sum(wide) / 2, up + laid.slab.thickness / 2)
        drawing.write(at, name, size, font_weight="bold", class_="slab-number")
    size = min(text, side.size(layer.thickness) * 0.8)
    told = ", ".join(
        f"{laid.slab.name}{' (turned)' if laid.turn.end_for_end else ''}" for laid in layer.slabs
    )
    middle = (min(a for a, _ in ends) + max(b for _, b in ends)) / 2
    drawing.write(
        side(middle, up + layer.thickness / 2), told, size, font_weight="bold", class_="slab-number"
    )
    x, y = side(stack.ground.floor.length, up + layer.thickness / 2)
    drawing.write((x + 2, y), str(number), size, "start", class_="layer-number")


def _top(
    drawing: Svg, side: Frame, end: Frame, stack: Stack, foot: float, text: float, system: System
) -> None:
    last = stack.layers[-1]
    near = min(float(laid.ring[:, 0].min()) for laid in last.slabs)
    far = max(float(laid.ring[:, 0].max()) for laid in last.slabs)
    told = f"{show_mass(stack.ground.top_weight, system, up=True)} on top"
    for frame, (a, b) in ((side, (near, far)), (end, across_extent(last))):
        drawing.line(frame(a, foot + 0.01), frame(b, foot + 0.01), 0.9, class_="top-weight")
    x, y = side((near + far) / 2, foot)
    drawing.write((x, y - text * 0.9), told, text * 0.9, class_="top-weight-told")


def _loads(
    drawing: Svg, side: Frame, stack: Stack, stood: Standing, base: float, text: float, system: System
) -> None:
    """Place and load of each timber, in two lines taking turns where they crowd."""
    rows = stack.stickers.rows
    words = [show_length(row, system) for row in rows]
    loads = [_rounded(load, system) for load in stood.row_loads] or [""] * len(rows)
    size = text * 0.8
    room = side.size(stack.stickers.spacing or 1.0)
    every = max(1, math.ceil(0.72 * size * max(map(len, (*words, *loads))) / max(room, 1e-6)))
    for k, (row, word, load) in enumerate(zip(rows, words, loads, strict=True)):
        drop = (k % every) * 2.1 * size if every == 2 else 0.0
        if every > 2 and k % every and k != len(rows) - 1:
            continue
        x = side(row, 0)[0]
        drawing.write((x, base + size + drop), word, size, class_="row-place")
        drawing.write((x, base + 2 * size + drop), load, size, font_weight="bold", class_="row-load")
    told = "mid of each row from the near end; in bold what lies on its timber"
    drawing.write((SIDE, drawing.height - 6.5), told, size, "start")


def _rounded(load: float, system: System) -> str:
    """A load on the safe side."""
    return show_mass(math.ceil(load), system, up=True)

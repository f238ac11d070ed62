"""Slabs laid flat with the boards that they are ripped into."""

from __future__ import annotations

import numpy as np

from pithline.saw.rip.boards import Board, Rip
from pithline.saw.rip.mixed import Mixed, RippedSlab
from pithline.sheets.placing import round_scale
from pithline.sheets.svg import Frame, Point, Svg
from pithline.units import System, show_length

__all__ = ["rip_view"]

SIDE, HEAD, GAP = 8.0, 7.0, 4.0  # paper beside, above and between slabs [mm]
_BOARD = "#efe9dc"  # a pale ground that stays light in print
_HEART = "#dde6ef"


def rip_view(
    mixed: Mixed, system: System = "metric", width: float = 190.0, tallest: float = 40.0, text: float = 2.8
) -> str:
    """Draw every slab from above with its boards, the ripped and, paler, those that stay whole.

    Parameters
    ----------
    mixed : Mixed
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
    The butt is at the left; the right-hand side of a person who stands before the butt is at the
    foot of the paper. The upper face is a full line, the lower a dashed one.
    """
    length = mixed.plan.shape.length
    edges = [np.concatenate([s.slab.outline.upper, s.slab.outline.lower]) for s in mixed.slabs]
    widest = max((float(np.ptp(e)) for e in edges), default=0.1)
    scale = round_scale(length, widest, width - 2 * SIDE, tallest)
    k = 1000 / scale
    heights = [HEAD + float(np.ptp(e)) * k + GAP for e in edges]
    drawing = Svg(width, 7 + sum(heights), f"slabs and boards, scale 1:{scale:g}")
    drawing.write((1, 3), f"Slabs and boards from above, butt at the left · 1:{scale:g}", text, "start")
    top = 7.0
    for each, edge, height in zip(mixed.slabs, edges, heights, strict=True):
        frame = Frame((width - length * k) / 2, top + HEAD - float(edge.min()) * k, scale)
        told = "ripped" if each.ripped else "stays a slab"
        drawing.write((1, top + 2), f"slab {each.slab.number}", text * 1.2, "start", font_weight="bold")
        drawing.write((17, top + 2), f"{each.slab.aim.label} · {told}", text, "start")
        _slab(drawing, frame, each, system, text)
        top += height
    return drawing.render()


def _slab(drawing: Svg, frame: Frame, each: RippedSlab, system: System, text: float) -> None:
    o = each.slab.outline
    faces = [
        [frame(float(z), -float(x)) for z, x in zip(o.z, face[:, 0], strict=True)]
        + [frame(float(z), -float(x)) for z, x in zip(o.z[::-1], face[::-1, 1], strict=True)]
        for face in (o.upper, o.lower)
    ]
    drawing.shape(faces[0], 0.45, "white", class_="upper-face")
    for board in each.rip.boards if each.ripped else ():
        fill = _HEART if board.cant else _BOARD
        drawing.shape(_corners(frame, each.rip, board), 0.35, fill, class_="heart" if board.cant else "board")
    drawing.shape(faces[1], 0.3, stroke_dasharray="1.6 0.9", class_="lower-face")
    drawing.line(frame(float(o.z[0]), 0), frame(float(o.z[-1]), 0), 0.15, stroke_dasharray="4 1 0.6 1")
    for board in each.rip.boards if each.ripped else ():
        corners = _corners(frame, each.rip, board)
        at = (sum(x for x, _ in corners) / 4, sum(y for _, y in corners) / 4)
        told = f"{show_length(board.width, system)} × {show_length(board.length, system, 'long')}"
        drawing.write(at, told, min(text, 0.8 * frame.size(board.width)), class_="board-size")


def _corners(frame: Frame, rip: Rip, board: Board) -> list[Point]:
    """Corners of a board on the paper; across grows down the paper."""

    def at(z: float, across: float) -> Point:
        return frame(z, -(across + rip.slope * (z - rip.middle)))

    left, right = board.left, board.left + board.width
    return [at(board.start, left), at(board.end, left), at(board.end, right), at(board.start, right)]

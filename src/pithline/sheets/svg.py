"""A few lines that write SVG: one unit is one millimetre of paper."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any
from xml.sax.saxutils import escape, quoteattr

__all__ = ["FONT", "Frame", "Svg", "columned", "spread"]

# Typst carries Libertinus Serif inside itself and reads no system font; a browser takes the first it knows.
FONT = "DejaVu Sans, Verdana, Arial, Libertinus Serif, sans-serif"

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Frame:
    """From metres of log to millimetres of paper.

    Attributes
    ----------
    left, base : float
        Where the point (0, 0) of the log falls on the paper. [mm]
    scale : float
        The n of "1:n".
    mirror : bool
        Draw x to the left, as for an end that is looked at from the other side.
    """

    left: float
    base: float
    scale: float
    mirror: bool = False

    def __call__(self, x: float, y: float) -> Point:
        """Paper point of a log point, y upward. [m] -> [mm]"""
        k = 1000.0 / self.scale
        return self.left + (-x if self.mirror else x) * k, self.base - y * k

    def size(self, length: float) -> float:
        """Paper length of a log length. [m] -> [mm]"""
        return length * 1000.0 / self.scale


@dataclass(slots=True)
class Svg:
    """Elements in the order they are drawn; `width` and `height` of the paper in mm."""

    width: float
    height: float
    title: str
    parts: list[str] = field(default_factory=list)

    def add(self, tag: str, text: str | None = None, /, **attributes: Any) -> None:
        """Append one element; ``stroke_width=0.3`` becomes ``stroke-width="0.3"``."""
        told = "".join(
            f" {k.rstrip('_').replace('_', '-')}={quoteattr(_plain(v))}" for k, v in attributes.items()
        )
        self.parts.append(f"<{tag}{told}/>" if text is None else f"<{tag}{told}>{escape(text)}</{tag}>")

    def line(self, a: Point, b: Point, width: float = 0.25, **attributes: Any) -> None:
        """A straight stroke. [mm]"""
        self.add("line", x1=a[0], y1=a[1], x2=b[0], y2=b[1], stroke="black", stroke_width=width, **attributes)

    def shape(
        self, points: Iterable[Point], width: float = 0.25, fill: str = "none", **attributes: Any
    ) -> None:
        """A closed polygon. [mm]"""
        told = " ".join(f"{_plain(x)},{_plain(y)}" for x, y in points)
        attributes.setdefault("stroke_linejoin", "round")
        self.add("polygon", points=told, fill=fill, stroke="black", stroke_width=width, **attributes)

    def path(self, points: Iterable[Point], width: float = 0.25, **attributes: Any) -> None:
        """An open run of straight strokes. [mm]"""
        told = " ".join(f"{_plain(x)},{_plain(y)}" for x, y in points)
        self.add("polyline", points=told, fill="none", stroke="black", stroke_width=width, **attributes)

    def write(
        self, at: Point, text: str, size: float = 2.6, anchor: str = "middle", **attributes: Any
    ) -> None:
        """Text whose middle height sits at `at`. [mm]"""
        # 0.36 em is half a figure's height: dominant-baseline is not understood by every reader.
        self.add(
            "text", text, x=at[0], y=at[1] + 0.36 * size, font_size=size, text_anchor=anchor, **attributes
        )

    def label(self, at: Point, text: str, size: float = 2.6, **attributes: Any) -> None:
        """Text on a white ground, so that lines below do not run through it. [mm]"""
        half = 0.33 * size * len(text) + 0.4
        self.add("rect", x=at[0] - half, y=at[1] - 0.55 * size, width=2 * half, height=1.1 * size, rx=0.6,
                 fill="white")  # fmt: skip
        self.write(at, text, size, **attributes)

    def hatch(self, name: str, gap: float, angle: float, width: float = 0.12) -> str:
        """Define a hatch of parallel strokes and give the fill that uses it. [mm, degrees]"""
        self.parts.append(
            f'<defs><pattern id="{name}" width="{gap}" height="{gap}" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate({angle})"><line x1="0" y1="0" x2="0" y2="{gap}" stroke="black" '
            f'stroke-width="{2 * width}"/></pattern></defs>'
        )
        return f"url(#{name})"

    def render(self) -> str:
        """The whole document."""
        body = "\n".join(self.parts)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{_plain(self.width)}mm" '
            f'height="{_plain(self.height)}mm" viewBox="0 0 {_plain(self.width)} {_plain(self.height)}" '
            f'font-family="{FONT}" fill="black" role="img">\n<title>{escape(self.title)}</title>\n'
            f'<rect width="100%" height="100%" fill="white"/>\n{body}\n</svg>\n'
        )


def spread(wanted: list[float], gap: float) -> list[float]:
    """Move labels along a line until they stand at least `gap` apart, in their order. [mm]

    Groups that touch are centred on what they name, so no label moves further than it must.

    Parameters
    ----------
    wanted : list of float
        Rising. [mm]
    gap : float
        [mm]
    """
    groups: list[tuple[float, int]] = []  # (sum of wanted first places, members)
    for i, place in enumerate(wanted):
        total, count = place - i * gap, 1
        while groups and groups[-1][0] / groups[-1][1] > total / count:
            before, members = groups.pop()
            total, count = total + before, count + members
        groups.append((total, count))
    placed: list[float] = []
    for total, count in groups:
        for _ in range(count):
            placed.append(total / count + len(placed) * gap)
    return placed


def columned(wanted: list[float], text: float, most: int = 3) -> dict[int, tuple[int, float]]:
    """Column and place of labels that stand too close for one column, by their index. [mm]

    Lines crowd in a small drawing: taking turns in two or three columns keeps every
    number beside its line, where moving them up and down would lead the eye astray.
    Where `most` columns do not suffice, every second, third ... label is left out,
    never the first or the last.
    """
    last = len(wanted) - 1
    pitch = (wanted[-1] - wanted[0]) / last if last > 0 else text
    columns = max(1, math.ceil(text / max(pitch, 1e-6) - 0.1))
    every = math.ceil(columns / most)
    kept = list(range(0, last + 1, every))
    if kept and kept[-1] != last:
        if len(kept) > 1 and 2 * (last - kept[-1]) < every:
            kept.pop()
        kept.append(last)
    columns = math.ceil(columns / every)
    placed = {}
    for column in range(columns):
        members = kept[column::columns]
        for i, place in zip(members, spread([wanted[i] for i in members], text), strict=True):
            placed[i] = (column, place)
    return placed


def _plain(value: object) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)

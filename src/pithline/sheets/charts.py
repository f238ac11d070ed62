"""Charts of numbers, from one place: the same SVG on a page and on paper.

Each chart comes with its numbers as a table, for those who cannot see it, and for
those who want to check. Lines differ by dash, bars by hatch, not by colour alone.
"""

from __future__ import annotations

import functools
import io
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, ParamSpec
from xml.etree import ElementTree

from pithline.errors import BadValue

__all__ = ["Chart", "bars", "line_with_range", "one_at_a_time", "stacked", "tornado"]

P = ParamSpec("P")

_STYLE: Any = {
    "font.family": ["DejaVu Sans", "sans-serif"],
    "font.size": 10.0,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "grid.color": "#cccccc",
    "grid.linewidth": 0.6,
    "axes.axisbelow": True,
    "svg.fonttype": "none",  # text stays text: it can be read out, searched and restyled
    "svg.hashsalt": "pithline",  # the same numbers draw the same bytes
    "hatch.linewidth": 0.7,
}
_HATCHES = ("", "////", "....", "xxxx", "\\\\\\\\", "++++")
_GREYS = ("#444444", "#ffffff", "#dddddd", "#ffffff", "#bbbbbb", "#ffffff")
_SVG = "http://www.w3.org/2000/svg"
# matplotlib's style belongs to the whole process: a second thread would change it under the first one's pen.
_pen = threading.Lock()


@dataclass(frozen=True, slots=True)
class Chart:
    """A drawing, and what it shows.

    Attributes
    ----------
    svg : str
        Without style attributes or a style element, so that it may stand in a page
        whose policy forbids them.
    heads : tuple of str
        Column headings, units included.
    rows : tuple of tuple
        The numbers drawn.
    """

    svg: str
    heads: tuple[str, ...]
    rows: tuple[tuple[object, ...], ...]


def one_at_a_time(draw: Callable[P, Chart]) -> Callable[P, Chart]:
    """Let no other chart be drawn meanwhile."""

    @functools.wraps(draw)
    def drawn(*words: P.args, **named: P.kwargs) -> Chart:
        with _pen:
            return draw(*words, **named)

    return drawn


@one_at_a_time
def line_with_range(
    x: Sequence[float],
    low: Sequence[float],
    middle: Sequence[float],
    high: Sequence[float],
    *,
    title: str,
    across: str,
    upward: str,
    marks: Sequence[tuple[float, str]] = (),
) -> Chart:
    """Draw a line with the band that it may lie in.

    Parameters
    ----------
    x, low, middle, high : sequence of float
        The same length; 10, 50 and 90 % where nothing else is said.
    title, across, upward : str
        Words of the chart and of its axes, with units.
    marks : sequence of (height, words)
        Level lines, such as a target.

    Raises
    ------
    BadValue
        Lengths that differ, or nothing to draw.
    """
    _same_length(x, low, middle, high)
    figure, axes = _begin(title, across, upward)
    axes.fill_between(x, low, high, facecolor="#dddddd", edgecolor="#888888", linewidth=0.6)
    axes.plot(x, middle, color="black", linewidth=1.8)
    for height, words in marks:
        axes.axhline(height, color="black", linewidth=1.0, linestyle="--")
        axes.annotate(words, (x[0], height), xytext=(2, 3), textcoords="offset points")
    heads = (across, f"{upward}, low", f"{upward}, middle", f"{upward}, high")
    return Chart(_end(figure, title), heads, tuple(zip(x, low, middle, high, strict=True)))


@one_at_a_time
def bars(names: Sequence[str], values: Sequence[float], *, title: str, along: str) -> Chart:
    """Draw one level bar a name, the first on top.

    Raises
    ------
    BadValue
        Lengths that differ, or nothing to draw.
    """
    _same_length(names, values)
    figure, axes = _begin(title, along, "", rows=len(names))
    axes.barh(range(len(names)), values, color="#666666", edgecolor="black", height=0.7)
    _name_rows(axes, names)
    return Chart(_end(figure, title), ("", along), tuple(zip(names, values, strict=True)))


@one_at_a_time
def stacked(
    names: Sequence[str], parts: Sequence[tuple[str, Sequence[float]]], *, title: str, along: str
) -> Chart:
    """Draw one bar a name, made of parts that add up.

    Parameters
    ----------
    names : sequence of str
    parts : sequence of (name, values)
        Values one for each name, none negative.

    Raises
    ------
    BadValue
        Lengths that differ, nothing to draw, or a negative part.
    """
    _same_length(names, *(values for _, values in parts))
    if any(value < 0 for _, values in parts for value in values):
        raise BadValue(
            "parts of a bar", "below 0", "0 or more", "Draw what is taken off as a bar of its own."
        )
    figure, axes = _begin(title, along, "", rows=len(names) + len(parts) // 3 + 1)
    begun = [0.0] * len(names)
    for n, (name, values) in enumerate(parts):
        axes.barh(
            range(len(names)),
            values,
            left=begun,
            height=0.7,
            label=name,
            facecolor=_GREYS[n % len(_GREYS)],
            hatch=_HATCHES[n % len(_HATCHES)],
            edgecolor="black",
        )
        begun = [b + v for b, v in zip(begun, values, strict=True)]
    _name_rows(axes, names)
    axes.legend(
        loc="upper center", bbox_to_anchor=(0.5, -0.25 if len(names) < 3 else -0.14), ncols=3, frameon=False
    )
    heads = ("", *(f"{name}, {along}" for name, _ in parts))
    rows = tuple((name, *(values[n] for _, values in parts)) for n, name in enumerate(names))
    return Chart(_end(figure, title), heads, rows)


@one_at_a_time
def tornado(
    names: Sequence[str],
    low: Sequence[float],
    high: Sequence[float],
    base: float,
    *,
    title: str,
    along: str,
    sides: tuple[str, str] = ("at the low", "at the high"),
) -> Chart:
    """Draw how far a result moves with each doubt, the largest swing on top.

    Parameters
    ----------
    names : sequence of str
    low, high : sequence of float
        The result with each doubt at its low and at its high.
    sides : (str, str)
        Words for the two, for the legend.
    base : float
        The result as it stands.

    Raises
    ------
    BadValue
        Lengths that differ, or nothing to draw.
    """
    _same_length(names, low, high)
    rows = sorted(zip(names, low, high, strict=True), key=lambda r: -max(abs(r[1] - base), abs(r[2] - base)))
    figure, axes = _begin(title, along, "", rows=len(rows) + 1)
    looks = ({"facecolor": "#ffffff", "hatch": "////"}, {"facecolor": "#666666"})
    for n, row in enumerate(rows):
        for look, value, side in zip(looks, row[1:], sides, strict=True):
            axes.barh(
                n,
                value - base,
                left=base,
                height=0.7,
                edgecolor="black",
                label=None if n else side,
                **look,
            )
    axes.axvline(base, color="black", linewidth=1.4)
    _name_rows(axes, [row[0] for row in rows])
    figure.legend(loc="outside lower center", ncols=2, frameon=False)
    return Chart(_end(figure, title), ("", f"{along}, at the low", f"{along}, at the high"), tuple(rows))


def _same_length(*columns: Sequence[object]) -> None:
    lengths = {len(column) for column in columns}
    if len(lengths) != 1 or 0 in lengths:
        raise BadValue("columns of a chart", sorted(lengths), "of one length, and not empty")


def _begin(title: str, across: str, upward: str, rows: int = 0) -> tuple[Any, Any]:
    """A figure without pyplot, whose state would be shared by a server's threads."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(_STYLE):
        figure = Figure(figsize=(6.4, 1.2 + 0.36 * rows if rows else 3.6), layout="constrained")
        axes = figure.add_subplot()
        axes.set_title(title, loc="left", fontsize=11, fontweight="bold")
        axes.set_xlabel(across)
        axes.set_ylabel(upward)
    return figure, axes


def _name_rows(axes: Any, names: Sequence[str]) -> None:
    axes.set_yticks(range(len(names)), names)
    axes.invert_yaxis()
    axes.grid(visible=False, axis="y")


def _end(figure: Any, title: str) -> str:
    """The figure as SVG, its styles turned into attributes and its title into a name."""
    import matplotlib as mpl

    written = io.BytesIO()
    with mpl.rc_context(_STYLE):
        figure.savefig(written, format="svg", metadata={"Date": None, "Creator": None})
    ElementTree.register_namespace("", _SVG)
    ElementTree.register_namespace("xlink", "http://www.w3.org/1999/xlink")
    root = ElementTree.fromstring(written.getvalue())
    for parent in list(root.iter()):
        for child in list(parent):
            if child.tag in (f"{{{_SVG}}}style", f"{{{_SVG}}}metadata"):
                parent.remove(child)
    for element in root.iter():
        for rule in (element.attrib.pop("style", "") or "").split(";"):
            name, colon, value = rule.partition(":")
            if colon and name.strip() == "font":  # a shorthand is no attribute: take it apart
                _take_font_apart(element, value.strip())
            elif colon:
                element.set(name.strip(), value.strip())
    root.set("stroke-linejoin", "round")
    root.set("role", "img")
    root.set("aria-label", title)
    root.attrib.pop("width", None)
    root.attrib.pop("height", None)
    return ElementTree.tostring(root, encoding="unicode")


def _take_font_apart(element: ElementTree.Element, font: str) -> None:
    """``bold 11px 'DejaVu Sans', sans-serif`` into the attributes that SVG has for it."""
    before, _, families = font.partition("px")
    words = before.split()
    if words:
        element.set("font-size", words[-1])
    if "bold" in words or "700" in words:
        element.set("font-weight", "bold")
    element.set("font-family", families.strip())

"""The best row of pieces along a stem, once every piece's worth is known."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Row", "best_row"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """Pieces along a stem, from the butt.

    Attributes
    ----------
    net : float
        Worth of the pieces less the cuts across.
    pieces : tuple of int
        Numbers of the chosen pieces.
    through : ndarray, shape (points,)
        Net of the best row that has a cut at each point; at the two ends that of any row.
    using : ndarray, shape (pieces,)
        Net of the best row that holds each piece.
    """

    net: float
    pieces: tuple[int, ...]
    through: Floats
    using: Floats


def best_row(points: int, spans: Whole, worth: Floats, cut_cost: float) -> Row:
    """The best choice of pieces that do not overlap; what lies between them is left as waste.

    Parameters
    ----------
    points : int
        Places where a cut may be, the stem's two ends included.
    spans : ndarray, shape (pieces, 2)
        First and last point of every piece that may be cut.
    worth : ndarray, shape (pieces,)
        Of each; -inf where it cannot be sawn. [money]
    cut_cost : float
        Of one cut across; the ends of the stem need none. [money]

    Returns
    -------
    Row
        Without pieces where nothing pays.

    Notes
    -----
    Exact, by dynamic programming from the butt: a place is reached with a cut made there or
    with none, and one cut serves the pieces on both its sides.
    """
    last = points - 1
    up, up_free, came = _reach(points, spans[:, 0], spans[:, 1], worth, cut_cost)
    # The same from the top down, with points counted from there.
    down, down_free, _ = _reach(points, last - spans[:, 1], last - spans[:, 0], worth, cut_cost)
    down, down_free = down[::-1], down_free[::-1]
    through = np.maximum(up, up_free - cut_cost) + np.maximum(down, down_free - cut_cost) + cut_cost
    # A cut counted from both sides is one cut.
    through[[0, last]] = max(up[last], up_free[last])
    ends = np.array([0.0 if p in (0, last) else cut_cost for p in range(points)])
    before = np.maximum(up, up_free - ends)[spans[:, 0]]
    behind = np.maximum(down, down_free - ends)[spans[:, 1]]
    using = before + worth + behind
    net = float(max(up[last], up_free[last]))
    return Row(net, _traced(last, up, up_free, came, spans, ends), through, using)


def _reach(
    points: int, first: Whole, end: Whole, worth: Floats, cut_cost: float
) -> tuple[Floats, Floats, Whole]:
    """Best net up to each point: with a piece that ends there, cut paid; with none; and that piece."""
    cut, free = np.full(points, -math.inf), np.zeros(points)
    came = np.full(points, -1, dtype=np.int64)
    by_end: list[list[int]] = [[] for _ in range(points)]
    for k, p in enumerate(end):
        by_end[int(p)].append(k)
    for p in range(points):
        paid = 0.0 if p == points - 1 else cut_cost
        for k in by_end[p]:
            i = int(first[k])
            net = max(cut[i], free[i] - (cut_cost if i else 0.0)) + worth[k] - paid
            if net > cut[p]:
                cut[p], came[p] = net, k
        if p:
            free[p] = max(free[p - 1], cut[p - 1])
    return cut, free, came


def _traced(
    last: int, up: Floats, up_free: Floats, came: Whole, spans: Whole, ends: Floats
) -> tuple[int, ...]:
    pieces: list[int] = []
    p, cut_here = last, bool(up[last] > up_free[last])
    while p > 0:
        if cut_here:
            k = int(came[p])
            pieces.append(k)
            p = int(spans[k, 0])
            cut_here = bool(up[p] >= up_free[p] - ends[p])
        else:
            p -= 1
            cut_here = bool(up[p] >= up_free[p])
    return tuple(reversed(pieces))

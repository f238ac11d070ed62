"""Pieces of a stem searched in full, until the best row has no others."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.model import grounds, prepare
from pithline.saw.planning import choose_setting
from pithline.saw.rates import Rates
from pithline.saw.solution import solve
from pithline.saw.stem.row import Row, best_row
from pithline.saw.stem.stem import Stem, StemRules, piece_lie, piece_of
from pithline.saw.timber import Timber

__all__ = ["Search", "other_rows", "settled"]

Floats = NDArray[np.float64]
Pairs = NDArray[np.int64]

_MOST_FULL = 24  # pieces searched in full


@dataclass(slots=True)
class Search:
    """Full searches made so far, by piece."""

    stem: Stem
    rules: StemRules
    points: Floats
    pairs: Pairs
    job: tuple[Lie, Mill, Aims, Rates, Timber]
    nets: dict[int, float] = field(default_factory=dict)

    def place(self, k: int) -> tuple[float, float]:
        """Start and end of a piece from the stem's butt; the kerf below it is not its own. [m]"""
        i, j = (int(p) for p in self.pairs[k])
        return float(self.points[i]) + (self.rules.kerf if i else 0.0), float(self.points[j])

    def log(self, k: int) -> tuple[LogShape, Lie]:
        """A piece as a log of its own, on its bearers."""
        shape = piece_of(self.stem, *self.place(k))
        return shape, piece_lie(shape, self.rules, self.job[0])

    def net(self, k: int) -> float:
        """Net of a piece at the best of all rolls and pitches; -inf where nothing can be sawn."""
        if k not in self.nets:
            _, mill, aims, rates, timber = self.job
            shape, lie = self.log(k)
            model = prepare(shape, mill, aims, rates, timber)
            roll, pitch = choose_setting(model, shape, lie, mill, aims)
            ground = grounds(shape, lie, mill, aims, np.array([roll]))[0]
            net = solve(model, roll, pitch, ground).net
            self.nets[k] = net - self.rules.piece_cost if net > 0 else -math.inf
        return self.nets[k]


def settled(search: Search, quick: Floats) -> tuple[Row, float]:
    """Search the pieces of the best row in full until the best row has no others."""
    rules, points = search.rules, search.points.size
    scale = 1.0
    while True:
        # The quick look knows nothing of what setting up on a piece costs.
        ratios = [
            (n + rules.piece_cost) / quick[k]
            for k, n in search.nets.items()
            if math.isfinite(n) and math.isfinite(quick[k])
        ]
        scale = float(np.median(ratios)) if ratios else 1.0
        worth = quick * scale - rules.piece_cost
        for k, net in search.nets.items():
            worth[k] = net
        row = best_row(points, search.pairs, worth, rules.cut_cost)
        new = [k for k in row.pieces if k not in search.nets]
        if not new:
            return row, scale
        if len(search.nets) >= _MOST_FULL:
            break
        for k in new:
            search.net(k)
    known = np.full(quick.size, -math.inf)
    for k, net in search.nets.items():
        known[k] = net
    return best_row(points, search.pairs, known, rules.cut_cost), scale


def other_rows(points: Floats, pairs: Pairs) -> dict[str, tuple[int, ...]]:
    """What one would do without a reckoning: pieces as long as may be, and pieces of one length."""
    number = {(int(i), int(j)): k for k, (i, j) in enumerate(pairs)}
    found: dict[str, tuple[int, ...]] = {}
    longest: list[int] = []
    at, last = 0, points.size - 1
    while ends := [j for i, j in number if i == at]:
        longest.append(number[at, max(ends)])
        at = max(ends)
    if longest:
        found["the longest pieces first"] = tuple(longest)
    for count in range(1, points.size):
        marks = [int(np.argmin(np.abs(points - points[last] * n / count))) for n in range(count + 1)]
        row = [number.get((a, b)) for a, b in pairwise(marks)]
        whole = tuple(k for k in row if k is not None)
        if len(whole) == len(row):
            name = "in one piece" if count == 1 else f"in {count} equal pieces"
            found[name] = whole
            if len(found) >= 3:
                break
    return found

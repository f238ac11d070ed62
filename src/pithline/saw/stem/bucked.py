"""Where to cut a stem across, with the plan of every piece."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue, NoPlan
from pithline.log.lie import Lie
from pithline.log.outline import mean_diameter
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.plan import Plan
from pithline.saw.planning import plan
from pithline.saw.rates import Rates
from pithline.saw.stem.rough import rough_model, rough_worth
from pithline.saw.stem.row import Row, best_row
from pithline.saw.stem.search import Search, other_rows, settled
from pithline.saw.stem.stem import Stem, StemRules, cut_points, own_sweep, spans
from pithline.saw.timber import Timber
from pithline.units import System, show_length

__all__ = ["Bucked", "BuckedWay", "CrossCut", "StemPiece", "buck", "longest_piece"]

Floats = NDArray[np.float64]
Pairs = NDArray[np.int64]

_FIRST_ROLLS, _ALL_ROLLS = 4, 36
_NEAR = 0.03  # pieces that lie in rows within so much of the best one are looked at with all rolls
_MOST_NEAR = 120
_SLACK = 0.01  # a cut may move while the whole loses less than this


@dataclass(frozen=True, slots=True, eq=False)
class StemPiece:
    """One piece, numbered from the butt. Lengths in metres.

    Attributes
    ----------
    start, end : float
        From the stem's butt.
    small_end : float
        Mean diameter under bark at its top.
    sweep : float
        Largest gap between the grown pith and the piece's own pith line.
    net : float
        Of its plan, less what setting up on it costs.
    """

    number: int
    start: float
    end: float
    small_end: float
    sweep: float
    net: float
    plan: Plan

    @property
    def length(self) -> float:
        """Butt to top. [m]"""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class CrossCut:
    """One cut across the stem. Lengths in metres from the butt.

    Attributes
    ----------
    at : float
        Lower side of the kerf.
    low, high : float
        While it stays between these, and all other cuts are made the best of, the whole loses
        less than 1 %; by the quick look, so a guess.
    """

    at: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class BuckedWay:
    """Another row of pieces, each of them searched in full."""

    name: str
    net: float
    pieces: tuple[tuple[float, float], ...]
    chosen: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Bucked:
    """A stem cut across.

    Attributes
    ----------
    net : float
        Of all pieces, less all cuts across.
    waste : tuple of (start, end)
        Stretches of which no piece is made. [m]
    considered, full : int
        Pieces that could be cut; those of them that were searched in full.
    rough_error : float
        Largest departure of the quick look from the full search over those, after scaling. [fraction]
    """

    stem: Stem
    rules: StemRules
    pieces: tuple[StemPiece, ...]
    cuts: tuple[CrossCut, ...]
    waste: tuple[tuple[float, float], ...]
    net: float
    ways: tuple[BuckedWay, ...]
    considered: int
    full: int
    rough_error: float


def longest_piece(rules: StemRules, mill: Mill) -> float:
    """The longest piece that rules and rail allow. [m]"""
    return rules.most if mill.rail is None else min(rules.most, mill.rail - 2 * mill.overrun)


def buck(
    stem: Stem,
    lie: Lie,
    rules: StemRules,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    *,
    progress: Callable[[str], None] = lambda _: None,
    system: System = "metric",
) -> Bucked:
    """Find where to cut a stem across so that the plans of its pieces are worth most together.

    Parameters
    ----------
    stem : Stem
    lie : Lie
        Of the stem; only the ground's slope and room beside it are used, for pieces are rolled
        on bearers of their own.
    rules, mill, aims, rates, timber
        Where it may be cut; the saw, the wishes, the money, the wood.
    progress : callable
        Told what is being worked on.
    system : {"metric", "inch"}
        For sizes in refusals.

    Returns
    -------
    Bucked

    Raises
    ------
    BadValue
        No piece may be cut, or aims hold orders, which would be filled once in every piece.
    NoPlan
        No piece is worth sawing.

    Notes
    -----
    Every piece that may be cut is valued by the planner on a coarse grid at a few rolls, those in
    rows near the best one again at rolls of 10 degrees. The row of pieces is then exact for these
    values (`best_row`). Its pieces are searched in full, their values take the place of
    the quick ones, the others are scaled by what was learned, and the row is found anew, until all its pieces
    are fully searched. So each piece's plan is the true optimum of its model, the sum is exact,
    and the choice of cuts is best but for what the quick look misjudged.
    """
    if aims.orders:
        raise BadValue(
            "aims.order",
            f"{len(aims.orders)} given",
            "left out while a whole stem is cut up",
            "Cut the stem up first; then plan the piece that shall fill the order.",
        )
    most = longest_piece(rules, mill)
    points = cut_points(rules, stem.shape.length)
    pairs = spans(rules, points, most, system)
    search = Search(stem, rules, points, pairs, (lie, mill, aims, rates, timber))
    progress("looking at every piece")
    rough = rough_model(stem, rules, points, mill, aims, rates, timber, lie)
    quick = rough_worth(rough, pairs, _rolls(aims, _FIRST_ROLLS))
    if aims.roll_free:
        row = best_row(points.size, pairs, quick - rules.piece_cost, rules.cut_cost)
        near = np.flatnonzero(row.using >= (1 - _NEAR) * row.net)
        near = near[np.argsort(-row.using[near], kind="stable")[:_MOST_NEAR]]
        again = rough_worth(rough, pairs[near], _rolls(aims, _ALL_ROLLS))
        # More rolls find more in every piece: the others rise alike.
        known = np.isfinite(again) & np.isfinite(quick[near])
        if known.any():
            quick *= float(np.median(again[known] / quick[near][known]))
        quick[near] = again
    progress("searching the best pieces in full")
    others = other_rows(points, pairs)
    for k in {k for row_ in others.values() for k in row_}:
        search.net(k)
    row, scale = settled(search, quick)
    if not row.pieces:
        least = show_length(float(np.diff(points[pairs]).min()), system, "long")
        raise NoPlan(
            f"No piece of the stem from {least} to {show_length(most, system, 'long')} is worth sawing. "
            "Plan a piece of it by itself: that says what is in the way."
        )
    progress("describing the pieces")
    return _described(search, row, quick * scale, others, system)


def _rolls(aims: Aims, count: int) -> Floats:
    if not aims.roll_free:
        return np.array([aims.roll])
    return np.asarray(np.radians(np.arange(count) * 360.0 / count))


def _described(
    search: Search, row: Row, worth: Floats, others: dict[str, tuple[int, ...]], system: System
) -> Bucked:
    rules, stem, points = search.rules, search.stem, search.points
    _, mill, aims, rates, timber = search.job
    pieces = []
    for n, k in enumerate(row.pieces, 1):
        shape, lie = search.log(k)
        start, end = search.place(k)
        made = plan(shape, lie, mill, aims, rates, timber, compare=False, system=system)
        small = mean_diameter(shape.outlines[-1])
        sweep = own_sweep(stem, start, end)
        pieces.append(StemPiece(n, start, end, small, sweep, search.nets[k], made))
    marks = _cuts(search, row.pieces)
    # Where a cut may be moved is told by the quick look alone, scaled: one kind of value, not a mixture.
    through = best_row(points.size, search.pairs, worth - rules.piece_cost, rules.cut_cost).through
    cuts = tuple(CrossCut(float(points[p]), *_range(points, through, p)) for p in marks)
    errors = [
        abs(worth[k] - rules.piece_cost - n) / n
        for k, n in search.nets.items()
        if math.isfinite(n) and math.isfinite(worth[k]) and n > 0
    ]
    ways = [_way("this one", search, row.pieces, True)]
    ways += [_way(name, search, other) for name, other in others.items()]
    return Bucked(
        stem=stem,
        rules=rules,
        pieces=tuple(pieces),
        cuts=cuts,
        waste=_waste(search, row.pieces),
        net=row.net,
        ways=tuple(ways),
        considered=len(search.pairs),
        full=len(search.nets),
        rough_error=max(errors, default=0.0),
    )


def _cuts(search: Search, pieces: Iterable[int]) -> list[int]:
    ends = {int(p) for k in pieces for p in search.pairs[k]}
    return sorted(ends - {0, search.points.size - 1})


def _range(points: Floats, through: Floats, p: int) -> tuple[float, float]:
    """How far a cut may move about point p before the whole loses more than the slack. [m]"""
    least = (1 - _SLACK) * through[p]
    low = high = p
    while low > 1 and through[low - 1] >= least:
        low -= 1
    while high < points.size - 2 and through[high + 1] >= least:
        high += 1
    return float(points[low]), float(points[high])


def _waste(search: Search, pieces: Iterable[int]) -> tuple[tuple[float, float], ...]:
    at, found = 0, []
    for i, j in [*(search.pairs[k] for k in pieces), (search.points.size - 1, 0)]:
        if i > at:
            found.append((float(search.points[at]), float(search.points[i])))
        at = int(j)
    return tuple(found)


def _way(name: str, search: Search, pieces: tuple[int, ...], chosen: bool = False) -> BuckedWay:
    sawn = [k for k in pieces if math.isfinite(search.net(k))]
    net = sum(search.net(k) for k in sawn) - search.rules.cut_cost * len(_cuts(search, sawn))
    return BuckedWay(name, net, tuple(search.place(k) for k in sawn), chosen)

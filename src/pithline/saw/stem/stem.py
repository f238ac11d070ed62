"""A stem that is too long for the rail: where it may be cut across, and the pieces that come of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.log.lie import Lie
from pithline.log.resting import Ground, lie_on
from pithline.log.shape import LogShape
from pithline.log.zones import Zone
from pithline.units import System, show_length

__all__ = ["Stem", "StemRules", "Whole", "cut_points", "own_sweep", "piece_lie", "piece_of", "spans"]

Floats = NDArray[np.float64]
Pairs = NDArray[np.int64]

_HAIR = 1e-6  # [m]


@dataclass(frozen=True, slots=True)
class Whole:
    """A stretch through which no cut may go, such as a flare or a crotch. [m] from the butt."""

    start: float
    end: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class StemRules:
    """How a stem may be cut across. Lengths in metres.

    Attributes
    ----------
    step : float
        Cuts lie on whole steps from the butt.
    least, most : float
        Length of a piece; the mill's rail may lower `most`.
    lengths : tuple of float
        What the buyer or the trailer takes; empty = any length between the two.
    over : float
        Added to each of `lengths`, for the buyer's own trim.
    kerf : float
        Wood that a cut takes, at the butt of the piece above it.
    cut_cost, piece_cost : float
        The user's own: of a cut across, and of rolling a piece onto bearers and setting the rail. [money]
    bearers : float
        Underside of a piece above the ground, once it lies ready.
    whole : tuple of Whole
    """

    step: float = 0.1
    least: float = 2.0
    most: float = 5.0
    lengths: tuple[float, ...] = ()
    over: float = 0.0
    kerf: float = 0.01
    cut_cost: float = 0.0
    piece_cost: float = 0.0
    bearers: float = 0.2
    whole: tuple[Whole, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Stem:
    """The whole stem, and where its grown pith runs.

    Attributes
    ----------
    shape : LogShape
        About the straight line between the pith marks at its two ends.
    pith : ndarray, shape (stations, 2)
        The grown pith from that line, at the shape's stations. [m]
    """

    shape: LogShape
    pith: Floats

    def pith_at(self, z: Floats | float) -> Floats:
        """The grown pith at places along the stem, shape (..., 2). [m]"""
        x, y = (np.interp(z, self.shape.z, self.pith[:, k]) for k in range(2))
        return np.stack([x, y], axis=-1)


def own_sweep(stem: Stem, start: float, end: float) -> float:
    """Largest gap between the grown pith and the straight line between a piece's own pith marks. [m]"""
    z = _places(stem.shape, start, end)
    gap = stem.pith_at(z) - _line(stem, start, end, z)
    return float(np.sqrt((gap**2).sum(axis=1)).max())


def piece_of(stem: Stem, start: float, end: float) -> LogShape:
    """The log between two cuts, about its own pith line.

    Parameters
    ----------
    stem : Stem
    start, end : float
        From the stem's butt. [m]

    Returns
    -------
    LogShape
        Its butt at 0. Zones are cut off at the ends and lie as far from the new pith line as the
        middle of what is left of them.

    Raises
    ------
    BadValue
        Ends outside the stem, or in the wrong order.

    Notes
    -----
    Sections stay square to the stem's own pith line. A piece's line leans against it by the
    sweep over some metres, a few parts in a hundred at the most, which changes a width by less than
    one in a thousand.
    """
    shape = stem.shape
    if not -_HAIR <= start < end <= shape.length + _HAIR:
        raise BadValue("piece", f"{start:g} to {end:g} m", f"within the stem, 0 to {shape.length:g} m")
    z = _places(shape, start, end)
    at, line = shape.at(z), _line(stem, start, end, z)
    zones = []
    for zone in shape.zones:
        low, high = max(zone.start, start), min(zone.end, end)
        if low < high:
            x, y = _line(stem, start, end, np.array([0.5 * (low + high)]))[0]
            zones.append(_moved(zone, low - start, high - start, float(x), float(y)))
    second = None if at.second_pith is None else at.second_pith - line
    if second is not None and np.isnan(second).all():
        second = None
    return LogShape.of(z - start, at.outlines - line[:, None, :], at.bark, second, tuple(zones))


def piece_lie(piece: LogShape, rules: StemRules, ground: Lie) -> Lie:
    """How a piece lies once it is rolled on its bearers, on ground that falls as beside the stem."""
    beside = Ground(
        bearer_butt=rules.bearers,
        bearer_top=rules.bearers,
        slope=ground.side_slope,
        powerhead_room=ground.powerhead_room,
    )
    return lie_on(piece, beside)


def cut_points(rules: StemRules, length: float) -> Floats:
    """Every place where a piece may begin or end, the two ends of the stem included. [m]"""
    points = np.arange(0, int(length / rules.step + _HAIR) + 1) * rules.step
    if length - points[-1] > _HAIR:
        points = np.append(points, length)
    kept = np.ones(points.size, dtype=np.bool_)
    for w in rules.whole:
        kept &= ~((points > w.start + _HAIR) & (points < w.end - _HAIR))
    kept[[0, -1]] = True
    return np.asarray(points[kept])


def spans(rules: StemRules, points: Floats, most: float, system: System = "metric") -> Pairs:
    """All pieces that may be cut, as numbers of their first and last point, shape (pieces, 2).

    Parameters
    ----------
    points : ndarray, shape (points,)
        See `cut_points`. [m]
    most : float
        Longest piece, by the rules and the rail. [m]

    Raises
    ------
    BadValue
        Where no piece is short and long enough.
    """
    found = []
    for i, start in enumerate(points):
        wood = points - start - (rules.kerf if i else 0.0)
        if rules.lengths:
            # The first cut at or beyond each length: what is over stays on as the buyer's trim.
            ends = {int(np.searchsorted(wood, n + rules.over - _HAIR)) for n in rules.lengths}
            chosen = sorted(j for j in ends if j < points.size and wood[j] <= most + _HAIR)
        else:
            # A kerf does not make a piece too short.
            chosen = [
                int(j)
                for j in np.flatnonzero((points - start >= rules.least - _HAIR) & (wood <= most + _HAIR))
            ]
        found += [(i, j) for j in chosen if j > i]
    if not found:
        raise _no_piece(rules, float(points[-1]), most, system)
    return np.array(found, dtype=np.int64)


def _no_piece(rules: StemRules, length: float, most: float, system: System) -> BadValue:
    """Why no piece may be cut from a stem so long. [m]"""
    field, least = ("length", min(rules.lengths) + rules.over) if rules.lengths else ("least", rules.least)
    told = [show_length(n, system, "long") for n in (least, most, length)]
    if least > length + _HAIR:
        return BadValue(
            f"stem.{field}", told[0], f"at most {told[2]}, the stem's own length", "Take shorter pieces."
        )
    if least > most + _HAIR:
        return BadValue(
            f"stem.{field}",
            told[0],
            f"at most {told[1]}, the longest piece that rail and stem.most allow",
            "Take shorter pieces or a longer rail.",
        )
    return BadValue(
        "stem.whole" if rules.whole else f"stem.{field}",
        f"{len(rules.whole)} stretches kept whole" if rules.whole else told[0],
        f"such that cuts {show_length(rules.step, system)} apart leave a piece of {told[0]} to {told[1]}",
        "Keep less whole, take other lengths or a finer step.",
    )


def _places(shape: LogShape, start: float, end: float) -> Floats:
    inner = shape.z[(shape.z > start + _HAIR) & (shape.z < end - _HAIR)]
    return np.concatenate([[start], inner, [end]])


def _line(stem: Stem, start: float, end: float, z: Floats) -> Floats:
    """The straight line between a piece's own pith marks, at `z`, shape (z, 2)."""
    a, b = stem.pith_at(start), stem.pith_at(end)
    return np.asarray(a + ((z - start) / (end - start))[:, None] * (b - a))


def _moved(zone: Zone, start: float, end: float, x: float, y: float) -> Zone:
    return replace(zone, start=start, end=end, x=zone.x - x, y=zone.y - y)

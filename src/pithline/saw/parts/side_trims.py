"""Upright cuts that take the bulge off the sides, so that the bar spans what is left."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from pithline.errors import BadValue
from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.model import grounds, prepare, stations
from pithline.saw.parts.parted import beyond, chords_at
from pithline.saw.rates import Rates
from pithline.saw.search import best_setting
from pithline.saw.timber import Timber

__all__ = ["Trims", "trims_needed"]

_GRID = 0.01  # [m]


@dataclass(frozen=True, slots=True)
class Trims:
    """The side trims that pay most, beside doing without and beside a bar without limit.

    Attributes
    ----------
    left, right : float or None
        Face left by a trim, from the pith, seen from the butt; None = not trimmed. [m]
    area : float
        Of the trim cuts. [m2]
    net : float
        With the trims, their cost taken off.
    net_without, net_unlimited : float
    """

    left: float | None
    right: float | None
    area: float
    net: float
    net_without: float
    net_unlimited: float


def trims_needed(
    shape: LogShape, lie: Lie, mill: Mill, aims: Aims, rates: Rates, timber: Timber, roll: float = 0.0
) -> Trims:
    """Where to trim the sides so that every level cut can be made, by trying every place on 10 mm.

    The wood kept is as wide as the bar spans, less the bark that a trimmed face is reckoned to
    carry; each trim must itself be within the bar. Pitch 0, at the given roll. [rad]

    Raises
    ------
    BadValue
        Where the bar is too short for any trim.
    """
    at = shape.at(stations(shape, aims.trim_butt, aims.trim_top))
    outer = at.over_bark()
    v = outer[..., 0] * math.cos(roll) - outer[..., 1] * math.sin(roll)
    left, right = float(v.min()), float(v.max())
    bark = float(at.bark.max()) if aims.bark.name == "ON" else 0.0
    span = mill.usable - mill.clearance - 2 * bark
    if span <= 0:
        raise BadValue("mill.bar", f"{1000 * mill.usable:.0f} mm usable", "more than clearance and bark")

    def net(s: LogShape, m: Mill) -> float:
        model, rolls = prepare(s, m, aims, rates, timber), np.array([roll])
        ground = grounds(shape, lie, m, aims, rolls)
        return max(0.0, float(best_setting(model, rolls, np.zeros(1), ground).net[0, 0]))

    without, unlimited = net(at, mill), net(at, replace(mill, bar=mill.bar + 100.0))
    best = Trims(None, None, 0.0, without, without, unlimited)
    for low in np.arange(math.floor(left / _GRID) * _GRID, max(right - span, left) + _GRID, _GRID):
        part, area, fits = at, 0.0, True
        faces: list[float | None] = []
        # Seen along a normal to the left, then to the right: what lies beyond the trim is kept.
        for normal, height in (
            (roll - 0.5 * math.pi, -float(low + span)),
            (roll + 0.5 * math.pi, float(low)),
        ):
            chord = chords_at(outer, normal, height)
            if not chord.any():
                faces.append(None)
                continue
            fits = fits and float(chord.max()) + mill.clearance <= mill.usable
            area += float(np.trapezoid(chords_at(part.outlines, normal, height), part.z))
            part = beyond(part, normal, height)
            faces.append(height)
        if not fits:
            continue
        gained = net(part, mill) - area * float(rates.per_cut_area)
        if gained > best.net + 1e-9:
            right_face = None if faces[0] is None else -faces[0]
            best = Trims(faces[1], right_face, area, gained, without, unlimited)
    return best

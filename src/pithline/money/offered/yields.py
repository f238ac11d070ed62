"""What a log of any likely size yields: a handful of sizes planned exactly, the rest read off between."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.log.volume import volume_by_integration
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.rates import Rates
from pithline.saw.timber import Timber

if TYPE_CHECKING:
    from pithline.saw.model import Model
    from pithline.saw.solution import Solution

__all__ = ["Yield", "YieldGrid", "planned_slabs", "planned_yield", "yield_grid"]

Floats = NDArray[np.float64]
_THREADS = 2


@dataclass(frozen=True, slots=True)
class Yield:
    """What the best plan of a log comes to, or, as arrays, of many logs.

    Attributes
    ----------
    log : float
        Wood under bark. [m3]
    value : float
        Of its slabs by the user's rates. [money]
    tally : float
        In the unit of the aims.
    solid : float
        Of the slabs as sawn. [m3]
    slabs, cuts : float
    area : float
        Of the cuts. [m2]
    heaviest : float
        Solid volume of the largest slab. [m3]
    opening : float
        Above the first cut. [m3]
    thickness : float
        Mean green thickness, by volume. [m]
    """

    log: float
    value: float
    tally: float
    solid: float
    slabs: float
    cuts: float
    area: float
    heaviest: float
    opening: float
    thickness: float


def planned_yield(shape: LogShape, lie: Lie, mill: Mill, aims: Aims, rates: Rates, timber: Timber) -> Yield:
    """The exact plan of one log, as it lies, parallel to the pith, in a few figures.

    Parameters
    ----------
    shape, lie, mill, aims, rates, timber
        As for `saw.planning.plan`; roll and pitch stay as the aims say.

    Returns
    -------
    Yield
        All but `log` are 0 where nothing can be sawn that pays.
    """
    from pithline.saw.sections import volumes_between
    from pithline.saw.ways import as_way

    model, found = _solved(shape, lie, mill, aims, rates, timber)
    log = volume_by_integration(shape)
    if not found.slabs:
        return Yield(log, *[0.0] * 9)
    way = as_way("", found, model, mill)
    step = model.reach.step
    faces = [(face * step, (face - model.choices[n].lines) * step) for face, n in found.slabs]
    # From above the log down: the opening piece, what lies before each slab, each slab.
    heights = np.array([math.inf, found.cuts[0] * step, *(height for pair in faces for height in pair)])
    between = volumes_between(shape, aims.roll, aims.pitch, heights)
    solids = between[2::2]
    greens = np.array([model.choices[choice].green for _, choice in found.slabs])
    return Yield(
        log=log,
        value=sum(_values(model, found)),
        tally=way.tally,
        solid=float(solids.sum()),
        slabs=float(way.slabs),
        cuts=float(way.cuts),
        area=way.area,
        heaviest=float(solids.max()),
        opening=float(between[0]),
        thickness=float((solids * greens).sum() / solids.sum()),
    )


def planned_slabs(
    shape: LogShape, lie: Lie, mill: Mill, aims: Aims, rates: Rates, timber: Timber
) -> tuple[Floats, Floats]:
    """Value [money] and tally [unit of the aims] of each slab of the same plan, from the top down."""
    from pithline.saw.appraise import sold_run

    model, found = _solved(shape, lie, mill, aims, rates, timber)
    rows = [(line - found.first, choice) for line, choice in found.slabs]
    tallies = np.array([sold_run(model, found.tables, row, choice).tally for row, choice in rows])
    return np.array(_values(model, found)), tallies


def _values(model: Model, found: Solution) -> list[float]:
    """What each slab brings, its own costs not taken off: `saw.appraise`, without all the rest."""
    from pithline.saw.uses.pieces import pieces_of

    pay, tables, values = model.pay, found.tables, []
    for number, (line, choice) in enumerate(found.slabs):
        pieces = pieces_of(number, found, model) if found.takes else ()
        if pieces:
            values.append(sum(piece.value for piece in pieces))
            continue
        row, lines = line - found.first, model.choices[choice].lines
        face = 0.5 * float(tables.face[row] + tables.face[row - lines])
        own = pay.slab_cost + float(pay.per_volume[choice]) * face * model.choices[choice].green
        values.append(float(tables.values[choice, row]) + own)
    return values


def _solved(
    shape: LogShape, lie: Lie, mill: Mill, aims: Aims, rates: Rates, timber: Timber
) -> tuple[Model, Solution]:
    from pithline.saw.model import grounds, prepare
    from pithline.saw.solution import solve

    model = prepare(shape, mill, aims, rates, timber)
    ground = grounds(shape, lie, mill, aims, np.array([aims.roll]))[0]
    return model, solve(model, aims.roll, aims.pitch, ground)


@dataclass(frozen=True, slots=True, eq=False)
class YieldGrid:
    """Exact plans at some sizes and tapers, for one length.

    Attributes
    ----------
    middles : ndarray, shape (sizes,)
        Diameter over bark at mid-length, rising. [m]
    falls : ndarray, shape (tapers,)
        Butt less top, rising. [m]
    usable : float
        Length less the end trims. [m]
    trims : float
        [m]
    planned : ndarray, shape (fields of Yield, sizes, tapers)
    """

    middles: Floats
    falls: Floats
    usable: float
    trims: float
    planned: Floats

    def read(self, middle: Floats, fall: Floats, length: Floats) -> Yield:
        """Read yields off between the planned ones.

        Parameters
        ----------
        middle, fall, length : ndarray, shape (draws,)
            [m]

        Returns
        -------
        Yield
            Arrays of shape (draws,).

        Notes
        -----
        Bilinear in size and fall. A longer log of the same ends is the planned one stretched, so what
        runs along it grows with the usable length; the number of cuts does not.
        """
        stretch = np.maximum(length - self.trims, 0.0) / self.usable
        i, f = _place(self.middles, middle)
        j, g = _place(self.falls, fall)
        p = self.planned
        low = p[:, i, j] * (1 - f) + p[:, np.minimum(i + 1, self.middles.size - 1), j] * f
        up = np.minimum(j + 1, self.falls.size - 1)
        high = p[:, i, up] * (1 - f) + p[:, np.minimum(i + 1, self.middles.size - 1), up] * f
        read = low * (1 - g) + high * g
        names = [field.name for field in fields(Yield)]
        across = {"slabs", "cuts", "thickness"}
        return Yield(
            *(row if name in across else row * stretch for name, row in zip(names, read, strict=True))
        )


def _place(knots: Floats, at: Floats) -> tuple[NDArray[np.intp], Floats]:
    """Knot before each value, and how far it is to the next; clipped to the grid."""
    if knots.size == 1:
        return np.zeros(at.shape, dtype=np.intp), np.zeros(at.shape)
    at = np.clip(at, knots[0], knots[-1])
    i = np.clip(np.searchsorted(knots, at, side="right") - 1, 0, knots.size - 2)
    return i, (at - knots[i]) / (knots[i + 1] - knots[i])


def yield_grid(
    shape_of: Callable[[float, float], tuple[LogShape, Lie]],
    middles: Sequence[float],
    falls: Sequence[float],
    length: float,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
) -> YieldGrid:
    """Plan a log at every size and fall.

    Parameters
    ----------
    shape_of : callable (middle, fall) -> (shape, lie)
    middles, falls : sequence of float
        Rising. [m]
    length : float
        Of all these logs. [m]
    mill, aims, rates, timber
        As for `planned_yield`.
    """
    points = [(middle, fall) for middle in middles for fall in falls]

    def one(point: tuple[float, float]) -> list[float]:
        made = planned_yield(*shape_of(*point), mill, aims, rates, timber)
        return [getattr(made, field.name) for field in fields(Yield)]

    one(points[0])  # kernels are compiled by one thread before two use them
    with ThreadPoolExecutor(_THREADS) as pool:
        rows = np.array(list(pool.map(one, points)))
    trims = aims.trim_butt + aims.trim_top
    return YieldGrid(
        np.array(middles, dtype=np.float64),
        np.array(falls, dtype=np.float64),
        length - trims,
        trims,
        rows.T.reshape(-1, len(middles), len(falls)),
    )

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
from pithline.saw.ways import tally_of

if TYPE_CHECKING:
    from pithline.saw.model import Model
    from pithline.saw.solution import Solution

__all__ = ["Yield", "YieldGrid", "planned_yield", "slab_values", "solved", "summed", "yield_grids"]

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
    boards : float
        What the square-edged boards ripped from its slabs bring at the market. [money]
    edged : float
        Slabs that are ripped.
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
    boards: float = 0.0
    edged: float = 0.0


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
    model, found = solved(shape, lie, mill, aims, rates, timber)
    return summed(model, found, shape, aims, slab_values(model, found), tally_of(found, model))


def summed(
    model: Model, found: Solution, shape: LogShape, aims: Aims, values: Sequence[float], tally: float
) -> Yield:
    """A solved plan in a few figures; `values` are its slabs' [money], from the top down."""
    from pithline.saw.sections import volumes_between

    log = volume_by_integration(shape)
    if not found.slabs:
        return Yield(log, *[0.0] * 9)
    step, kerf = model.reach.step, model.reach.kerf
    faces = [(face * step, (face - model.choices[n].lines) * step) for face, n in found.slabs]
    # From above the log down: the opening piece, what lies before each slab, each slab.
    heights = np.array([math.inf, found.cuts[0] * step, *(height for pair in faces for height in pair)])
    between = volumes_between(shape, aims.roll, aims.pitch, heights)
    solids = between[2::2]
    greens = np.array([model.choices[choice].green for _, choice in found.slabs])
    rows, sawn = [line - found.first for line in found.cuts], found.tables.sawn
    return Yield(
        log=log,
        value=sum(values),
        tally=tally,
        solid=float(solids.sum()),
        slabs=float(len(found.slabs)),
        cuts=float(len(found.cuts)),
        area=sum(0.5 * float(sawn[row] + sawn[row - kerf]) for row in rows),
        heaviest=float(solids.max()),
        opening=float(between[0]),
        thickness=float((solids * greens).sum() / solids.sum()),
    )


def slab_values(model: Model, found: Solution) -> list[float]:
    """What each slab brings, its own costs not taken off: `saw.appraise`, without all the rest. [money]"""
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


def solved(
    shape: LogShape, lie: Lie, mill: Mill, aims: Aims, rates: Rates, timber: Timber
) -> tuple[Model, Solution]:
    """The model of a log and its best plan at the roll and pitch of the aims."""
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
        across = {"slabs", "cuts", "thickness", "edged"}
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


def yield_grids(
    shape_of: Callable[[float, float], tuple[LogShape, Lie]],
    middles: Sequence[float],
    falls: Sequence[float],
    length: float,
    trims: float,
    planned: Callable[[LogShape, Lie], Sequence[Yield]],
) -> tuple[YieldGrid, ...]:
    """Plan a log at every size and fall, in one way or several.

    Parameters
    ----------
    shape_of : callable (middle, fall) -> (shape, lie)
    middles, falls : sequence of float
        Rising. [m]
    length : float
        Of all these logs. [m]
    trims : float
        At both ends together. [m]
    planned : callable (shape, lie) -> yields
        One for each way; as many for every log.

    Returns
    -------
    tuple of YieldGrid
        One for each way.
    """
    points = [(middle, fall) for middle in middles for fall in falls]

    def one(point: tuple[float, float]) -> list[list[float]]:
        made = planned(*shape_of(*point))
        return [[getattr(way, field.name) for field in fields(Yield)] for way in made]

    first = one(points[0])  # kernels are compiled by one thread before two use them
    with ThreadPoolExecutor(_THREADS) as pool:
        rows = np.array([first, *pool.map(one, points[1:])])  # (points, ways, fields)
    sizes, drops = np.array(middles, dtype=np.float64), np.array(falls, dtype=np.float64)
    return tuple(
        YieldGrid(sizes, drops, length - trims, trims, way.T.reshape(-1, sizes.size, drops.size))
        for way in rows.swapaxes(0, 1)
    )

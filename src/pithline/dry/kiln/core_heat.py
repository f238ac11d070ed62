"""How heat reaches the middle of a slab: transient conduction, by series."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue

__all__ = ["DIFFUSIVITY", "centre_left", "minutes_to", "series_roots"]

Floats = NDArray[np.float64]

DIFFUSIVITY = 1.6e-7  # of heat in wood (Wood Handbook, Ch. 4, from memory). [m2/s]
_TERMS = 60  # so many that a hundredth of the usual heating time is still exact


@cache
def series_roots(biot: float) -> tuple[float, ...]:
    """The first roots of x tan x = Bi, one in each half turn.

    Parameters
    ----------
    biot : float
        Surface film times half thickness over conductivity; infinite for a surface that is at
        the air's temperature at once. [-]

    Returns
    -------
    roots : tuple of float

    Raises
    ------
    BadValue
        Not more than 0.

    References
    ----------
    J. Crank, The Mathematics of Diffusion, 1975, Eq. 4.51 (A. B. Newman's solution).
    """
    if not biot > 0:  # NaN fails here too
        raise BadValue("film", biot, "more than 0")
    turns = np.arange(_TERMS) * np.pi
    if math.isinf(biot):
        return tuple(turns + np.pi / 2)
    low, high = turns.copy(), turns + np.pi / 2
    for _ in range(60):
        middle = (low + high) / 2
        short = middle * np.tan(middle) < biot
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return tuple((low + high) / 2)


def centre_left(fourier: float, biot: float = math.inf) -> float:
    """What is left of the first difference in the middle of a slab heated from both faces.

    Parameters
    ----------
    fourier : float
        Diffusivity times time over half thickness squared. [-]
    biot : float
        [-]

    Returns
    -------
    left : float
        1 at the start, 0 at the end.

    References
    ----------
    J. Crank, The Mathematics of Diffusion, 1975, Eq. 4.17 and 4.50 at x = 0.
    """
    b = np.array(series_roots(biot))
    weights = 4 * np.sin(b) / (2 * b + np.sin(2 * b))
    return float(min(np.sum(weights * np.exp(-(b**2) * fourier)), 1.0))


def minutes_to(
    wanted: float,
    thickness: float,
    start: float,
    air: float,
    width: float = math.inf,
    film: float = math.inf,
    diffusivity: float = DIFFUSIVITY,
) -> float:
    """Time until the middle of a slab or beam reaches a temperature.

    Parameters
    ----------
    wanted, start, air : float
        In the middle at the end and at the beginning, and around it all the time. [°C]
    thickness, width : float
        Of the section; infinite width for a slab much wider than thick. [m]
    film : float
        Heat passed by the surface over conductivity of the wood. [1/m]
    diffusivity : float
        [m2/s]

    Returns
    -------
    minutes : float
        Infinite where the air is not warmer than wanted; 0 where the wood already is.

    Raises
    ------
    BadValue
        Not a size.

    Notes
    -----
    The difference left in a beam is the product of those of two slabs. Air comes up to its
    temperature at once here; the time that the kiln takes to get there comes on top.
    """
    for side, size in (("thickness", thickness), ("width", width)):
        if not (0 < size < 2 or size == width == math.inf):  # NaN fails here too
            shown = f"{size * 1000:g} mm"
            raise BadValue(side, shown, "more than 0 and under 2 m", 'Write "12/4" or "80 mm".')
    if start >= wanted:
        return 0.0
    if air <= wanted:
        return math.inf
    goal = (air - wanted) / (air - start)
    halves = [side / 2 for side in (thickness, width) if math.isfinite(side)]

    def left(seconds: float) -> float:
        parts = (centre_left(diffusivity * seconds / half**2, film * half) for half in halves)
        return math.prod(parts)

    low, high = 0.0, 60.0
    while left(high) > goal:
        low, high = high, high * 2
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if left(middle) > goal else (low, middle)
    return (low + high) / 2 / 60

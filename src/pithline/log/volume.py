"""Solid volume of a log: by integration of its shape, and by the formulas of the trade."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.log.shape import LogShape, polygon_areas

__all__ = [
    "area_of_diameter",
    "area_of_girth",
    "bark_volume",
    "cone",
    "cylinder",
    "huber",
    "neiloid",
    "newton",
    "section_areas",
    "smalian",
    "volume_by_integration",
]

Floats = NDArray[np.float64]


def section_areas(shape: LogShape, z: ArrayLike, over_bark: bool = False) -> Floats:
    """Cross-section areas along the log.

    Parameters
    ----------
    shape : LogShape
    z : array_like, shape (places,)
        From the butt. [m]
    over_bark : bool, optional

    Returns
    -------
    areas : ndarray, shape (places,)
        [m2]
    """
    here = shape.at(np.atleast_1d(np.asarray(z, dtype=np.float64)))
    return polygon_areas(here.over_bark() if over_bark else here.outlines)


def volume_by_integration(shape: LogShape, over_bark: bool = False) -> float:
    """Volume of the solid that the outlines describe.

    Parameters
    ----------
    shape : LogShape
    over_bark : bool, optional
        With the bark; under bark where left out.

    Returns
    -------
    volume : float
        [m3]

    Notes
    -----
    Between stations every vertex runs straight, so the area is a parabola in z and
    Simpson's rule on each interval is exact. Over bark the outer outlines are taken as
    running straight too.
    """
    outlines = shape.over_bark() if over_bark else shape.outlines
    ends = polygon_areas(outlines)
    middles = polygon_areas((outlines[:-1] + outlines[1:]) / 2)
    return float(np.sum(np.diff(shape.z) / 6 * (ends[:-1] + 4 * middles + ends[1:])))


def bark_volume(shape: LogShape) -> float:
    """Volume of the bark alone. [m3]"""
    return volume_by_integration(shape, over_bark=True) - volume_by_integration(shape)


def area_of_diameter(across: float, tall: float | None = None) -> float:
    """Area of a round or oval section: pi/4 a b. [m] -> [m2]"""
    return math.pi / 4 * across * (across if tall is None else tall)


def area_of_girth(girth: float) -> float:
    """Area of the circle with this girth: C^2 / (4 pi). [m] -> [m2]"""
    return girth**2 / (4 * math.pi)


def smalian(length: float, large: float, small: float) -> float:
    """Mean of both end areas times length.

    Parameters
    ----------
    length : float
        [m]
    large, small : float
        End areas. [m2]

    Returns
    -------
    volume : float
        [m3]

    Notes
    -----
    Exact for a cylinder and a frustum of a paraboloid; far too much for a flared butt log.

    References
    ----------
    .. [1] University of Missouri, forestry teaching page "Cubic Log Volume".
    """
    return length * (large + small) / 2


def huber(length: float, middle: float) -> float:
    """Area at mid-length times length. [m], [m2] -> [m3]

    Exact for a cylinder and a frustum of a paraboloid (from memory; any mensuration text).
    """
    return length * middle


def newton(length: float, large: float, middle: float, small: float) -> float:
    """A sixth of the ends and four times the middle, times length. [m], [m2] -> [m3]

    Exact for frusta of cylinder, cone, paraboloid and neiloid (from memory).
    """
    return length * (large + 4 * middle + small) / 6


def cone(length: float, large: float, small: float) -> float:
    """Frustum of a cone. [m], [m2] -> [m3]

    University of Missouri, forestry teaching page "Cubic Log Volume".
    """
    return length / 3 * (large + math.sqrt(large * small) + small)


def neiloid(length: float, large: float, small: float) -> float:
    """Frustum of a neiloid, as flared butts are. [m], [m2] -> [m3]

    University of Missouri, forestry teaching page "Cubic Log Volume".
    """
    return length / 4 * (large + math.cbrt(large * small**2) + math.cbrt(large**2 * small) + small)


def cylinder(length: float, area: float) -> float:
    """Area times length. [m], [m2] -> [m3]"""
    return length * area

"""How the growth rings meet the face of a slab.

Rings are taken as circles about the pith. At a point x beside and y above the
pith they meet a level face at ``atan2(|x|, |y|)``: 0 is flat, 90 degrees quarter.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.errors import BadValue

__all__ = ["grain_shares", "mean_sin2", "ring_angle"]

Floats = NDArray[np.float64]


def ring_angle(x: ArrayLike, y: ArrayLike) -> Floats:
    """Angle between the rings and the face.

    Parameters
    ----------
    x, y : array_like
        Across the face and along its normal, from the pith. [m]

    Returns
    -------
    angle : ndarray
        0 (flat) to pi/2 (quarter). [rad]
    """
    return np.arctan2(np.abs(np.asarray(x, dtype=np.float64)), np.abs(np.asarray(y, dtype=np.float64)))


def grain_shares(
    left: ArrayLike,
    right: ArrayLike,
    height: ArrayLike,
    flat_below: float = math.radians(30),
    quarter_above: float = math.radians(60),
) -> tuple[Floats, Floats, Floats]:
    """Shares of a width that show flat, rift and quarter grain.

    Parameters
    ----------
    left, right : array_like
        Edges of the face across the slab, from the pith, signed. [m]
    height : array_like
        Of the face above the pith line, signed. [m]
    flat_below, quarter_above : float
        Limits of the ring angle. [rad] The trade does not agree on them, so they
        are a setting: 30 and 60 degrees in architectural woodwork, 45 and 75 with
        some sellers, 45 alone in forest service texts.

    Returns
    -------
    flat, rift, quarter : ndarray
        Adding up to 1; NaN where the face has no width.

    Raises
    ------
    BadValue
        Limits out of order or outside 0 to 90 degrees.

    Notes
    -----
    Closed form: the ring angle passes a limit L where ``|x| = |height| tan L``.
    Within the pith's own line (height 0) everything is quarter.
    """
    if not 0 <= flat_below <= quarter_above <= math.pi / 2:
        shown = f"{math.degrees(flat_below):g} and {math.degrees(quarter_above):g} deg"
        raise BadValue("limits of ring angle", shown, "rising, from 0 to 90 deg")
    left, right, height = (np.asarray(a, dtype=np.float64) for a in (left, right, height))
    width = right - left

    def within(limit: float) -> Floats:
        # cos is never quite 0 in floats, so 90 deg gives a huge half-width, not a division by 0.
        half = np.abs(height) * math.sin(limit) / math.cos(limit)
        return np.asarray(np.maximum(np.minimum(right, half) - np.maximum(left, -half), 0.0))

    with np.errstate(invalid="ignore", divide="ignore"):
        whole = np.where(width > 0, width, np.nan)
        flat, upto = within(flat_below) / whole, within(quarter_above) / whole
    return flat, upto - flat, 1 - upto


def mean_sin2(left: ArrayLike, right: ArrayLike, height: ArrayLike) -> Floats:
    """Mean of sin^2 of the ring angle over a width.

    It weighs tangential against radial movement through the slab's thickness.

    Parameters
    ----------
    left, right : array_like
        Edges across the slab, from the pith, signed. [m]
    height : array_like
        Above the pith line, signed. [m]

    Returns
    -------
    mean : ndarray
        0 (flat all over) to 1 (quarter all over); for no width, the value at that point.

    Notes
    -----
    sin^2 is x^2 / (x^2 + y^2), whose mean from l to r is
    ``1 - y (atan(r/y) - atan(l/y)) / (r - l)``.
    """
    left, right = np.asarray(left, dtype=np.float64), np.asarray(right, dtype=np.float64)
    y = np.abs(np.asarray(height, dtype=np.float64))
    width = right - left
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = 1 - y * (np.arctan2(right, y) - np.arctan2(left, y)) / width
    # A face thinner than a hair: the difference of two arctangents would be noise.
    return np.asarray(np.where(width > 1e-9, np.clip(mean, 0.0, 1.0), np.sin(ring_angle(left, y)) ** 2))

"""How far a stack may lean before it tips sideways."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.dry.laying.layers import Laid, Layer

__all__ = ["LEAN_LEAST", "RATIO_MOST", "Steadiness", "across_extent", "steadiness"]

Floats = NDArray[np.float64]

RATIO_MOST = 2.0  # height over width beyond which a stack is braced; common practice, no source
LEAN_LEAST = math.radians(15)  # a stack that tips at less is braced; a guess, 10 to 20 degrees. [rad]


@dataclass(frozen=True, slots=True)
class Steadiness:
    """How steady a stack stands, across.

    Attributes
    ----------
    ratio : float
        Height over the width of the timbers, which are as long as the stack is wide.
    lean : float
        Of the ground at which it, or the part above one layer, begins to tip; 0 where something
        would fall already. [rad]
    weakest : int
        The layer, from the bottom and 1 first, on whose sticks it tips; 0 for the ground.
    """

    ratio: float
    lean: float
    weakest: int

    @property
    def brace(self) -> bool:
        """Whether it should be braced, or built lower."""
        return self.ratio > RATIO_MOST or self.lean < LEAN_LEAST


def steadiness(layers: Sequence[Layer], base_height: float, top_weight: float = 0.0) -> Steadiness:
    """Weigh every part of a stack over what it stands on.

    Parameters
    ----------
    layers : sequence of Layer
        From the bottom; by volume where a mass is not known.
    base_height : float
        Timbers and blocks below. [m]
    top_weight : float
        On the middle of the top layer; left out where a slab's mass is not known. [kg]

    Notes
    -----
    For the ground and for each layer: the part above tips where its centre of mass comes to stand over
    the edge of what carries it, arctan(distance to the nearer edge / height above it). What carries a
    layer across is where it and the layer below both reach; sticks do not bend. Wind, knocks and
    soft ground come on top of it.
    """
    known = all(laid.slab.mass for layer in layers for laid in layer.slabs)
    feet, foot = [], base_height
    for layer in layers:
        feet.append(foot)
        foot += layer.height
    reach = [across_extent(layer) for layer in layers]
    # Timbers are as long as the stack is wide.
    low, high = min(left for left, _ in reach), max(right for _, right in reach)
    weakest, lean = 0, math.inf
    for k in range(len(layers)):
        low_k, high_k = reach[k]
        if k:
            low_k, high_k = max(low_k, reach[k - 1][0]), min(high_k, reach[k - 1][1])
        middle, height = _centre(layers[k:], feet[k:], known, top_weight)
        joints = [(k + 1, feet[k], low_k, high_k)] + ([(0, 0.0, low, high)] if k == 0 else [])
        for number, level, left, right in joints:
            edge = min(middle - left, right - middle)
            angle = math.atan2(max(edge, 0.0), height - level)
            if angle < lean - 1e-12:
                lean, weakest = angle, number
    return Steadiness(foot / (high - low), lean, weakest)


def across_extent(layer: Layer) -> tuple[float, float]:
    """Leftmost and rightmost reach of a layer. [m]"""
    return (
        min(float(laid.ring[:, 1].min()) for laid in layer.slabs),
        max(float(laid.ring[:, 1].max()) for laid in layer.slabs),
    )


def _centre(
    layers: Sequence[Layer], feet: Sequence[float], known: bool, top_weight: float
) -> tuple[float, float]:
    """Across and up. [m]"""
    weights, across, up = [], [], []
    for layer, foot in zip(layers, feet, strict=True):
        stick = layer.height - layer.thickness
        for laid in layer.slabs:
            weights.append(laid.slab.mass if known else laid.slab.area * laid.slab.thickness)
            across.append(_middle(laid))
            up.append(foot + stick + laid.slab.thickness / 2)
    if known and top_weight:
        weights.append(top_weight)
        across.append(sum(across_extent(layers[-1])) / 2)
        up.append(feet[-1] + layers[-1].height)
    return float(np.average(across, weights=weights)), float(np.average(up, weights=weights))


def _middle(laid: Laid) -> float:
    """Centroid of its outline, across."""
    x, y = laid.ring[:, 0], laid.ring[:, 1]
    x2, y2 = np.roll(x, -1), np.roll(y, -1)
    cross = x * y2 - x2 * y
    return float(((y + y2) * cross).sum() / (3 * cross.sum()))

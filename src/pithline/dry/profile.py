"""Moisture through the thickness: cells from the middle to the face, and how pins and a plate read them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.errors import BadValue

__all__ = ["Mesh", "at_depth", "mean_to", "thickness_of"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Cells from mid-thickness to the face, finer towards the face.

    Attributes
    ----------
    half : float
        [m]
    widths : ndarray, shape (cells,)
        [m]
    depths : ndarray, shape (cells,)
        Of the cells' middles, below the face. [m]
    """

    half: float
    widths: Floats
    depths: Floats

    @classmethod
    def of(cls, thickness: float, cells: int) -> Mesh:
        """Cells whose edges lie at depths (i/cells)² of the half thickness."""
        if not 0.001 <= thickness < 1:  # NaN fails here too
            shown = f"{thickness * 1000:g} mm"
            raise BadValue("thickness", shown, "from 1 mm to 1 m", 'Write "12/4" or "80 mm".')
        edges = 0.5 * thickness * (1 - (1 - np.linspace(0, 1, cells + 1)) ** 2)
        return cls(0.5 * thickness, np.diff(edges), 0.5 * thickness - 0.5 * (edges[1:] + edges[:-1]))


def at_depth(profile: Floats, face: ArrayLike, depths: Floats, depth: float) -> Floats:
    """Moisture at a depth, as insulated pins feel it.

    Parameters
    ----------
    profile : ndarray, shape (..., cells)
        As in `Course`. [fraction]
    face : array_like, shape (...)
        [fraction]
    depths : ndarray, shape (cells,)
        [m]
    depth : float
        Below the face, at most the whole thickness; beyond the middle it counts from the other
        face. [m]

    Returns
    -------
    moisture : ndarray, shape (...)
        Straight between the cells' middles. [fraction]
    """
    whole = thickness_of(depths)
    if not 0 <= depth <= whole * (1 + 1e-9):
        raise BadValue("depth", depth, f"from 0 to {whole * 1000:.0f} mm", "Measure from the face.")
    depth = min(depth, whole - depth)
    rising = depths[::-1]  # from the face inwards
    right = int(np.searchsorted(rising, depth))
    inner = profile[..., ::-1]
    if right == 0:
        share = depth / rising[0]
        return np.asarray((1 - share) * np.asarray(face) + share * inner[..., 0])
    if right == len(rising):
        return np.asarray(inner[..., -1])
    share = (depth - rising[right - 1]) / (rising[right] - rising[right - 1])
    return np.asarray((1 - share) * inner[..., right - 1] + share * inner[..., right])


def mean_to(profile: Floats, depths: Floats, depth: float) -> Floats:
    """Mean moisture from one face down to a depth, as a pinless plate sees it; shape (...)."""
    half = thickness_of(depths) / 2
    if not depth > 0:  # NaN fails here too
        raise BadValue("depth", depth, "more than 0")
    edges = _edges(depths)  # from the face inwards
    inner = profile[..., ::-1]

    def water(to: float) -> Floats:
        return np.asarray((inner * np.clip(to - edges[:-1], 0, np.diff(edges))).sum(axis=-1))

    depth = min(depth, 2 * half)
    if depth <= half:
        return water(depth) / depth
    return (2 * water(half) - water(2 * half - depth)) / depth


def thickness_of(depths: Floats) -> float:
    """Thickness of the slab whose cells have their middles at these depths. [m]"""
    return 2 * float(_edges(depths)[-1])


def _edges(depths: Floats) -> Floats:
    """Cell edges from the face inwards, from their middles."""
    edges = [0.0]
    for middle in depths[::-1]:
        edges.append(2 * float(middle) - edges[-1])
    return np.array(edges)

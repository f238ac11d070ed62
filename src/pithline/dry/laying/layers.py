"""Slabs of one thickness side by side, where each lies, and the sticks below them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.dry.laying.contact import Floor
from pithline.dry.laying.footprint import Footprint, Turn
from pithline.dry.laying.rectangles import Spot
from pithline.dry.laying.stickers import Stickers, overhang

__all__ = ["Laid", "Layer", "Room", "heaviest_first", "laid_out", "stuck"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Room:
    """What a kiln has room for: the floor, and the height of the stack upon it.

    Attributes
    ----------
    floor : Floor
    height : float
        Stickers included, the base not. [m]
    """

    floor: Floor
    height: float

    @property
    def volume(self) -> float:
        """[m3]"""
        return self.floor.area * self.height


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A slab in its layer.

    Attributes
    ----------
    slab : Footprint
    turn : Turn
    along, across : float
        Nearer end from the near end of the floor, least reach from its left side. [m]
    ring : ndarray, shape (corners, 2)
        Its corners on the floor, (along, across). [m]
    overhang : tuple of float
        Past the first and the last row of sticks. [m]
    """

    slab: Footprint
    turn: Turn
    along: float
    across: float
    ring: Floats
    overhang: tuple[float, float]

    def edge(self, at_far_end: bool) -> float:
        """Left edge at its near or far end, from the left side: two marks for a tape. [m]"""
        x, y = self.ring[:, 0], self.ring[:, 1]
        end = x.max() if at_far_end else x.min()
        # An end askew is a slanted line; its corner nearest the left side is what a tape meets.
        return float(y[np.abs(x - end) <= 0.12 * np.ptp(y) + 1e-9].min())


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """Slabs of one thickness side by side, with the sticks below them.

    Attributes
    ----------
    slabs : tuple of Laid
    thickness : float
        Of the thickest. [m]
    height : float
        With the sticks. [m]
    filled : float
        Of the floor. [fraction]
    """

    slabs: tuple[Laid, ...]
    thickness: float
    height: float
    filled: float

    @property
    def mass(self) -> float:
        """0 where a slab's is not known. [kg]"""
        masses = [laid.slab.mass for laid in self.slabs]
        return sum(masses) if all(masses) else 0.0


def laid_out(own: Sequence[Footprint], spots: Sequence[Spot], stick: float, floor: Floor) -> Layer:
    """A layer of slabs at their places.

    Parameters
    ----------
    own : sequence of Footprint
        That the places are told of by number.
    spots : sequence of Spot
    stick : float
        Thickness of the sticks below it. [m]
    floor : Floor
    """
    laid = []
    for spot in spots:
        slab = own[spot.slab]
        ring = slab.ring(spot.turn) + np.array([spot.along, spot.across])
        laid.append(Laid(slab, spot.turn, spot.along, spot.across, ring, (0.0, 0.0)))
    laid.sort(key=lambda one: (one.across, one.along))
    filled = sum(one.slab.area for one in laid) / floor.area
    thick = max(one.slab.thickness for one in laid)
    return Layer(tuple(laid), thick, thick + stick, filled)


def stuck(layer: Layer, stickers: Stickers) -> Layer:
    """The same layer once it is known where the rows of sticks lie."""
    return replace(
        layer,
        slabs=tuple(
            replace(
                laid,
                overhang=overhang(laid.along, float(laid.ring[:, 0].max()), stickers.rows, stickers.width),
            )
            for laid in layer.slabs
        ),
    )


def heaviest_first(layers: Sequence[Layer]) -> list[Layer]:
    """Layers from the bottom up: what nobody weighed is as heavy for its wood as what was.

    Where nothing was weighed, the most wood lies lowest.
    """
    slabs = [laid.slab for layer in layers for laid in layer.slabs]
    known = [slab for slab in slabs if slab.mass]
    wood = sum(slab.area * slab.thickness for slab in known)
    density = sum(slab.mass for slab in known) / wood if known else 1.0

    def heft(layer: Layer) -> float:
        return sum(laid.slab.mass or density * laid.slab.area * laid.slab.thickness for laid in layer.slabs)

    return sorted(layers, key=lambda layer: -heft(layer))

"""What a slab covers of the floor: its outline seen from above, and the ways it can be laid."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.slab.outline import SlabOutline

__all__ = ["STRAIGHT", "Footprint", "Turn"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Turn:
    """How a slab is turned before it is laid down.

    Attributes
    ----------
    end_for_end : bool
        Its butt lies at the far end.
    face_down : bool
        The face that lay higher in the log lies down.
    skew : float
        Then turned anticlockwise, seen from above. [rad]
    """

    end_for_end: bool = False
    face_down: bool = False
    skew: float = 0.0


STRAIGHT = Turn()


@dataclass(frozen=True, slots=True, eq=False)
class Footprint:
    """A slab as it lies: both edges along it, the wider face at each.

    Attributes
    ----------
    name : str
        The number on the wood.
    z : ndarray, shape (stations,)
        Along the slab from its butt end, 0 first. [m]
    left, right : ndarray, shape (stations,)
        Edges across, right seen from the butt is more. [m]
    thickness : float
        [m]
    mass : float
        0 where nobody knows. [kg]
    """

    name: str
    z: Floats
    left: Floats
    right: Floats
    thickness: float
    mass: float = 0.0

    @classmethod
    def of(
        cls, name: str, z: Floats, left: Floats, right: Floats, thickness: float, mass: float = 0.0
    ) -> Self:
        """Check what came from outside.

        Raises
        ------
        BadValue
            Stations that do not rise, a left edge right of the right one, no thickness.
        """
        z, left, right = (np.array(each, dtype=np.float64) for each in (z, left, right))
        if len(z) < 2 or not (np.diff(z) > 0).all():
            raise BadValue(f"{name}.at", "out of order", "two places or more, from the butt on")
        if not (np.isfinite(left).all() and np.isfinite(right).all() and (right >= left).all()):
            raise BadValue(f"{name}.at", "crossed", "edges with the left one left of the right one")
        if not (right > left).any():
            raise BadValue(f"{name}.at", "no width at all", "wider than nothing somewhere")
        if not 0 < thickness < 1:  # NaN fails here too
            raise BadValue(f"{name}.thickness", thickness, "more than 0 and under 1 m")
        if not 0 <= mass < 1e5:
            raise BadValue(f"{name}.mass", mass, "0 or more and under 100 t")
        z = z - z[0]
        for each in (z, left, right):
            each.flags.writeable = False
        return cls(name, z, left, right, thickness, mass)

    @classmethod
    def of_outline(cls, name: str, outline: SlabOutline, mass: float = 0.0) -> Self:
        """Footprint of a slab's outline: what either face covers, bevels not nested into each other."""
        left = np.minimum(outline.upper[:, 0], outline.lower[:, 0])
        right = np.maximum(outline.upper[:, 1], outline.lower[:, 1])
        return cls.of(name, outline.z, left, right, outline.thickness, mass)

    @property
    def length(self) -> float:
        """[m]"""
        return float(self.z[-1])

    @property
    def area(self) -> float:
        """Of floor covered. [m2]"""
        return float(np.trapezoid(self.right - self.left, self.z))

    @property
    def width(self) -> float:
        """Across its bounding rectangle, laid straight. [m]"""
        return float(self.right.max() - self.left.min())

    def ring(self, turn: Turn = STRAIGHT) -> Floats:
        """Corners once turned and pushed into the corner of the floor.

        Parameters
        ----------
        turn : Turn

        Returns
        -------
        ring : ndarray, shape (2 * stations, 2)
            (along, across) from the near end and the left side of the floor, with least values
            0, anticlockwise for an observer to whom across grows to the left. [m]
        """
        along = np.concatenate([self.z, self.z[::-1]])
        across = np.concatenate([self.left, self.right[::-1]])
        # End for end is half a turn on the floor; over onto the other face mirrors across.
        if turn.end_for_end:
            along, across = -along, -across
        if turn.face_down:
            across = -across
        c, s = math.cos(turn.skew), math.sin(turn.skew)
        ring = np.column_stack([c * along - s * across, s * along + c * across])
        if turn.face_down:
            ring = ring[::-1]
        return np.asarray(ring - ring.min(axis=0))

    def leans(self, most: float) -> tuple[float, ...]:
        """Skews that lay one of its edges along the floor's side, straight first.

        Parameters
        ----------
        most : float
            Largest skew. [rad]

        Returns
        -------
        skews : tuple of float
            For the slab not turned; mirrored with it when it is. [rad]
        """
        found = [0.0]
        for edge in (self.left, self.right):
            slope = float(np.polyfit(self.z, edge, 1)[0])
            skew = -math.atan(slope)
            if abs(skew) <= most and all(abs(skew - other) > math.radians(0.25) for other in found):
                found.append(skew)
        return tuple(found)

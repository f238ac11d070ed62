"""The two faces of a live-edge slab along its length."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["SlabOutline"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class SlabOutline:
    """Edges of both faces under bark, across the slab from the pith line.

    Attributes
    ----------
    z : ndarray, shape (stations,)
        Along the log from the butt. [m]
    upper, lower : ndarray, shape (stations, 2)
        Left and right edge of the face that lay higher and of the one that lay
        lower in the log; equal where the face has run out of the wood. [m]
    thickness : float
        Green, as sawn. [m]
    """

    z: Floats
    upper: Floats
    lower: Floats
    thickness: float

    @property
    def upper_width(self) -> Floats:
        """[m], shape (stations,)."""
        return self.upper[:, 1] - self.upper[:, 0]

    @property
    def lower_width(self) -> Floats:
        """[m], shape (stations,)."""
        return self.lower[:, 1] - self.lower[:, 0]

    @property
    def narrow_width(self) -> Floats:
        """The narrower face at each station, shape (stations,). [m]"""
        return np.minimum(self.upper_width, self.lower_width)

    @property
    def wide_width(self) -> Floats:
        """The wider face at each station, shape (stations,). [m]"""
        return np.maximum(self.upper_width, self.lower_width)

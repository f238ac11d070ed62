"""A log from a phone call: girth, length and how fast it may taper."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.log.record import LogRecord
from pithline.log.written import from_table
from pithline.money.likely import Likely

__all__ = ["LogGuess", "Shapes"]

Floats = NDArray[np.float64]
# Where foresters lay the tape. [m] (1.3 m in most countries, 4.5 ft in the United States; from memory)
GIRTH_AT = 1.3


@dataclass(frozen=True, slots=True)
class Shapes:
    """What draws of a log come to, in the two figures that its shape is planned by.

    Attributes
    ----------
    middle : ndarray, shape (draws,)
        Diameter over bark at mid-length. [m]
    fall : ndarray, shape (draws,)
        Diameter at the butt less that at the top. [m]
    length : ndarray, shape (draws,)
        [m]
    """

    middle: Floats
    fall: Floats
    length: Floats


@dataclass(frozen=True, slots=True)
class LogGuess:
    """What the caller said of the log.

    Attributes
    ----------
    species : str
    girth : Likely
        Over bark. [m]
    girth_at : float
        From the butt. [m]
    length : Likely
        Usable, butt to top. [m]
    taper : Likely
        Of the diameter. [m/m]
    """

    species: str
    girth: Likely
    girth_at: float
    length: Likely
    taper: Likely

    def shapes(self, girth: Floats, length: Floats, taper: Floats) -> Shapes:
        """Turn drawn girths, lengths and tapers into shapes; a straight cone through the girth."""
        middle = girth / math.pi - taper * (length / 2 - self.girth_at)
        # A log that would come to a point ends where it is a hand wide: nobody buys that end.
        fall = np.minimum(taper * length, 2 * np.maximum(middle - 0.1, 0.0))
        return Shapes(np.maximum(middle, 0.1), fall, length)

    def record(self, middle: float, fall: float, length: float) -> LogRecord:
        """One such log as a record, its bark estimated from the species.

        Raises
        ------
        BadValue
            An unknown wood, or bark thicker than the log.
        """
        ends = {"butt": middle + fall / 2, "top": middle - fall / 2}
        log = {
            "species": self.species,
            "length": f"{length * 1000:.0f} mm",
            **{end: {"diameter": f"{size * 1000:.1f} mm", "bark": "over"} for end, size in ends.items()},
        }
        return from_table({"log": log})

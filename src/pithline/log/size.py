"""One cross-section as a tape gives it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.log import outline

__all__ = ["Size", "Station"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Size:
    """Readings of one section; exactly one way of measuring is filled. Lengths in metres.

    Attributes
    ----------
    field : str
        Where it stands in the record, for messages (``log.butt``).
    over_bark : bool
        Whether the tape lay on the bark.
    readings : tuple (right, up, left, down) or None
        From the pith mark, seen from the butt.
    around : tuple of (angle, reach) or None
        The same at any angles [rad, anticlockwise from +x], at least four.
    diameter, girth : float or None
    across, tall : float or None
        Level and upright extent; between the ends one of them is enough.
    pith_right, pith_up : float
        Pith mark from the middle, where the size is not given by readings from the pith.
    """

    field: str
    over_bark: bool
    readings: tuple[float, float, float, float] | None = None
    around: tuple[tuple[float, float], ...] | None = None
    diameter: float | None = None
    girth: float | None = None
    across: float | None = None
    tall: float | None = None
    pith_right: float = 0.0
    pith_up: float = 0.0

    @property
    def whole(self) -> bool:
        """Whether the form of the section is known, not only its size."""
        return self.from_pith or (self.across is not None and self.tall is not None)

    @property
    def from_pith(self) -> bool:
        """Whether the tape began at the pith mark."""
        return self.readings is not None or self.around is not None

    @property
    def mean(self) -> float:
        """Diameter of the circle of equal area, on the side of the bark that was measured. [m]"""
        if self.readings is not None:
            right, up, left, down = self.readings
            return math.sqrt((right + left) * (up + down))
        if self.around is not None:
            return outline.mean_diameter(self.outline())
        if self.girth is not None:
            return self.girth / math.pi
        if self.diameter is not None:
            return self.diameter
        across, tall = self.across or self.tall, self.tall or self.across
        return math.sqrt((across or 0.0) * (tall or 0.0))

    def under_bark(self, bark: float) -> Self:
        """The same section inside the bark.

        Parameters
        ----------
        bark : float
            Thickness, one side. [m]

        Raises
        ------
        BadValue
            Where the bark would be thicker than a reading or the radius.
        """
        least = min(self._reaches())
        if not bark < least:
            raise BadValue(
                f"{self.field} bark",
                f"{bark * 1000:.0f} mm",
                f"thinner than the least radius there ({least * 1000:.0f} mm)",
                "Measure the bark at the cut face, one side only, or say "
                'bark = "under" where the tape lay on bare wood.',
            )
        if not self.over_bark:
            return self
        two = 2 * bark
        return replace(
            self,
            over_bark=False,
            readings=_less(self.readings, bark),
            around=None if self.around is None else tuple((angle, r - bark) for angle, r in self.around),
            diameter=None if self.diameter is None else self.diameter - two,
            girth=None if self.girth is None else self.girth - math.pi * two,
            across=None if self.across is None else self.across - two,
            tall=None if self.tall is None else self.tall - two,
        )

    def mirrored(self) -> Self:
        """As seen from the other end: right and left change places."""
        readings = self.readings
        if readings is not None:
            right, up, left, down = readings
            readings = (left, up, right, down)
        around = self.around and tuple((math.pi - angle, reach) for angle, reach in self.around)
        return replace(self, readings=readings, around=around, pith_right=-self.pith_right)

    def outline(self, form: Floats | None = None) -> Floats:
        """Outline about the pith mark, shape (POINTS, 2). [m]

        Parameters
        ----------
        form : ndarray, shape (POINTS, 2), optional
            Form to keep where only the size is known; a circle or ellipse otherwise.

        Raises
        ------
        BadValue
            Where the pith mark lies outside.
        """
        if self.readings is not None:
            return outline.from_readings(*self.readings)
        if self.around is not None:
            angle, reach = np.array(self.around).T
            return outline.from_around(angle, reach)
        if form is not None and not (self.pith_right or self.pith_up):
            diameter = self.mean if self.girth is not None else self.diameter
            return outline.scaled(form, diameter, self.across, self.tall)
        across, tall = self._extents()
        if (2 * self.pith_right / across) ** 2 + (2 * self.pith_up / tall) ** 2 >= 1:
            raise BadValue(
                f"{self.field} pith",
                f"{self.pith_right * 1000:.0f} mm right, {self.pith_up * 1000:.0f} mm up of the middle",
                f"inside the outline of {across * 1000:.0f} x {tall * 1000:.0f} mm",
                "Measure pith_right and pith_up from the middle of the section.",
            )
        return outline.ellipse(across, tall, self.pith_right, self.pith_up)

    def _reaches(self) -> tuple[float, ...]:
        if self.readings is not None:
            return self.readings
        if self.around is not None:
            return tuple(reach for _, reach in self.around)
        return tuple(extent / 2 for extent in self._extents())

    def _extents(self) -> tuple[float, float]:
        if self.diameter is not None or self.girth is not None:
            return self.mean, self.mean
        return self.across or self.tall or 0.0, self.tall or self.across or 0.0


@dataclass(frozen=True, slots=True)
class Station:
    """A section somewhere along the log. `at` from the butt. [m]"""

    at: float
    size: Size


def _less(
    readings: tuple[float, float, float, float] | None, bark: float
) -> tuple[float, float, float, float] | None:
    if readings is None:
        return None
    right, up, left, down = readings
    return right - bark, up - bark, left - bark, down - bark

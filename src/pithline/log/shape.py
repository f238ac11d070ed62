"""The one shape a log has, whether taped, photographed or scanned."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Self

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.log.zones import Zone

__all__ = ["LogShape"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class LogShape:
    """Outlines under bark at stations along the straight pith line.

    Seen from the butt: x to the right, y up, origin on the pith line, z from
    butt (0) to top (length). Sweep shows as outlines that leave the origin.
    Between stations vertex k of one outline runs straight to vertex k of the next.

    Attributes
    ----------
    z : ndarray, shape (stations,)
        Strictly rising, first 0. [m]
    outlines : ndarray, shape (stations, points, 2)
        Closed polygons, anticlockwise, may be non-convex; last point not repeated. [m]
    bark : ndarray, shape (stations,)
        Bark thickness, one side. [m]
    second_pith : ndarray, shape (stations, 2) or None
        The other pith of a crotch; NaN at stations before the fork. [m]
    zones : tuple of Zone
    """

    z: Floats
    outlines: Floats
    bark: Floats
    second_pith: Floats | None = None
    zones: tuple[Zone, ...] = field(default=())

    @classmethod
    def of(
        cls,
        z: Floats,
        outlines: Floats,
        bark: Floats,
        second_pith: Floats | None = None,
        zones: tuple[Zone, ...] = (),
    ) -> Self:
        """Check, copy and lock the arrays.

        Raises
        ------
        BadValue
            Where a number is missing or not finite, stations do not rise, an
            outline runs clockwise or has no area, or bark is negative.
        """
        z, outlines, bark = (np.array(a, dtype=np.float64) for a in (z, outlines, bark))
        if z.ndim != 1 or z.size < 2 or z[0] != 0 or not np.all(np.diff(z) > 0):
            raise BadValue("log stations", z.tolist(), "two or more, rising from 0 at the butt")
        if outlines.ndim != 3 or outlines.shape[0] != z.size or outlines.shape[1] < 3:
            raise BadValue("log outlines", outlines.shape, "one polygon of 3 or more points a station")
        if not (np.isfinite(outlines).all() and np.isfinite(z).all()):
            raise BadValue("log outlines", "not a number", "finite everywhere")
        if bark.shape != z.shape or not np.all(bark >= 0):
            raise BadValue("log bark", bark.tolist(), "0 or more at every station")
        if not np.all(polygon_areas(outlines) > 0):
            raise BadValue("log outlines", "clockwise or empty", "anticlockwise and with an area")
        arrays = [z, outlines, bark]
        if second_pith is not None:
            second_pith = np.array(second_pith, dtype=np.float64)
            arrays.append(second_pith)
        for a in arrays:
            a.setflags(write=False)
        return cls(z, outlines, bark, second_pith, tuple(zones))

    @property
    def length(self) -> float:
        """Butt to top along the pith line. [m]"""
        return float(self.z[-1])

    def at(self, z: Floats) -> LogShape:
        """The same solid, described at other stations (clipped to the log). [m]"""
        z = np.clip(np.asarray(z, dtype=np.float64), 0.0, self.length)
        j = np.clip(np.searchsorted(self.z, z, side="right") - 1, 0, self.z.size - 2)
        f = (z - self.z[j]) / (self.z[j + 1] - self.z[j])
        outlines = self.outlines[j] * (1 - f)[:, None, None] + self.outlines[j + 1] * f[:, None, None]
        bark = self.bark[j] * (1 - f) + self.bark[j + 1] * f
        second = self.second_pith
        if second is not None:
            second = second[j] * (1 - f)[:, None] + second[j + 1] * f[:, None]
        return LogShape(z, outlines, bark, second, self.zones)

    def over_bark(self) -> Floats:
        """Outlines moved outward by the bark, shape (stations, points, 2). [m]"""
        edge = np.roll(self.outlines, -1, axis=1) - np.roll(self.outlines, 1, axis=1)
        length = np.maximum(np.hypot(edge[..., 0], edge[..., 1]), 1e-12)
        # The outward normal of an anticlockwise outline lies to the right of its run.
        normal = np.stack([edge[..., 1], -edge[..., 0]], axis=-1) / length[..., None]
        outer: Floats = self.outlines + normal * self.bark[:, None, None]
        return outer


def polygon_areas(outlines: Floats) -> Floats:
    """Signed areas of closed polygons, shape (..., points, 2) -> (...). [m2]"""
    x, y = outlines[..., 0], outlines[..., 1]
    areas: Floats = 0.5 * np.sum(x * np.roll(y, -1, axis=-1) - np.roll(x, -1, axis=-1) * y, axis=-1)
    return areas

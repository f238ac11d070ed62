"""What a stack puts on its floor: over its area, and under each row of sticks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.units import FOOT, POUND

if TYPE_CHECKING:
    from pithline.dry.laying.layers import Laid, Layer

__all__ = ["GRAVITY", "bearing", "row_loads", "spread_load"]

Floats = NDArray[np.float64]

GRAVITY = 9.80665  # standard; [m/s2]
_POINTS = 401  # along a slab; its mass between two of them is taken at their middle


def bearing(raw: Any, path: str) -> float:
    """What a floor bears in kg/m2: ``500 kg/m2``, ``5 kN/m2``, ``100 lb/ft2``.

    Raises
    ------
    BadValue
        Not so written, or out of reason.
    """
    text = raw.strip().lower().replace("²", "2") if isinstance(raw, str) else ""
    found = re.fullmatch(r"(\d{1,6}(?:\.\d+)?)\s*(kg/m2|kn/m2|kpa|lb/ft2|psf)", text)
    each = {"kg/m2": 1.0, "kn/m2": 1000 / GRAVITY, "kpa": 1000 / GRAVITY}
    value = float(found[1]) * each.get(found[2], POUND / FOOT**2) if found else 0.0
    if not 1 <= value <= 1e5:
        raise BadValue(path, raw, "a load on a floor", 'Write "500 kg/m2" or "100 lb/ft2".')
    return value


def spread_load(mass: float, length: float, width: float) -> float:
    """Load over the area that a stack covers.

    Parameters
    ----------
    mass : float
        Of all that stands there. [kg]
    length, width : float
        [m]

    Returns
    -------
    load : float
        [kg/m2]; times `GRAVITY` it is in N/m2.

    Raises
    ------
    BadValue
    """
    for name, value in (("mass", mass), ("length", length), ("width", width)):
        if not 0 < value < 1e6:  # NaN fails here too
            raise BadValue(name, value, "more than 0")
    return mass / (length * width)


def row_loads(layers: Sequence[Layer], rows: Sequence[float], width: float) -> Floats:
    """Mass that each row of sticks hands down to the timber below it.

    Parameters
    ----------
    layers : sequence of Layer
        Masses known, else they weigh nothing here.
    rows : sequence of float
        Middles from the near end. [m]
    width : float
        Of a stick. [m]

    Returns
    -------
    loads : ndarray, shape (rows,)
        Their sum is the mass of the slabs. [kg]

    Notes
    -----
    Between two rows a slab's mass is shared by the lever; what reaches past the outermost row under
    it lies on that row alone. A slab that no row carries lies on the nearest one, for the sum.
    """
    at = np.asarray(rows, dtype=np.float64)
    if len(at) == 0 or not (np.diff(at) > 0).all():
        raise BadValue("rows", tuple(rows), "one row or more, from the near end on")
    total = np.zeros(len(at))
    for layer in layers:
        for laid in layer.slabs:
            total += _of_slab(laid, at, width)
    return total


def _of_slab(laid: Laid, rows: Floats, width: float) -> Floats:
    slab = laid.slab
    z = np.linspace(0.0, slab.length, _POINTS)
    wide = np.interp(z, slab.z, slab.right - slab.left)
    mass = (wide[1:] + wide[:-1]) / 2
    mass = slab.mass * mass / mass.sum()
    middle = (z[1:] + z[:-1]) / 2
    place = laid.along + (slab.length - middle if laid.turn.end_for_end else middle)
    far = laid.along + slab.length
    under = np.flatnonzero((rows >= laid.along - width / 2) & (rows <= far + width / 2))
    if len(under) == 0:
        under = np.array([int(np.argmin(np.abs(rows - (laid.along + far) / 2)))])
    load = np.zeros(len(rows))
    for k, row in enumerate(under):
        hat = np.zeros(len(under))
        hat[k] = 1.0
        # Beyond the outermost row `interp` holds its last value: all of it lies there.
        load[row] = float(mass @ np.interp(place, rows[under], hat))
    return load

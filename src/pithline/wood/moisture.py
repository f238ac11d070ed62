"""Moisture content: from weights, and what wood comes to rest at in given air."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.errors import BadValue

__all__ = ["dry_mass", "emc", "humidity_for", "moisture_from_weights"]

Floats = NDArray[np.float64]
Number = TypeVar("Number", float, Floats)

# Where the equation was compared with its printed table, and the wider range that is
# let through: it stays smooth below freezing, which outdoor drying needs.
COLDEST, HOTTEST = -40.0, 132.0  # [°C]


def emc(temperature: ArrayLike, humidity: ArrayLike) -> Floats:
    """Equilibrium moisture content of wood in air.

    Parameters
    ----------
    temperature : array_like
        Of the air, -40 to 132. [°C]
    humidity : array_like, broadcastable with `temperature`
        Relative humidity, 0 to 1. [fraction]

    Returns
    -------
    moisture : ndarray, broadcast shape
        Dry basis; a 0-d array for scalars. [fraction]

    Raises
    ------
    BadValue
        Outside those ranges, or NaN.

    Notes
    -----
    Two-hydrate sorption model of an average wood; single species differ by about one
    percent of moisture. Compared with the handbook's Table 4-2 from -1.1 to 93 °C and
    5 to 95 % humidity: within 0.06 % moisture of every printed cell. Coefficients are
    kept as printed (moisture in percent).

    References
    ----------
    USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010, Eq. 4-5, °C set
    (coefficients from memory; proved by Table 4-2, which was read).
    """
    t, h = np.asarray(temperature, dtype=np.float64), np.asarray(humidity, dtype=np.float64)
    if not np.all((t >= COLDEST) & (t <= HOTTEST)):
        raise BadValue("temperature", temperature, "from -40 to 132 °C", 'Write "21 C" or "70 F".')
    if not np.all((h >= 0) & (h <= 1)):
        raise BadValue("humidity", humidity, "a fraction from 0 to 1 (0 % to 100 %)", 'Write "65 %".')
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    x = k * h
    percent = 1800 / w * (x / (1 - x) + (k1 * x + 2 * k1 * k2 * x**2) / (1 + k1 * x + k1 * k2 * x**2))
    return np.asarray(percent / 100)


def humidity_for(temperature: float, moisture: float) -> float:
    """Relative humidity at which wood comes to rest at a moisture content.

    Parameters
    ----------
    temperature : float
        Of the air, -40 to 132. [°C]
    moisture : float
        Wanted equilibrium, dry basis. [fraction]

    Returns
    -------
    humidity : float
        [fraction]

    Raises
    ------
    BadValue
        No air of that temperature is damp enough.

    Notes
    -----
    Bisection of `emc`, which rises with humidity.
    """
    wettest = float(emc(temperature, 1.0))
    if not 0 <= moisture <= wettest:
        rule = f"between 0 % and {wettest * 100:.1f} %, which saturated air of {temperature:g} °C gives"
        raise BadValue("moisture", f"{moisture * 100:g} %", rule, 'Write "8 %".')
    low, high = 0.0, 1.0
    for _ in range(52):  # as fine as a float near 1
        middle = (low + high) / 2
        low, high = (middle, high) if float(emc(temperature, middle)) < moisture else (low, middle)
    return (low + high) / 2


def moisture_from_weights(wet: float, dry: float) -> float:
    """Moisture content from the weight as found and oven-dry.

    Parameters
    ----------
    wet, dry : float
        In the same unit.

    Returns
    -------
    moisture : float
        Dry basis. [fraction]

    Raises
    ------
    BadValue
        The oven-dry weight is not positive, or above the wet one.

    References
    ----------
    Wood Handbook, FPL-GTR-190, 2010, Eq. 4-2.
    """
    if not 0 < dry < float("inf"):
        raise BadValue("oven-dry weight", dry, "more than 0", "Weigh the sample again after the oven.")
    if not dry <= wet < float("inf"):
        raise BadValue("wet weight", wet, f"at least the oven-dry weight of {dry:g}", "Swap the two weights?")
    return (wet - dry) / dry


def dry_mass(mass: Number, moisture: float) -> Number:
    """Oven-dry mass of wood that weighs `mass` at a moisture content (dry basis, fraction)."""
    return mass / (1 + moisture)

"""Damp air: humidity from a dry and a wet bulb, and back."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.errors import BadValue

__all__ = [
    "SEA_LEVEL", "humidity", "pressure_at", "saturation_pressure", "wet_bulb",
]  # fmt: skip

Floats = NDArray[np.float64]

SEA_LEVEL = 101325.0  # standard atmosphere. [Pa]
COLDEST, HOTTEST = 0.0, 120.0  # of liquid water on the wick, and of any kiln here. [°C]

# Hyland and Wexler 1983, over liquid water; T in kelvin, pressure in Pa.
_LIQUID = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 6.5459673)


def saturation_pressure(temperature: ArrayLike) -> Floats:
    """Pressure of water vapour over liquid water.

    Parameters
    ----------
    temperature : array_like
        0 to 120. [°C]

    Returns
    -------
    pressure : ndarray
        [Pa]

    Raises
    ------
    BadValue
        Outside that range, or NaN.

    References
    ----------
    R. W. Hyland and A. Wexler, ASHRAE Transactions 89(2A), 1983, p. 500-519 (coefficients from
    memory; proved by tests against a published library and printed psychrometric pairs).
    """
    t = np.asarray(temperature, dtype=np.float64)
    wrong = t[~((t >= COLDEST) & (t <= HOTTEST))]  # NaN fails here too
    if wrong.size:
        raise BadValue("temperature", f"{wrong[0]:.4g} °C", "from 0 to 120 °C", 'Write "49 C" or "120 F".')
    k = t + 273.15
    c = _LIQUID
    return np.asarray(np.exp(c[0] / k + c[1] + k * (c[2] + k * (c[3] + k * c[4])) + c[5] * np.log(k)))


def pressure_at(height: float) -> float:
    """Pressure of the standard atmosphere at a height above the sea.

    Parameters
    ----------
    height : float
        -400 to 5000. [m]

    Returns
    -------
    pressure : float
        [Pa]

    Raises
    ------
    BadValue
        Outside that range.

    References
    ----------
    ICAO standard atmosphere, troposphere (from memory).
    """
    if not -400 <= height <= 5000:
        raise BadValue("height", f"{height:g} m", "from -400 to 5000 m above the sea")
    return float(SEA_LEVEL * (1 - 2.25577e-5 * height) ** 5.25588)


def humidity(dry: ArrayLike, wet: ArrayLike, pressure: float = SEA_LEVEL) -> Floats:
    """Relative humidity of air whose dry and wet bulbs read so.

    Parameters
    ----------
    dry, wet : array_like, broadcastable
        The wet bulb is never above the dry one. [°C]
    pressure : float
        Of the air. [Pa]

    Returns
    -------
    humidity : ndarray
        [fraction]

    Raises
    ------
    BadValue
        The wet bulb is above the dry one, or lower than even bone-dry air makes it.

    Notes
    -----
    A wick in moving air (2 m/s and more) wet with clean water; a dry or dirty wick reads too
    high and the air seems damper than it is.

    References
    ----------
    ASHRAE Handbook, Fundamentals, Ch. 1: adiabatic saturation,
    W = ((2501 - 2.326 t*) W* - 1.006 (t - t*)) / (2501 + 1.86 t - 4.186 t*) (from memory).
    """
    t, w = np.broadcast_arrays(np.asarray(dry, dtype=np.float64), np.asarray(wet, dtype=np.float64))
    if not np.all(w <= t):
        raise BadValue(
            "wet bulb",
            f"{np.max(w):.4g} °C",
            f"at most the dry bulb, {np.min(t):.4g} °C",
            "Wet the wick and read both again.",
        )
    found = _humidity(t, w, pressure)
    if np.any(found < 0):
        raise BadValue(
            "wet bulb",
            f"{np.min(w):.4g} °C",
            f"as high as dry air of {np.max(t):.4g} °C leaves it",
            "Look at both thermometers.",
        )
    return found


def wet_bulb(dry: float, share: float, pressure: float = SEA_LEVEL) -> float:
    """Reading of the wet bulb in air of a temperature and relative humidity.

    Parameters
    ----------
    dry : float
        [°C]
    share : float
        Relative humidity, 0 to 1. [fraction]
    pressure : float
        [Pa]

    Returns
    -------
    wet : float
        [°C]

    Raises
    ------
    BadValue
        Humidity outside 0 to 1, or so dry and cold that the wick would freeze.

    Notes
    -----
    Bisection of `humidity`, which rises with the wet bulb.
    """
    if not 0 <= share <= 1:
        raise BadValue("humidity", share, "a fraction from 0 to 1 (0 % to 100 %)", 'Write "65 %".')
    low, high = COLDEST, float(dry)
    if float(_humidity(dry, low, pressure)) > share:
        raise BadValue(
            "humidity", f"{share * 100:g} %", f"damp enough at {dry:g} °C that the wick does not freeze"
        )
    for _ in range(52):
        middle = (low + high) / 2
        damp = float(_humidity(dry, middle, pressure))
        low, high = (middle, high) if damp < share else (low, middle)
    return (low + high) / 2


def _humidity(dry: ArrayLike, wet: ArrayLike, pressure: float) -> Floats:
    t, w = np.asarray(dry, dtype=np.float64), np.asarray(wet, dtype=np.float64)
    full = saturation_pressure(w)
    at_wick = 0.621945 * full / (pressure - full)
    ratio = ((2501 - 2.326 * w) * at_wick - 1.006 * (t - w)) / (2501 + 1.86 * t - 4.186 * w)
    return np.asarray(pressure * ratio / (0.621945 + ratio) / saturation_pressure(t))

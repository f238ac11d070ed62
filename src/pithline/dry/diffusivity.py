"""How fast moisture moves in a wood, and from its face into the air."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["RED_OAK", "Diffusivity", "film_of", "theory_ratio"]

Floats = NDArray[np.float64]

_KELVIN = 273.15
# Northern red oak, desorption: D = A exp(-E/T) exp(B M). A 19.2 cm2/s, E 5280 K, B 1.15 (numbers read in
# a secondary source; attribution to W. T. Simpson 1993, Wood Sci. Technol. 27:409-420, from memory).
_A, _E, _B = 19.2e-4, 5280.0, 1.15
# On the moisture basis, at 20 °C. From memory, low confidence: published values span 1e-8 to 3e-7 m/s. The
# upper end lets a wet face give off what free water does in moving air (Notes of `Diffusivity`).
_FILM = 3e-7
_GRAVITY = 0.56  # basic specific gravity of northern red oak (Wood Handbook FPL-GTR-190, Table 5-3)


@dataclass(frozen=True, slots=True)
class Diffusivity:
    """Transverse diffusion coefficient and surface exchange of a wood.

    Attributes
    ----------
    rate : float
        Times northern red oak's coefficient. [-]
    film : float
        Surface exchange at 20 °C on the moisture basis; infinite: the face is at equilibrium. [m/s]
    rise : float
        B in D ~ exp(B M). [-]
    full : float
        Fibre saturation; D stays constant above, and a face wetter gives off no faster. [fraction]

    Notes
    -----
    D = rate A exp(-5280/T) exp(B min(M, full)), T in kelvin. That D stays constant above fibre
    saturation is our choice. The film rises with temperature by the same law, as the saturation
    pressure of water does nearly (its heat of vaporisation over the gas constant is 5300 K near 20 °C):
    direction read in Yeo et al. 2008, Wood and Fiber Sci. At 3e-7 m/s a wet face of red oak in air of
    20 °C and 70 % humidity gives off 2.1 kg/m2 a day, what free water does at about 5 mm/s.
    """

    rate: float = 1.0
    film: float = _FILM
    rise: float = _B
    full: float = 0.30

    def warmth(self, temperature: ArrayLike) -> Floats:
        """exp(-5280/T), of `temperature` in °C. [-]"""
        return np.exp(-_E / (np.asarray(temperature, dtype=np.float64) + _KELVIN))

    def dry(self, temperature: ArrayLike) -> Floats:
        """Coefficient of nearly oven-dry wood. [m2/s]"""
        return self.rate * _A * self.warmth(temperature)

    def at(self, temperature: ArrayLike, moisture: ArrayLike) -> Floats:
        """Coefficient at a temperature [°C] and a moisture content [fraction]. [m2/s]"""
        capped = np.minimum(np.asarray(moisture, dtype=np.float64), self.full)
        return self.dry(temperature) * np.exp(self.rise * capped)

    def exchange(self, temperature: ArrayLike) -> Floats:
        """Surface exchange at a temperature. [m/s]"""
        return self.film * self.warmth(temperature) / math.exp(-_E / (20 + _KELVIN))


RED_OAK = Diffusivity()


def theory_ratio(gravity: float, against: float = _GRAVITY) -> float:
    """Diffusion in a wood of one basic specific gravity over that in another, by theory.

    Parameters
    ----------
    gravity, against : float
        Basic specific gravity; 0.56 is northern red oak's. [-]

    Returns
    -------
    ratio : float
        At 10 % moisture, where the two published forms agree on red oak.

    References
    ----------
    J. F. Siau 1984, Transport Processes in Wood (from memory): D ~ 1 / ((1 - a2)(1 - a)) with porosity
    a2 = 1 - G (0.667 + 0.01 M), M in percent.
    """

    def open_way(g: float) -> float:
        pores = max(1 - g * (0.667 + 0.01 * 10), 1e-6)
        return 1 / ((1 - pores) * (1 - math.sqrt(pores)))

    return open_way(gravity) / open_way(against)


def film_of(gravity: float) -> float:
    """Surface exchange at 20 °C on the moisture basis of a wood of that basic specific gravity. [m/s]

    The air takes the same water from every wet face; in a light wood that is more moisture content.
    """
    return _FILM * _GRAVITY / gravity

"""How much an engine drinks: factors as printed, and what they make of power and load."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.units import INCH, POUND

__all__ = [
    "ENGINES",
    "GALLON",
    "HORSEPOWER",
    "LOADS",
    "Engine",
    "crankcase_oil",
    "gallons_per_hour",
    "litres_per_hour",
]

# Exact by definition: 231 in3 (NIST SP 811, 2008, appendix B.8); 550 ft lbf/s.
GALLON = 231 * INCH**3 * 1000  # US gallon [l]
HORSEPOWER = 0.74569987158227022  # [kW]


@dataclass(frozen=True, slots=True)
class Engine:
    """One kind of engine.

    Attributes
    ----------
    specific : float
        Fuel for one kilowatt hour at full load. [kg/kWh]
    density : float
        [kg/l]
    mark : str
    """

    specific: float
    density: float
    mark: str


_CORPS = "US Army Corps of Engineers EP 1110-1-8, 2003 (read)"
_FAO = "FAO Forestry Paper 99, 1992 (from memory)"
ENGINES = {
    "two-stroke": Engine(0.45, 0.74, "0.40 to 0.55 kg/kWh, from memory"),
    "petrol": Engine(
        0.60 * POUND / HORSEPOWER, 6 * POUND / GALLON, f"0.60 lb a bhp-h, 6 lb a gallon: {_CORPS}"
    ),
    "diesel": Engine(
        0.36 * POUND / HORSEPOWER, 7 * POUND / GALLON, f"0.36 lb a bhp-h, 7 lb a gallon: {_CORPS}"
    ),
    "petrol, FAO": Engine(0.21 / HORSEPOWER, 0.72, f"0.21 kg a hp-h: {_FAO}"),
    "diesel, FAO": Engine(0.17 / HORSEPOWER, 0.84, f"0.17 kg a hp-h: {_FAO}"),
}
"""Specific fuel use and density by kind of engine."""

LOADS = {"low": 0.38, "medium": 0.54, "high": 0.70}
"""Share of full load, FAO Forestry Paper 99, 1992 (from memory)."""


def litres_per_hour(power: float, load: float, specific: float, density: float) -> float:
    """Fuel of one productive hour.

    Parameters
    ----------
    power : float
        Rated. [kW]
    load : float
        Mean share of it. [fraction]
    specific : float
        [kg/kWh]
    density : float
        [kg/l]

    Returns
    -------
    litres : float
        [l/h]

    References
    ----------
    FAO Forestry Paper 99, *Cost control in forest harvesting and road construction*, 1992, ch. 3
    (form in hp from memory, here in kW).
    """
    return power * load * specific / density


def gallons_per_hour(horsepower: float, load: float, pounds: float, pounds_a_gallon: float) -> float:
    """The same in the units of EP 1110-1-8: bhp, lb per bhp-h, lb per US gallon. [gal/h]

    >>> round(gallons_per_hour(25, 0.6, 0.60, 6), 6)
    1.5
    """
    return horsepower * load * pounds / pounds_a_gallon


def crankcase_oil(horsepower: float, crankcase: float, change: float) -> float:
    """Oil of a four-stroke engine. [US gal/h]

    Parameters
    ----------
    horsepower : float
    crankcase : float
        [US gal]
    change : float
        Hours between changes.

    References
    ----------
    Miyata, GTR NC-55, 1980, after Peurifoy: hp x 0.6 x 0.006/7.4 + c/t (from memory).
    """
    return horsepower * 0.6 * 0.006 / 7.4 + crankcase / change

"""How long a heater needs to warm a load, losses left out."""

from __future__ import annotations

from pithline.errors import BadValue

__all__ = ["SLOW", "heat_capacity", "warm_up_hours"]

# Heaters for fast sterilising: 6.0 to 12.5 boiler horsepower per 1000 board feet (Wood Handbook, Ch. 20,
# citing Denig and Bond 2003, read); 1 boiler horsepower is 9.81 kW, 1000 bf are 2.36 m3. [W/m3]
SLOW = 6.0 * 9810 / 2.36


def heat_capacity(moisture: float, temperature: float) -> float:
    """Heat that a kilogram of dry wood with its water takes up for each degree.

    Parameters
    ----------
    moisture : float
        Dry basis. [fraction]
    temperature : float
        Mean over the warming. [°C]

    Returns
    -------
    capacity : float
        Per kilogram of oven-dry wood. [J/kg K]

    References
    ----------
    Wood Handbook, FPL-GTR-190, 2010, Ch. 4: 0.1031 + 0.003867 T kJ/kg K for dry wood, T in kelvin
    (from memory); 4.18 for water. The small heat of wetting is left out.
    """
    if not 0 <= moisture < 4:
        raise BadValue("moisture", moisture, "a fraction from 0 up (8 % is 0.08)", 'Write "8 %".')
    return 1000 * (0.1031 + 0.003867 * (temperature + 273.15)) + 4180 * moisture


def warm_up_hours(dry_wood: float, moisture: float, start: float, end: float, watts: float) -> float:
    """Hours in which a heater could warm a load: at least so long, for walls and vents lose too.

    Parameters
    ----------
    dry_wood : float
        Oven-dry mass. [kg]
    moisture : float
        [fraction]
    start, end : float
        [°C]
    watts : float
        [W]

    Returns
    -------
    hours : float
        Infinite without a heater.
    """
    if end <= start:
        return 0.0
    if not watts > 0:
        return float("inf")
    return dry_wood * heat_capacity(moisture, (start + end) / 2) * (end - start) / watts / 3600

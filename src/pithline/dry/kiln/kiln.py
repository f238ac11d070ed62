"""What a kiln can do: its heat, the water it takes out, what it holds steady, its room."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pithline.wood.estimate import Estimate

__all__ = ["Controls", "Kiln"]


class Controls(StrEnum):
    """What the kiln holds at a setting by itself."""

    WET_BULB = "wet bulb"  # temperature and wet bulb
    HUMIDITY = "humidity"  # temperature and relative humidity
    TEMPERATURE = "temperature"
    NOTHING = "nothing"  # the weather decides, as in a solar kiln


@dataclass(frozen=True, slots=True)
class Kiln:
    """One kiln, in SI.

    Attributes
    ----------
    name : str
    top : float
        Highest air temperature it can hold. [°C]
    water : Estimate
        Taken out of the air in a day of drying wet wood. [kg/day]
    heat, fans : float
        Heater, and fans that run all the time. [W]
    spray : bool
        It can make its air damper: steam, mist.
    controls : Controls
    driest : float
        Lowest relative humidity it can hold at its top temperature. [fraction]
    length, width, height : float
        Room for the stack, stickers included. [m]
    energy_wet, energy_dry : Estimate
        Bought for each kilogram of water, fans not counted, above and below 20 % moisture.
        [kWh/kg]
    """

    name: str
    top: float
    water: Estimate
    heat: float
    fans: float
    spray: bool
    controls: Controls
    driest: float
    length: float
    width: float
    height: float
    energy_wet: Estimate
    energy_dry: Estimate

    @property
    def steady(self) -> bool:
        """Whether a humidity that is asked for is also held."""
        return self.controls in (Controls.WET_BULB, Controls.HUMIDITY)

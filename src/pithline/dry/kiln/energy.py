"""What a kiln run takes from the wall: kilowatt-hours, and money at a price."""

from __future__ import annotations

from collections.abc import Sequence

from pithline.dry.kiln.kiln import Kiln
from pithline.errors import BadValue
from pithline.wood.estimate import Estimate

__all__ = ["SPLIT", "boil_off", "run_energy", "running"]

SPLIT = 0.20  # below this moisture a kilogram of water costs more. [fraction]
_EVAPORATION = 2.33e6  # about 1000 Btu/lb, out of wood (Wengert and Oliveira, read). [J/kg]


def boil_off(water: float) -> float:
    """Heat that leaves with the water, whoever pays for it. [kWh]

    Parameters
    ----------
    water : float
        [kg]
    """
    return water * _EVAPORATION / 3.6e6


def running(loads: Sequence[tuple[float, float]], days: float) -> float:
    """Energy of machines that run a share of the time.

    Parameters
    ----------
    loads : sequence of (power, share)
        [W], [fraction of the time]
    days : float

    Returns
    -------
    energy : float
        [kWh]

    Raises
    ------
    BadValue
        A share outside 0 to 1, or a negative power or time.
    """
    if days < 0:
        raise BadValue("days", days, "zero or more")
    for watts, share in loads:
        if not (watts >= 0 and 0 <= share <= 1):
            raise BadValue("running share", share, "from 0 % to 100 %, of a power of 0 W or more")
    return sum(watts * share for watts, share in loads) / 1000 * 24 * days


def run_energy(kiln: Kiln, wet: Estimate, dry: Estimate, days: Estimate) -> Estimate:
    """Energy bought for a run.

    Parameters
    ----------
    kiln : Kiln
    wet, dry : Estimate
        Water that leaves above and below `SPLIT`. [kg]
    days : Estimate

    Returns
    -------
    energy : Estimate
        [kWh]; fans all the time, and so much for each kilogram.
    """
    parts = {
        end: getattr(wet, end) * getattr(kiln.energy_wet, end)
        + getattr(dry, end) * getattr(kiln.energy_dry, end)
        + running([(kiln.fans, 1.0)], getattr(days, end))
        for end in ("low", "mid", "high")
    }
    guess = kiln.energy_wet.guess or kiln.energy_dry.guess or days.guess
    return Estimate(parts["low"], parts["mid"], parts["high"], guess, kiln.energy_wet.basis)

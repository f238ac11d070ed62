"""How long each setting of a kiln run lasts: by the wood, by the water, by what is safe."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from pithline.dry.coefficient import rate_of
from pithline.dry.kiln.steps import Setting
from pithline.dry.psychrometrics import saturation_pressure
from pithline.errors import BadValue
from pithline.units import INCH
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Species

__all__ = ["Lasting", "red_oak_constant", "red_oak_days", "run_days", "time_factor"]

# Simpson and Tschernitz 1979, red oak (coefficients read in secondary sources): days, inches, mmHg.
_A, _B, _N = 0.0575, 0.00142, 1.52
_MMHG = 133.322  # [Pa]
_FITTED = (0.9 * INCH, 2.2 * INCH)  # 4/4 to 8/4, with the allowance that they are sawn with. [m]
# Runs of small kilns took 1.1 to 1.65 times the relation (Bergman 2008, Wengert 2010; docs/kiln.md): divisor
# of the low end and factor of the high one, and wider for a wood or thickness it was not fitted on.
_SPREAD, _WIDE = (1.3, 1.7), (1.6, 2.2)
# Slope of the diffusion coefficient against gravity between 0.40 and 0.65 (Siau 1984, from memory).
_POWER, _OAK = 2.15, 0.56
# By diffusion: six told runs are off by 32 %, each told by the others alone (benchmarks/kiln_film.py):
# 1.5 times either way holds four of five.
_BY_MODEL, _THICKEST = (1.5, 1.5), 3.3 * INCH  # printed factors reach to 12/4, as sawn
_SAFE_ABOVE = 0.30  # below it practically no new damage is done (Wengert, read). [fraction]
_LONGEST = 3650.0  # nobody waits longer; stands for "never". [days]

Limit = Literal["the wood", "the water", "the safe loss"]


@dataclass(frozen=True, slots=True)
class Lasting:
    """How long a setting lasts, and what makes it so long.

    Attributes
    ----------
    setting : Setting
    days : Estimate
    limit : {"the wood", "the water", "the safe loss"}
    """

    setting: Setting
    days: Estimate
    limit: Limit


def red_oak_constant(thickness: float, temperature: float) -> float:
    """Days in which red oak loses 63 % of the moisture that it has to lose, in constant air.

    Parameters
    ----------
    thickness : float
        [m]
    temperature : float
        [°C]

    Returns
    -------
    days : float

    Raises
    ------
    BadValue
        Not a thickness.

    References
    ----------
    W. T. Simpson and J. L. Tschernitz, Importance of thickness variation in kiln drying red
    oak lumber, 1979 (coefficients read in secondary sources): L^1.52 / (0.0575 + 0.00142 p),
    L in inches, p the saturation pressure in mmHg.
    """
    if not 0 < thickness < 1:  # NaN fails here too
        raise BadValue("thickness", thickness, "more than 0 and under 1 m", 'Write "12/4" or "80 mm".')
    pressure = float(saturation_pressure(temperature)) / _MMHG
    return float((thickness / INCH) ** _N / (_A + _B * pressure))


def red_oak_days(thickness: float, temperature: float, emc: float, start: float, end: float) -> float:
    """Days of red oak in constant air from one mean moisture to another; infinite if it never comes there.

    Parameters
    ----------
    thickness : float
        [m]
    temperature : float
        [°C]
    emc, start, end : float
        Dry basis. [fraction]
    """
    if end >= start:
        return 0.0
    if emc >= end:
        return math.inf
    return red_oak_constant(thickness, temperature) * math.log((start - emc) / (end - emc))


def time_factor(species: Species) -> float:
    """How much longer than red oak a wood takes, by its density alone: a guess.

    Parameters
    ----------
    species : Species

    Returns
    -------
    factor : float
        (G / 0.56)^2.15; 1 where the gravity is not known.

    References
    ----------
    J. F. Siau, Transport Processes in Wood, 1984 (from memory): slope between 0.40 and 0.65.
    """
    gravity = species.sg_basic.value if species.sg_basic else _OAK
    return float((gravity / _OAK) ** _POWER)


def run_days(
    settings: Sequence[Setting],
    species: Species,
    thickness: float,
    dry_wood: Estimate,
    water_per_day: Estimate,
    safe: Estimate | None = None,
    by_wood: Sequence[float] | None = None,
) -> tuple[Lasting, ...]:
    """How long each setting lasts.

    Parameters
    ----------
    settings : sequence of Setting
    species : Species
        Of the slowest pieces.
    thickness : float
        Of the thickest piece. [m]
    dry_wood : Estimate
        Oven-dry mass of the whole load. [kg]
    water_per_day : Estimate
        [kg/day]
    safe : Estimate, optional
        Largest safe loss; holds above 30 %. [fraction/day]
    by_wood : sequence of float, shape (settings,), optional
        Days of each setting by the drying model (`course.through_kiln`), in place of the published
        relation for red oak and the guess for other woods. [days]

    Returns
    -------
    lasting : tuple of Lasting
        Of the three limits the one that takes longest. Ten years stand for "never".
    """
    factor, guess, spread, basis = (
        _trust(species, thickness) if by_wood is None else _model_trust(species, thickness)
    )
    made = []
    for n, each in enumerate(settings):
        asked = (thickness, each.temperature, each.emc, each.upper, each.lower)
        by_itself = by_wood[n] if by_wood is not None else factor * red_oak_days(*asked)
        lost = each.upper - each.lower
        by_water = lost * dry_wood.mid / water_per_day.mid
        wet = max(each.upper - max(each.lower, _SAFE_ABOVE), 0.0)
        by_safety = wet / safe.mid if safe else 0.0
        limits: dict[Limit, float] = {
            "the wood": by_itself,
            "the water": by_water,
            "the safe loss": by_safety,
        }
        limit = max(limits, key=limits.__getitem__)
        low = max(
            by_itself / spread[0],
            lost * dry_wood.low / water_per_day.high,
            wet / safe.high if safe else 0.0,
        )
        high = max(
            by_itself * spread[1],
            lost * dry_wood.high / water_per_day.low,
            wet / safe.low if safe else 0.0,
        )
        low, mid, high = (min(days, _LONGEST) for days in (low, limits[limit], high))
        made.append(Lasting(each, Estimate(low, mid, high, guess, tuple(basis)), limit))
    return tuple(made)


_Trust = tuple[float, bool, tuple[float, float], list[str]]


def _trust(species: Species, thickness: float) -> _Trust:
    """Of the relation: factor on its time, whether it is a guess, divisor and factor of the range, basis."""
    fitted = _FITTED[0] <= thickness <= _FITTED[1]
    own = species.genus == "Quercus"
    factor = time_factor(species)
    basis = ["the red-oak relation, Simpson and Tschernitz 1979 [read, secondary]"]
    if not own:
        basis.append(f"times {factor:.2f} for the density of {species.name}, a guess")
    if not fitted:
        basis.append("extrapolated: fitted on 4/4 to 8/4")
    guess = not (fitted and own)
    return factor, guess, _WIDE if guess else _SPREAD, basis


def _model_trust(species: Species, thickness: float) -> _Trust:
    """The same of the drying model, whose days are handed in."""
    rate = rate_of(species)
    fitted = "diffusion through the thickest slab, with a kiln's film fitted on six told runs [read]"
    basis = [fitted, *rate.basis]
    if thickness > _THICKEST:
        basis.append("extrapolated: told times reach to 12/4")
    guess = rate.guess or thickness > _THICKEST
    return 1.0, guess, _WIDE if guess else _BY_MODEL, basis

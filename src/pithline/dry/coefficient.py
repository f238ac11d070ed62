"""How fast a wood dries: calibrated on printed times where there are any, by density elsewhere."""

from __future__ import annotations

import math
from functools import cache

from pithline.dry.diffusivity import Diffusivity, film_of
from pithline.dry.printed import rows
from pithline.errors import BadValue
from pithline.units import INCH
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Species, all_species

__all__ = ["EXTRAPOLATED", "rate_of", "spread_of", "wood_of"]

# From here on nothing published on air drying was found; every such number says so. [m]
EXTRAPOLATED = 2.5 * INCH

_Z = 1.2816  # 10 and 90 % of a normal distribution
_LEAST_SPREAD = 0.20  # one standard deviation of the logarithm; pieces of one stack differ by as much
# Time grows with thickness to the power 2 by diffusion, 1.52 in the red-oak relation (Simpson and
# Tschernitz 1979), about 1.33 over whole kiln schedules. From the 1-inch stock that the rates are
# calibrated on, the model may be wrong by half the first disagreement at one standard deviation.
_EXPONENT_DOUBT = 0.24
_SOURCE = "Air Drying of Lumber, FPL-GTR-117, 1999, air-drying periods [from memory]"


def rate_of(species: Species) -> Estimate:
    """Diffusion in a wood in moving air, times northern red oak's published coefficient.

    Parameters
    ----------
    species : Species

    Returns
    -------
    rate : Estimate
        Calibrated on the printed drying times of 1-inch stock; a guess from the density for a wood
        without them. [-]

    Raises
    ------
    BadValue
        Neither a printed time nor the basic specific gravity is known.
    """
    own = [row for row in rows("drying_rates.csv") if row["wood"] == species.name]
    if own:
        mid = math.exp(sum(math.log(float(row["rate"])) for row in own) / len(own))
        # The middle stacking month stays inside the printed range between low and high: nine in ten.
        wide = max(math.log(float(row["high"]) / float(row["low"])) / (2 * 1.645) for row in own)
        sigma = min(max(wide, _LEAST_SPREAD), _law()[2])
        basis = tuple(f"calibrated on {row['printed_name']}: {_SOURCE}" for row in own)
        return _estimate(mid, sigma, False, basis)
    if species.sg_basic is None:
        raise BadValue(
            "species", species.name, "a wood whose density or drying time is known",
            'Take a like wood: pithline species --find "oak".',
        )  # fmt: skip
    at_one, power, sigma = _law()
    mid = at_one * species.sg_basic.value**power
    remark = f"no drying time of {species.name} is known: from its density, as {_count()} woods go, a guess"
    return _estimate(mid, sigma, True, (remark, species.sg_basic.cited(), _SOURCE))


def spread_of(species: Species, thickness: float) -> tuple[float, tuple[str, ...]]:
    """How far the drying rate may be off: standard deviation of its logarithm, and remarks.

    Parameters
    ----------
    species : Species
    thickness : float
        Green. [m]

    Raises
    ------
    BadValue
        As `rate_of`; no thickness.
    """
    if not thickness > 0:  # NaN fails here too
        raise BadValue("thickness", f"{thickness * 1000:g} mm", "more than 0", 'Write "12/4" or "80 mm".')
    rate = rate_of(species)
    own = math.log(rate.high / rate.low) / (2 * _Z)
    by_thickness = _EXPONENT_DOUBT * abs(math.log(thickness / INCH))
    remarks = [*rate.basis]
    if thickness >= EXTRAPOLATED:
        remarks.append(
            f"extrapolated: calibrated on 1 inch, this is {thickness / INCH:.1f}; the range is widened for it"
        )
    return math.hypot(own, by_thickness), tuple(remarks)


def wood_of(species: Species) -> Diffusivity:
    """The model's coefficients for a wood; raises as `rate_of`."""
    gravity = species.sg_basic.value if species.sg_basic else 0.5
    return Diffusivity(rate=rate_of(species).mid, film=film_of(gravity))


@cache
def _law() -> tuple[float, float, float]:
    """Rate at gravity 1, power of gravity, scatter of the logarithm, over the calibrated woods."""
    gravity = {wood.name: wood.sg_basic.value for wood in all_species() if wood.sg_basic}
    pairs = [(math.log(gravity[r["wood"]]), math.log(float(r["rate"]))) for r in rows("drying_rates.csv")]
    count = len(pairs)
    x, y = sum(a for a, _ in pairs) / count, sum(b for _, b in pairs) / count
    power = sum((a - x) * (b - y) for a, b in pairs) / sum((a - x) ** 2 for a, _ in pairs)
    scatter = sum((b - y - power * (a - x)) ** 2 for a, b in pairs) / (count - 2)
    return math.exp(y - power * x), power, math.sqrt(scatter)


def _count() -> int:
    return len(rows("drying_rates.csv"))


def _estimate(mid: float, sigma: float, guess: bool, basis: tuple[str, ...]) -> Estimate:
    return Estimate(mid * math.exp(-_Z * sigma), mid, mid * math.exp(_Z * sigma), guess, basis)

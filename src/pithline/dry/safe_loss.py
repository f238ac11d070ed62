"""How much moisture a wood may lose in a day without checking."""

from __future__ import annotations

import math

from pithline.dry.kiln.codes import CLASSES, density_class
from pithline.dry.printed import rows
from pithline.errors import BadValue
from pithline.units import INCH
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Species, all_species

__all__ = ["safe_loss"]

_SOURCE = "largest safe daily loss, Drying Hardwood Lumber, FPL-GTR-118, 2000 [from memory]"
_ANCHORS = (INCH, 2 * INCH)  # thicknesses printed. [m]


def safe_loss(species: Species, thickness: float) -> Estimate:
    """Largest safe loss of moisture in a day while the wood is wet.

    Parameters
    ----------
    species : Species
    thickness : float
        [m]

    Returns
    -------
    loss : Estimate
        [fraction/day]; keep below `low`. Of a wood that is not printed: the least of its
        density class, a guess.

    Raises
    ------
    BadValue
        Not a thickness.

    Notes
    -----
    A power of the thickness through the printed 4/4 and 8/4, at about minus 1.3; beyond 8/4
    and below 4/4 that is extrapolated, and the range widens. What is lost below 30 % moisture
    does practically no new damage (E. M. Wengert, answers on 8/4 walnut, read).
    """
    if not 0 < thickness < 1:  # NaN fails here too
        raise BadValue("thickness", thickness, "more than 0 and under 1 m", 'Write "12/4" or "80 mm".')
    table = rows("safe_losses.csv")
    own = [row for row in table if species.scientific in row["scientific"].split(";")]
    remarks = [_SOURCE]
    if own:
        mid = min(_at(row, thickness) for row in own)
    else:
        kind = density_class(species)
        mid = min(_at(row, thickness) for row in table if _class(row) == kind) if kind != "light" else 0.0
        # No light wood is printed: the least of the middling ones is on the safe side of it.
        mid = mid or min(_at(row, thickness) for row in table if _class(row) == "middling")
        remarks.append(f"no figure of {species.name} is known: the least of {kind} woods is taken, a guess")
    spread = 0.2
    if not _ANCHORS[0] * 0.9 <= thickness <= _ANCHORS[1] * 1.1:
        spread = 0.4
        remarks.append("extrapolated: printed are 4/4 and 8/4")
    return Estimate(mid * (1 - spread), mid, mid * (1 + spread), not own or spread > 0.3, tuple(remarks))


def _at(row: dict[str, str], thickness: float) -> float:
    thin = float(row["at_4_4_percent_per_day"]) / 100
    thick = float(row["at_8_4_percent_per_day"]) / 100
    power = math.log(thick / thin) / math.log(2)
    return thin * math.exp(power * math.log(thickness / _ANCHORS[0]))


def _class(row: dict[str, str]) -> str:
    known = [
        wood.sg_basic.value
        for wood in all_species()
        if wood.scientific in row["scientific"].split(";") and wood.sg_basic
    ]
    return [name for name, least in CLASSES if sum(known) / len(known) >= least][-1]

"""The water in a load: what must come out, and what a day may take."""

from __future__ import annotations

import math

from pithline.errors import BadValue
from pithline.wood.density import WATER
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Species

__all__ = ["dry_wood", "water_out"]

# Scatter of single pieces about a species' mean gravity (Wood Handbook, Table 5-6, from memory).
_SCATTER = 0.10


def dry_wood(species: Species, volume: float) -> Estimate:
    """Oven-dry mass of a slab.

    Parameters
    ----------
    species : Species
    volume : float
        As sawn, green. [m3]

    Returns
    -------
    mass : Estimate
        [kg]

    Raises
    ------
    BadValue
        Not a volume, or a wood whose basic specific gravity is not known.
    """
    if not 0 < volume < 1000:  # NaN fails here too
        raise BadValue("volume", volume, "more than 0 m3", 'Write "0.12 m3" or "50 bf".')
    if species.sg_basic is None:
        raise BadValue("species", species.name, "a wood whose basic specific gravity is known")
    mid = WATER * species.sg_basic.value * volume
    return Estimate(mid * (1 - _SCATTER), mid, mid * (1 + _SCATTER), False, (species.sg_basic.cited(),))


def water_out(species: Species, volume: float, start: float, end: float) -> Estimate:
    """Water that leaves a slab between two moistures.

    Parameters
    ----------
    species : Species
    volume : float
        As sawn, green. [m3]
    start, end : float
        Dry basis. [fraction]

    Returns
    -------
    water : Estimate
        [kg]

    Raises
    ------
    BadValue
        As `dry_wood`, or an end above the start.
    """
    if not (0 <= end <= start < 4 and math.isfinite(start)):
        raise BadValue("moisture", f"{start * 100:g} %", f"from {end * 100:g} % up", "Is it dry already?")
    return dry_wood(species, volume).times(start - end)

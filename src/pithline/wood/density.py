"""What a cubic metre of a wood weighs: green from the saw, and at any moisture after."""

from __future__ import annotations

from functools import cache
from statistics import fmean, median

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.errors import BadValue
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Fact, Species, all_species
from pithline.wood.shrinkage import fibre_saturation, shrinkage_to, totals

__all__ = ["WATER", "density_at", "dry_density", "green_density", "green_moisture", "max_moisture"]

Floats = NDArray[np.float64]

WATER = 1000.0  # density as the handbook's formulas take it. [kg/m3]
CELL_WALL = 1.54  # specific gravity of the wood substance itself (Wood Handbook, Ch. 4, from memory)

# Specific gravity of single pieces scatters about the species' mean with a coefficient of
# variation of 10 % (Wood Handbook FPL-GTR-190, 2010, Table 5-6, from memory). A log is less
# extreme than a small clear piece, so one such step is used for the range, not 1.28.
_SCATTER = 0.10


def max_moisture(basic: ArrayLike) -> Floats:
    """Moisture content of wood with every pore full of water.

    Parameters
    ----------
    basic : array_like
        Basic specific gravity. [-]

    Returns
    -------
    moisture : ndarray
        Dry basis; no green log can hold more. [fraction]

    References
    ----------
    Wood Handbook, FPL-GTR-190, 2010, Eq. 4-3 (from memory):
    MC_max = 100 (1.54 - G_b) / (1.54 G_b).
    """
    g = np.asarray(basic, dtype=np.float64)
    return np.asarray((CELL_WALL - g) / (CELL_WALL * g))


def density_at(basic: ArrayLike, moisture: ArrayLike, volumetric: ArrayLike, fsp: float = 0.30) -> Floats:
    """Density of wood at a moisture content, wood and water together.

    Parameters
    ----------
    basic : array_like
        Basic specific gravity: oven-dry mass over green volume and water's density. [-]
    moisture : array_like
        Dry basis. [fraction]
    volumetric : array_like
        Volumetric shrinkage green to oven-dry. [fraction]
    fsp : float
        Fibre saturation point; the volume is the green one above it. [fraction]

    Returns
    -------
    density : ndarray
        [kg/m3]

    Notes
    -----
    rho = 1000 G_x (1 + x) with G_x = G_b / (1 - S_x).

    References
    ----------
    Wood Handbook, FPL-GTR-190, 2010, Ch. 4, p. 4-10 to 4-12 and Tables 4-5, 4-6.
    """
    x = np.asarray(moisture, dtype=np.float64)
    g = np.asarray(basic, dtype=np.float64) / (1 - shrinkage_to(volumetric, x, fsp))
    return np.asarray(WATER * g * (1 + x))


def green_moisture(species: Species) -> Estimate:
    """Moisture content of the living tree.

    Parameters
    ----------
    species : Species

    Returns
    -------
    moisture : Estimate
        Dry basis: lowest, median and highest of the heartwood, sapwood and whole-wood
        figures. [fraction]

    Raises
    ------
    BadValue
        Neither moisture nor basic specific gravity is known.

    Notes
    -----
    Without a figure of the species the share of the largest possible moisture
    (`max_moisture`) is taken that its genus fills on average, else its group
    (hardwood, softwood), with the 10 and 90 % points of the group as the range:
    our own stand-in, marked as a guess. Nothing exceeds `max_moisture`.
    """
    top = float(max_moisture(species.sg_basic.value)) if species.sg_basic else float("inf")
    facts = [fact for fact in (species.mc_heartwood, species.mc_sapwood, species.mc_whole) if fact]
    if facts:
        values = [min(fact.value, top) for fact in facts]
        cited = tuple(dict.fromkeys(fact.cited() for fact in facts))
        return Estimate(min(values), median(values), max(values), False, cited)
    if species.sg_basic is None:
        raise _unknown(species)
    group = np.array([fill for _, fill in _fills(species.group)])
    kin = [fill for genus, fill in _fills(species.group) if genus == species.genus]
    mid = fmean(kin) if kin else float(np.median(group))
    whose = f"{len(kin)} other woods of genus {species.genus}" if kin else f"{len(group)} {species.group}s"
    low, high = (min(mid, float(np.quantile(group, 0.1))), max(mid, float(np.quantile(group, 0.9))))
    remark = f"no green moisture known; its pores taken as full as those of {whose}"
    return Estimate(low * top, mid * top, high * top, True, (remark, species.sg_basic.cited()))


def green_density(species: Species) -> Estimate:
    """Density of freshly felled wood without bark.

    Parameters
    ----------
    species : Species

    Returns
    -------
    density : Estimate
        [kg/m3]

    Raises
    ------
    BadValue
        Nothing is known to reckon from.

    Notes
    -----
    mid: basic specific gravity times the middle green moisture; a published green weight
    class where there is no moisture. low, high: over every pair of specific gravity and
    moisture figures known, and never closer than 10 % to the middle, the scatter between
    trees. high stops at wood full of water. A log that lay for months is lighter.
    For lifting and loads take `high`: a log may be heavier than any estimate; weigh it, and
    keep to the gear's rated load and local rules.

    References
    ----------
    Wood Handbook, FPL-GTR-190, 2010, Ch. 4: rho = 1000 G_b (1 + MC).
    """
    # Where the moisture was derived from the weight class it says the same thing; use the class.
    if species.green_density and not (species.mc_heartwood or species.mc_sapwood):
        weight = species.green_density
        spread = 1 - _SCATTER, 1 + _SCATTER
        return Estimate(
            weight.value * spread[0], weight.value, weight.value * spread[1], False, (weight.cited(),)
        )
    if species.sg_basic is None:
        raise _unknown(species)
    moisture = green_moisture(species)
    gravities = _gravities(species)
    mid = WATER * species.sg_basic.value * (1 + moisture.mid)
    low = min(WATER * min(gravities) * (1 + moisture.low), mid * (1 - _SCATTER))
    high = max(WATER * max(gravities) * (1 + moisture.high), mid * (1 + _SCATTER))
    full = WATER * (1 + max(gravities) * (1 - 1 / CELL_WALL))
    basis = tuple(dict.fromkeys((species.sg_basic.cited(), *moisture.basis)))
    return Estimate(low, mid, max(mid, min(high, full)), moisture.guess, basis)


def dry_density(species: Species, moisture: float) -> Estimate:
    """Density of a wood at a moisture content.

    Parameters
    ----------
    species : Species
    moisture : float
        Dry basis. [fraction]

    Returns
    -------
    density : Estimate
        [kg/m3]

    Raises
    ------
    BadValue
        Basic specific gravity unknown, or more water than the wood can hold.

    Notes
    -----
    `density_at` with the wood's volumetric shrinkage, or its stand-in of 26.5 times
    basic specific gravity (then a guess); low and high over the specific gravities
    known and at least 10 % about the middle.
    """
    if species.sg_basic is None:
        raise _unknown(species)
    top = float(max_moisture(species.sg_basic.value))
    if not 0 <= moisture <= top:
        rule = f"from 0 % to {top * 100:.0f} %, all that {species.name} can hold"
        raise BadValue("moisture", f"{moisture * 100:.0f} %", rule, 'Write "8 %".')
    shrinkage, fsp = totals(species).volumetric, fibre_saturation(species)
    factor = float(density_at(1.0, moisture, shrinkage.mid, fsp))
    mid = species.sg_basic.value * factor
    low = min(min(_gravities(species)) * factor, mid * (1 - _SCATTER))
    high = max(max(_gravities(species)) * factor, mid * (1 + _SCATTER))
    guess = shrinkage.guess and moisture < fsp
    return Estimate(low, mid, high, guess, tuple(dict.fromkeys((species.sg_basic.cited(), *shrinkage.basis))))


def _gravities(species: Species) -> list[float]:
    known = (species.sg_basic, species.sg_basic_alt, species.sg_basic_low, species.sg_basic_high)
    return [fact.value for fact in known if isinstance(fact, Fact)]


@cache
def _fills(group: str) -> tuple[tuple[str, float], ...]:
    """Genus, and whole-wood green moisture as a share of the largest possible, of every wood of a group."""
    return tuple(
        (wood.genus, wood.mc_whole.value / float(max_moisture(wood.sg_basic.value)))
        for wood in all_species()
        if wood.group == group and wood.mc_whole and wood.sg_basic
    )


def _unknown(species: Species) -> BadValue:
    return BadValue(
        "species", species.name, "a wood whose basic specific gravity is known",
        "Take a related wood that is in the table, or weigh a piece and give its density.",
    )  # fmt: skip

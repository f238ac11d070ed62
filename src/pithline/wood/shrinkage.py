"""How much a wood shrinks, and what size a piece has at another moisture."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import fmean

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.errors import BadValue
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Fact, Species, all_species

__all__ = ["FSP", "Totals", "fibre_saturation", "in_direction", "resize", "resize_by_coefficient",
           "shrinkage_to", "totals"]  # fmt: skip

Floats = NDArray[np.float64]

FSP = 0.30  # fibre saturation point unless known. Wood Handbook FPL-GTR-190 (2010), Ch. 4. [fraction]

# Within a species the shrinkage of single pieces scatters with a coefficient of variation of
# about 15 % (Wood Handbook, Ch. 4, from memory); 1.28 of it reaches from the middle to one in ten.
_SCATTER = 1.28 * 0.15

# The woods of one group lie between 0.7 and 1.35 of their mean (10 and 90 % points of the table).
_STAND_IN = 0.35


@dataclass(frozen=True, slots=True)
class Totals:
    """Shrinkage green to oven-dry. [fraction of the green size]"""

    radial: Estimate
    tangential: Estimate
    volumetric: Estimate

    @property
    def guess(self) -> bool:
        """Whether the radial or the tangential figure is not of the species itself."""
        return self.radial.guess or self.tangential.guess


def fibre_saturation(species: Species) -> float:
    """Moisture content below which this wood shrinks. [fraction].

    0.30 unless the table has a lower one: redwood, teak, some cedars 22 to 24 %
    (Wood Handbook FPL-GTR-190, 2010, Ch. 4, from memory).
    """
    return species.fsp.value if species.fsp else FSP


def totals(species: Species) -> Totals:
    """Total shrinkage of a wood, or the best honest stand-in.

    Parameters
    ----------
    species : Species

    Returns
    -------
    totals : Totals
        Each with a range; `guess` is true for stand-ins.

    Raises
    ------
    BadValue
        Nothing is known to estimate from.

    Notes
    -----
    Radial and tangential: the species' own figure; else the mean of its genus (at least
    one other wood); else volumetric shrinkage split as the mean of its group splits it.
    Volumetric: the species' own figure; else radial plus tangential (their sum runs 0.3
    percent points below the printed volumetric on average); else 26.5 times basic
    specific gravity, in percent [1]_. Stand-ins are given a range of +/- 35 %.

    References
    ----------
    .. [1] Wood Handbook, FPL-GTR-190, 2010, Ch. 4 (from memory).
    """
    radial = _own(species.shrink_radial) or _of_genus(species, "shrink_radial")
    tangential = _own(species.shrink_tangential) or _of_genus(species, "shrink_tangential")
    volumetric = _own(species.shrink_volumetric)
    if volumetric is None and species.shrink_radial and species.shrink_tangential:
        added = species.shrink_radial.value + species.shrink_tangential.value
        volumetric = _ranged(added, _SCATTER, False, "radial plus tangential shrinkage")
    if volumetric is None:
        volumetric = _by_density(species)
    share = _radial_share(species.group)
    remark = f"volumetric shrinkage split as {species.group}s do on average"
    if radial is None:
        radial = _ranged(volumetric.mid * share, _STAND_IN, True, *volumetric.basis, remark)
    if tangential is None:
        tangential = _ranged(volumetric.mid * (1 - share), _STAND_IN, True, *volumetric.basis, remark)
    return Totals(radial, tangential, volumetric)


def shrinkage_to(total: ArrayLike, moisture: ArrayLike, fsp: float = FSP) -> Floats:
    """Shrinkage from green to a moisture content.

    Parameters
    ----------
    total : array_like
        Green to oven-dry shrinkage. [fraction]
    moisture : array_like, broadcastable with `total`
        Dry basis. [fraction]
    fsp : float
        Fibre saturation point. [fraction]

    Returns
    -------
    shrinkage : ndarray
        Of the green size; 0 above `fsp`. [fraction]

    Notes
    -----
    Linear between `fsp` and oven-dry, for clear wood that is free to move.

    References
    ----------
    Wood Handbook, FPL-GTR-190, 2010, Ch. 4: S_x = S_0 (MC_fs - x) / MC_fs.
    """
    wetness = np.clip((fsp - np.asarray(moisture, dtype=np.float64)) / fsp, 0, 1)
    return np.asarray(np.asarray(total, dtype=np.float64) * wetness)


def in_direction(radial: ArrayLike, tangential: ArrayLike, ring_angle: ArrayLike) -> tuple[Floats, Floats]:
    """Shrinkage across the width and through the thickness of a piece.

    Parameters
    ----------
    radial, tangential : array_like
        Shrinkage in those directions, to whatever moisture. [fraction]
    ring_angle : array_like
        Between the growth rings and the wide face: 0 flat-sawn, pi/2 quarter-sawn. [rad]

    Returns
    -------
    width, thickness : ndarray
        [fraction]

    Notes
    -----
    Small strains turn as a tensor does: cos² of one, sin² of the other. The shear that
    comes with it (cup, diamond) is another matter. The trade's words flat-sawn and
    quarter-sawn for 0 and 90 degrees as in the Wood Handbook, FPL-GTR-190, 2010, Ch. 13.
    """
    quarter = np.sin(np.asarray(ring_angle, dtype=np.float64)) ** 2
    r, t = np.asarray(radial, dtype=np.float64), np.asarray(tangential, dtype=np.float64)
    return np.asarray(t + (r - t) * quarter), np.asarray(r + (t - r) * quarter)


def resize(size: ArrayLike, total: ArrayLike, start: float, end: float, fsp: float = FSP) -> Floats:
    """Size of a piece after its moisture went from one value to another.

    Parameters
    ----------
    size : array_like
        At moisture `start`. [any length]
    total : array_like
        Green to oven-dry shrinkage in this direction. [fraction]
    start, end : float
        Moisture contents, dry basis; above `fsp` nothing moves. [fraction]
    fsp : float
        Fibre saturation point. [fraction]

    Returns
    -------
    size : ndarray
        At moisture `end`, in the unit given.

    Raises
    ------
    BadValue
        A moisture below 0 or NaN.

    Notes
    -----
    Going there and back gives the size one began with.

    References
    ----------
    Wood Handbook, FPL-GTR-190, 2010, Eq. 13-3 (text of the equation partly from memory):
    DD = DI (MF - MI) / (30 (100) / S - 30 + MI), here with `fsp` in place of 30 percent.
    """
    _check_moisture(start, end)
    before, after = (1 - shrinkage_to(total, moisture, fsp) for moisture in (start, end))
    return np.asarray(np.asarray(size, dtype=np.float64) * after / before)


def resize_by_coefficient(size: ArrayLike, coefficient: ArrayLike, start: float, end: float) -> Floats:
    """Size after a small change of moisture between about 6 and 14 percent.

    Parameters
    ----------
    size : array_like
        At moisture `start`. [any length]
    coefficient : array_like
        CR or CT as printed: change per size and percent of moisture.
    start, end : float
        Moisture contents, dry basis. [fraction]

    Returns
    -------
    size : ndarray
        At moisture `end`, in the unit given.

    References
    ----------
    Wood Handbook, FPL-GTR-190, 2010, Eq. 13-2: DD = DI (C (MF - MI)).
    """
    _check_moisture(start, end)
    factor = 1 + np.asarray(coefficient, dtype=np.float64) * (end - start) * 100
    return np.asarray(np.asarray(size, dtype=np.float64) * factor)


def _check_moisture(*moistures: float) -> None:
    for moisture in moistures:
        if not 0 <= moisture < 4:
            raise BadValue("moisture", moisture, "a fraction from 0 up (8 % is 0.08)", 'Write "8 %".')


def _own(fact: Fact | None) -> Estimate | None:
    return _ranged(fact.value, _SCATTER, False, fact.cited()) if fact else None


def _of_genus(species: Species, field: str) -> Estimate | None:
    values = list(_values((wood for wood in all_species() if wood.genus == species.genus), field))
    if not values:
        return None
    return _ranged(
        fmean(values), _STAND_IN, True, f"mean of {len(values)} other woods of genus {species.genus}"
    )


def _by_density(species: Species) -> Estimate:
    if species.sg_basic is None:
        raise BadValue(
            "species", species.name, "a wood whose shrinkage or specific gravity is known",
            "Take a related wood that is in the table.",
        )  # fmt: skip
    remark = "26.5 times basic specific gravity (Wood Handbook FPL-GTR-190, 2010, Ch. 4) [from memory]"
    return _ranged(0.265 * species.sg_basic.value, _STAND_IN, True, remark, species.sg_basic.cited())


def _radial_share(group: str) -> float:
    """Radial part of radial plus tangential, mean of a group."""
    shares = [
        wood.shrink_radial.value / (wood.shrink_radial.value + wood.shrink_tangential.value)
        for wood in all_species()
        if wood.group == group and wood.shrink_radial and wood.shrink_tangential
    ]
    return fmean(shares)


def _values(woods: Iterable[Species], field: str) -> Iterable[float]:
    return (fact.value for wood in woods if isinstance(fact := getattr(wood, field), Fact))


def _ranged(mid: float, spread: float, guess: bool, *basis: str) -> Estimate:
    return Estimate(mid * (1 - spread), mid, mid * (1 + spread), guess, tuple(basis))

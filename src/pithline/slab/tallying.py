"""Count a slab: face areas by the trapezium, and the trade's ways to turn them into a figure."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.errors import BadValue
from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyRule, TallyUnit
from pithline.units import BOARD_FOOT, FOOT, INCH

__all__ = [
    "NOMINAL_QUARTERS",
    "board_feet",
    "face_area",
    "nominal_board_feet",
    "rule_text",
    "surface_measure",
    "tallied_inches",
    "tally",
    "tally_area",
    "tally_volume",
    "tally_width",
    "volume_unit",
]

Floats = NDArray[np.float64]

# The list of rough nominal thicknesses, in quarters of an inch; from memory.
NOMINAL_QUARTERS = (2, 3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 22, 24)
# Binary dust: 2.4384 m is 8 ft, whichever way the division falls.
_HAIR = 1e-9


def face_area(z: Floats, width: Floats, start: float, end: float) -> float:
    """Area of a face over a run, by the trapezium between stations.

    Parameters
    ----------
    z, width : ndarray, shape (stations,)
        Stations, strictly rising, and the width there. [m]
    start, end : float
        The run; within the stations. [m]

    Returns
    -------
    area : float
        [m2]; 0 for an empty run.

    Raises
    ------
    BadValue
        Where the run leaves the stations.
    """
    if not z[0] - _HAIR <= start <= end <= z[-1] + _HAIR:
        raise BadValue("run of a slab", f"{start:.3f} to {end:.3f} m", f"within {z[0]:.3f} to {z[-1]:.3f} m")
    inside = z[(z > start) & (z < end)]
    at = np.concatenate([[start], inside, [end]])
    return float(np.trapezoid(np.interp(at, z, width), at))


def tally_width(outline: SlabOutline, rule: TallyRule) -> Floats:
    """Width that counts at each station, shape (stations,) [m].

    Raises
    ------
    BadValue
        For the true volume, which has no width.
    """
    if rule is TallyRule.NARROW:
        return outline.narrow_width
    if rule is TallyRule.WIDE:
        return outline.wide_width
    if rule is TallyRule.MEAN:
        return 0.5 * (outline.upper_width + outline.lower_width)
    raise BadValue(
        "tally rule", str(rule), "one with a width", "Choose narrow face, mean of faces or wide face."
    )


def tally_area(outline: SlabOutline, rule: TallyRule, start: float, end: float) -> float:
    """Area that counts [m2] over the usable run, by the trapezium between stations."""
    return face_area(outline.z, tally_width(outline, rule), start, end)


def tally_volume(
    outline: SlabOutline, rule: TallyRule, start: float, end: float, section: Floats | None = None
) -> float:
    """Volume that counts over the usable run, at green thickness.

    Parameters
    ----------
    outline : SlabOutline
    rule : TallyRule
    start, end : float
        [m]
    section : ndarray, shape (stations,), optional
        Wood between the two planes at each station [m2]; only the true volume needs
        it, because two faces do not tell how the edge bulges between them.

    Returns
    -------
    volume : float
        [m3]

    Raises
    ------
    BadValue
        True volume without `section`.
    """
    if rule is not TallyRule.SOLID:
        return outline.thickness * tally_area(outline, rule, start, end)
    if section is None:
        raise BadValue("tally rule", str(rule), "given the slab's section areas as well")
    return face_area(outline.z, section, start, end)


def board_feet(volume: ArrayLike) -> Floats:
    """Board feet in a volume: one is 144 cubic inches.

    Parameters
    ----------
    volume : array_like
        [m3]

    Returns
    -------
    board_feet : ndarray
    """
    return np.asarray(volume, dtype=np.float64) / BOARD_FOOT


def tallied_inches(width: ArrayLike, half_up: bool = True) -> Floats:
    """Width as it is tallied: to the nearest inch.

    Parameters
    ----------
    width : array_like
        [m]
    half_up : bool
        Where an exact half goes. The trade counts halves up and down in turn, so
        whoever tallies a pile hands the turn on; no order is assumed here.

    Returns
    -------
    inches : ndarray
        Whole inches.

    References
    ----------
    .. [1] American Hardwood Export Council, *Measurement* (page on NHLA tally).
    """
    return _nearest(np.asarray(width, dtype=np.float64) / INCH, half_up)


def surface_measure(width: ArrayLike, length: ArrayLike, half_up: bool = True) -> Floats:
    """Surface measure of one board: width with its fraction times whole feet, over 12.

    Parameters
    ----------
    width, length : array_like
        [m]
    half_up : bool
        Where an exact half square foot goes (in turn, from memory).

    Returns
    -------
    surface : ndarray
        Whole square feet.

    References
    ----------
    .. [1] American Hardwood Export Council, *Measurement* (page on NHLA tally).
    """
    feet = np.floor(np.asarray(length, dtype=np.float64) / FOOT + _HAIR)
    return _nearest(np.asarray(width, dtype=np.float64) / INCH * feet / 12, half_up)


def nominal_board_feet(
    width: ArrayLike,
    length: ArrayLike,
    quarters: ArrayLike,
    half_up: bool = True,
    whole_inches: bool = False,
) -> Floats:
    """Board feet by surface measure and nominal thickness.

    Length down to the whole foot, surface measure to the nearest whole square foot,
    times the nominal thickness; less than 4/4 counts as 4/4.

    Parameters
    ----------
    width, length : array_like
        Mean tally width and usable length. [m]
    quarters : array_like
        Nominal thickness in quarters of an inch: 12 for 12/4.
    half_up : bool
        Where exact halves go; see `tallied_inches`.
    whole_inches : bool
        Take the width to the nearest inch first, as in the tally of a pile; by
        default it keeps its fraction, as for a piece measured by itself.

    Returns
    -------
    board_feet : ndarray

    References
    ----------
    .. [1] American Hardwood Export Council, *Measurement* (length, width, surface measure).
    .. [2] E. M. Wengert, glossary at goodwoodcorp.com (below 1 inch counts as 1).
    """
    if whole_inches:
        width = tallied_inches(width, half_up) * INCH
    thick = np.maximum(np.asarray(quarters, dtype=np.float64), 4) / 4
    return surface_measure(width, length, half_up) * thick


def tally(
    outline: SlabOutline,
    rule: TallyRule,
    unit: TallyUnit,
    start: float,
    end: float,
    *,
    quarters: int | None = None,
    section: Floats | None = None,
    half_up: bool = True,
) -> float:
    """Count one slab over its usable run, in the unit asked for.

    Parameters
    ----------
    outline : SlabOutline
    rule, unit : TallyRule, TallyUnit
    start, end : float
        [m]
    quarters : int, optional
        Nominal thickness; only the nominal tally needs it.
    section : ndarray, shape (stations,), optional
        See `tally_volume`. [m2]
    half_up : bool
        See `tallied_inches`.

    Returns
    -------
    count : float
        Board feet or m3.

    Raises
    ------
    BadValue
        A nominal tally without a nominal thickness, or of the true volume.
    """
    if unit is TallyUnit.BF_NOMINAL:
        if quarters is None:
            raise BadValue(
                "tally unit", str(unit), "counted at a nominal thickness", "Give one such as 12/4."
            )
        area = tally_area(outline, rule, start, end)
        if end <= start:
            return 0.0
        return float(nominal_board_feet(area / (end - start), end - start, quarters, half_up))
    volume = tally_volume(outline, rule, start, end, section)
    return volume / BOARD_FOOT if unit is TallyUnit.BF_SAWN else volume


def volume_unit(unit: TallyUnit) -> float:
    """Volume [m3] of one unit of the tally."""
    return 1.0 if unit is TallyUnit.M3 else BOARD_FOOT


def rule_text(rule: TallyRule, unit: TallyUnit) -> str:
    """Say the rule in one sentence, for every page that shows a tally."""
    if unit is TallyUnit.BF_NOMINAL:
        return (
            f"Board feet at nominal thickness: {_WIDTHS[rule]}, averaged over the usable run, times length "
            "down to the whole foot, to the nearest square foot of surface measure, times the nominal "
            "thickness (less than 4/4 counts as 4/4)."
        )
    name = "Board feet as sawn" if unit is TallyUnit.BF_SAWN else "Cubic metres as sawn"
    if rule is TallyRule.SOLID:
        return f"{name}: all wood between the two faces over the usable run, rounded edges with it, green."
    return f"{name}: {_WIDTHS[rule]}, by the trapezium over the usable run, times green thickness."


_WIDTHS = {
    TallyRule.NARROW: "width of the narrow face inside bark",
    TallyRule.MEAN: "mean width of both faces inside bark",
    TallyRule.WIDE: "width of the wide face inside bark",
    TallyRule.SOLID: "true volume",
}


def _nearest(x: Floats, half_up: bool) -> Floats:
    """Nearest whole number; an exact half, within a hair, as told."""
    nudge = _HAIR if half_up else -_HAIR
    return np.floor(x + 0.5 + nudge)

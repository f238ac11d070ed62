"""Timbers below a stack: one under every row of sticks, and how stout by what lies on it."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.dry.laying.floor_load import GRAVITY
from pithline.errors import BadValue

__all__ = ["BENDING", "SHEAR", "SIDES", "Bolsters", "bolster_side", "bolsters", "stresses"]

BENDING = 3.5e6
SHEAR = 0.9e6
"""Allowed in a bolster for good. [Pa]

Softwood posts and timbers of the second grade, 575 and 140 psi, times 0.9 for a load that stays (National
Design Specification for wood, hem-fir, from memory), rounded down.
"""

SIDES = (0.09, 0.10, 0.12, 0.14, 0.16, 0.20, 0.25)  # of square timbers, usual ones. [m]
_BLOCK_SHARE = {2: 0.5, 3: 0.625}  # of one bolster on its most loaded block, equal spans


@dataclass(frozen=True, slots=True)
class Bolsters:
    """The timbers of one stack.

    Attributes
    ----------
    count : int
    length : float
        Of one. [m]
    side : float or None
        Of a square timber that bears it; None where none of the usual does. [m]
    load, block_load : float
        On the most loaded timber, and on the block under it that carries most. [kg]
    blocks : int
        Under each timber; 0 where it lies on the ground all along.
    span : float
        From block to block. [m]
    """

    count: int
    length: float
    side: float | None
    load: float
    block_load: float
    blocks: int
    span: float


def stresses(load: float, span: float, side: float) -> tuple[float, float]:
    """Greatest bending and shear stress of a square timber under an even load.

    Parameters
    ----------
    load : float
        On one span. [kg]
    span : float
        [m]
    side : float
        [m]

    Returns
    -------
    bending, shear : float
        [Pa]

    Notes
    -----
    Moment W L / 8 of a beam on two supports over the section modulus s^3 / 6; shear 3/2 of the
    reaction over the section, the reaction that beside an inner support of two spans, 5/8 of W
    (textbook statics). Both are at least what any number of equal spans gives.
    """
    if not (0 <= load < 1e6 and 0 < span < 30 and 0 < side < 2):  # NaN fails here too
        raise BadValue("bolster", (load, span, side), "a load, a span and a side")
    weight = load * GRAVITY
    return weight * span / 8 / (side**3 / 6), 1.5 * 0.625 * weight / side**2


def bolster_side(load: float, length: float, blocks: int) -> float | None:
    """Side of the least usual square timber that bears a load spread along it.

    Parameters
    ----------
    load : float
        [kg]
    length : float
        From its first to its last block. [m]
    blocks : int
        Evenly under it, 2 or more; 0 where it lies on the ground all along.

    Returns
    -------
    side : float or None
        [m]; None where none of `SIDES` does: more blocks are needed.
    """
    if blocks == 0:
        return SIDES[0]
    if blocks < 2:
        raise BadValue("blocks", blocks, "0 (on the ground all along), or 2 and more")
    span = length / (blocks - 1)
    for side in SIDES:
        bending, shear = stresses(load / (blocks - 1), span, side)
        if bending <= BENDING and shear <= SHEAR:
            return side
    return None


def bolsters(loads: tuple[float, ...], length: float, blocks: int) -> Bolsters:
    """One bolster under each row of sticks, all as stout as the most loaded asks.

    Parameters
    ----------
    loads : tuple of float
        On each row. [kg]
    length : float
        Of a bolster. [m]
    blocks : int
        Under each; see `bolster_side`.

    Notes
    -----
    Every row of sticks over a bolster: AH-188 ch. 5 (from memory). Of one timber's load the most
    loaded block carries half (two blocks), 5/8 (three), and of four or more 1.143 spans' worth
    (textbook, four equal spans: the largest of any number).
    """
    load = max(loads)
    side = bolster_side(load, length, blocks)
    share = _BLOCK_SHARE.get(blocks, 1.143 / max(blocks - 1, 1)) if blocks else 0.0
    span = length / (blocks - 1) if blocks else 0.0
    return Bolsters(len(loads), length, side, load, load * share, blocks, span)

"""Heart pieces: beams that hold the pith, as one more thing a slab may be ripped into.

A heart piece of b by h is a strip b wide, about the pith, of a slab h thick. So it takes part in the
plan like any slab: what lies above and below it is sawn as before, and what lies beside it is
ripped into boards.
"""

from __future__ import annotations

import math
from dataclasses import replace

from pithline.errors import BadValue
from pithline.saw.aims import Aims
from pithline.saw.rates import Rates
from pithline.saw.rip.boards import Boards
from pithline.saw.thickness import same_aim

__all__ = ["largest_square", "strongest_beam", "with_cants"]


def with_cants(aims: Aims, rates: Rates, boards: Boards) -> tuple[Aims, Rates, Boards]:
    """Aims, rates and boards in which the heart pieces' depths are on the thickness menu.

    A depth that was not on it brings nothing as a slab, and as a board only where it has a rate.
    """
    menu, unpaid, priced = list(aims.thicknesses), [], dict(boards.by_thickness)
    cants = []
    for cant in boards.cants:
        same = next((a for a in menu if same_aim(a, cant.thickness)), None)
        if same is None:
            menu.append(cant.thickness)
            unpaid.append((cant.thickness.label, 0.0))
        cants.append(replace(cant, thickness=same or cant.thickness))
    if not unpaid:
        return aims, rates, replace(boards, cants=tuple(cants))
    return (
        replace(aims, thicknesses=tuple(menu)),
        replace(rates, by_thickness=(*rates.by_thickness, *unpaid)),
        replace(
            boards,
            cants=tuple(cants),
            by_thickness=(*boards.by_thickness, *(u for u in unpaid if u[0] not in priced)),
        ),
    )


def largest_square(diameter: float) -> float:
    """Side of the largest square beam in a round log: diameter over root 2. [m]

    Raises
    ------
    BadValue
        A diameter of 0 or less.
    """
    if not 0 < diameter < math.inf:
        raise BadValue("diameter", diameter, "more than 0 m")
    return diameter / math.sqrt(2)


def strongest_beam(diameter: float) -> tuple[float, float]:
    """Width and depth of the beam with the greatest section modulus in a round log. [m]

    Parameters
    ----------
    diameter : float
        Under bark at the small end. [m]

    Returns
    -------
    width, depth : float
        In the ratio 1 to root 2. [m]

    Raises
    ------
    BadValue
        A diameter of 0 or less.

    Notes
    -----
    The largest b h^2 / 6 with b^2 + h^2 = d^2, which is at b = d / root 3. It says which form is
    strongest, not what a beam carries: that is for whoever is licensed to reckon it.

    References
    ----------
    A. Parent, Essais et recherches de mathematique et de physique, vol. 3, 1713 (from memory).
    """
    if not 0 < diameter < math.inf:
        raise BadValue("diameter", diameter, "more than 0 m")
    return diameter / math.sqrt(3), diameter * math.sqrt(2 / 3)

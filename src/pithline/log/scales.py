"""Log scales: how many board feet, or hoppus feet, the trade says a log holds."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from functools import cache
from importlib import resources

from pithline.units import FOOT, INCH

__all__ = [
    "Scaled",
    "doyle",
    "hoppus",
    "international_quarter",
    "scale_diameter",
    "scale_length",
    "scribner_decimal_c",
]

HOPPUS_FOOT = FOOT**3 * 4 / math.pi
"""True volume of one hoppus foot. [m3]"""


@dataclass(frozen=True, slots=True)
class Scaled:
    """What a scale says: board feet, and how sure the figure is ("read", "from memory", ...)."""

    board_feet: int
    mark: str


def scale_diameter(diameter: float) -> int:
    """Small-end diameter under bark as scaled: to the nearest whole inch. [m] -> [in]

    Common practice, no source.
    """
    return math.floor(diameter / INCH + 0.5)


def scale_length(length: float) -> int:
    """Log length as scaled: whole feet, what is over is trim. [m] -> [ft]

    Common practice, no source. A thousandth of a foot is forgiven, so that 8 ft stay 8.
    """
    return math.floor(length / FOOT + 0.001)


def doyle(diameter: float, length: float) -> float:
    """Doyle rule, not rounded.

    Parameters
    ----------
    diameter : float
        Small end, under bark. [m]
    length : float
        [m]

    Returns
    -------
    board_feet : float
        ((D - 4)/4)^2 L with D in inches and L in feet; 0 up to 4 inches. Tables round it
        to whole feet.

    References
    ----------
    .. [1] Formula from memory; tables: Chase, *Timber Cruising Manual and Record*,
       American Lumberman, 1913, p. 11.
    """
    return max((diameter / INCH - 4) / 4, 0.0) ** 2 * (length / FOOT)


def international_quarter(diameter: float, length: float) -> float:
    """International 1/4-inch rule, not rounded.

    Parameters
    ----------
    diameter : float
        Small end, under bark. [m]
    length : float
        [m]

    Returns
    -------
    board_feet : float
        0.904762 (0.22 D^2 - 0.71 D) for each 4 ft, D growing by 1/2 in for each; a last
        part section counts by its share. Tables round to the nearest 5.

    References
    ----------
    .. [1] Michigan Act 208 of 1941, MCL 290.401.
    """
    inches, feet = diameter / INCH, length / FOOT
    total = 0.0
    # Guard: 16 ft in metres may come back as 16.000000000000004 ft.
    sections = math.ceil(feet / 4 - 1e-9)
    for k in range(sections):
        share = min((feet - 4 * k) / 4, 1.0)
        d = inches + k / 2
        total += share * max(0.22 * d**2 - 0.71 * d, 0.0)
    return 0.904762 * total


def scribner_decimal_c(diameter: int, length: int) -> Scaled | None:
    """Scribner Decimal C, looked up.

    Parameters
    ----------
    diameter : int
        As scaled, 6 to 48. [in]
    length : int
        As scaled: 8 to 16, also 6 up to 20 in. [ft] An odd length takes the mean of its
        neighbours, rounded down to 10; above 16 ft the log is scaled as two, the upper
        one 16 ft long at most (both common practice, no source).

    Returns
    -------
    scaled : Scaled or None
        None where the table has no such log.

    References
    ----------
    .. [1] Wengert, *Log Volume*, 2001 (table, 6 to 20 in); the rest is marked in the data.
    """
    table = _scribner()
    if length > 16:
        upper = 16 if length >= 24 else length // 4 * 2
        # The lower log's own small end: half an inch wider for each 4 ft (as the International rule).
        lower = scribner_decimal_c(diameter + upper // 8, length - upper)
        first = scribner_decimal_c(diameter, upper)
        if lower is None or first is None:
            return None
        return Scaled(first.board_feet + lower.board_feet, "computed")
    if (diameter, length) in table:
        return table[diameter, length]
    below, above = table.get((diameter, length - 1)), table.get((diameter, length + 1))
    if below is None or above is None:
        return None
    return Scaled((below.board_feet + above.board_feet) // 20 * 10, "computed")


def hoppus(girth: float, length: float) -> float:
    """Hoppus feet: a quarter of the mid girth squared, times the length.

    Parameters
    ----------
    girth : float
        At mid-length. [m]
    length : float
        [m]

    Returns
    -------
    hoppus_feet : float
        (G/4)^2 L / 144, G in inches, L in feet: pi/4 of the true volume.

    References
    ----------
    .. [1] From memory; one hoppus foot is 4/pi = 1.2732 cubic feet of solid wood.
    """
    return (girth / INCH / 4) ** 2 * (length / FOOT) / 144


@cache
def _scribner() -> dict[tuple[int, int], Scaled]:
    text = (resources.files("pithline.log") / "data" / "scribner_c.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return {
        (int(r["diameter_in"]), int(r["length_ft"])): Scaled(int(r["board_feet"]), r["mark"]) for r in rows
    }

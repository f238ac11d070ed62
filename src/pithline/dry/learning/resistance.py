"""What the species does to a pin meter: the same resistance is another moisture in another wood."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pithline.dry.printed import rows
from pithline.errors import BadValue
from pithline.wood.facts import Species

__all__ = ["PRINTED", "ForWood", "for_wood", "reading_for"]

Floats = NDArray[np.float64]

PRINTED = (0.07, 0.25)  # moisture that the table spans; beyond it the last correction is held. [fraction]
SCALE = "Douglas-fir, coast"  # the wood that pin meters are made to read
_SOURCE = "W. L. James, Electric Moisture Meters for Wood, FPL-GTR-6, 1988"


@dataclass(frozen=True, slots=True)
class ForWood:
    """A reading on the Douglas-fir scale turned into the moisture of another wood.

    Attributes
    ----------
    moisture : float
        Dry basis. [fraction]
    doubt : float
        Standard deviation of what the wood may add or take, shared by all readings. [fraction]
    remarks : tuple of str
    """

    moisture: float
    doubt: float
    remarks: tuple[str, ...]


def for_wood(reading: float, species: Species) -> ForWood:
    """Moisture of a wood where a meter with the Douglas-fir scale shows `reading`.

    Parameters
    ----------
    reading : float
        Already corrected for temperature. [fraction]
    species : Species

    Returns
    -------
    ForWood
        A wood that is not printed takes the mean of its genus, else keeps the reading; its
        `doubt` then is the spread of the printed woods at that reading.

    Raises
    ------
    BadValue
        Not a reading.

    Notes
    -----
    Two woods of one resistance are compared, by interpolation of the logarithm of the printed
    resistances. Below 7 and above 25 % the correction at the end of the table is held.

    References
    ----------
    .. [1] W. L. James, *Electric Moisture Meters for Wood*, FPL-GTR-6, 1988, table (from memory).
    """
    if not 0 <= reading < 2:
        raise BadValue("reading", reading, "a fraction from 0 to 2 (14 % is 0.14)", 'Write "14 %".')
    woods = _resistances()
    held = min(max(reading, PRINTED[0]), PRINTED[1])
    log_ohms = float(np.interp(held, *_along(woods[SCALE][1])))
    found = {name: _moisture_at(log_ohms, table) - held for name, (_, table) in woods.items()}
    spread = float(np.std(list(found.values()), ddof=1))
    own = [n for n, (latin, _) in woods.items() if latin == species.scientific.partition(" var.")[0]]
    kin = [n for n, (latin, _) in woods.items() if latin.partition(" ")[0] == species.genus]
    remarks = [f"species: {_SOURCE} [from memory]"]
    if own:
        shift, doubt = found[own[0]], 0.003  # printed and remembered to about a third of a percent
    elif kin:
        shift, doubt = float(np.mean([found[n] for n in kin])), spread / 2
        remarks.append(f"{species.name} is not printed: {', '.join(kin)} stands in, a guess")
    else:
        shift, doubt = 0.0, spread
        remarks.append(
            f"{species.name} is not printed: the reading is kept, give or take {spread * 100:.1f} %"
        )
    if held != reading:
        remarks.append(f"the table ends at {held * 100:.0f} %: the correction there is held")
    return ForWood(reading + shift, doubt, tuple(remarks))


def reading_for(moisture: float, wood: str) -> float:
    """What the Douglas-fir scale shows in a printed wood of known moisture.

    Parameters
    ----------
    moisture : float
        Within `PRINTED`. [fraction]
    wood : str
        As the table names it: "oak, northern red".

    Returns
    -------
    reading : float
        [fraction]; outside `PRINTED` only the end of the table.

    Raises
    ------
    BadValue
        A wood that is not in the table, a moisture outside it.
    """
    woods = _resistances()
    if wood not in woods:
        raise BadValue("wood", wood, f"one of: {'; '.join(woods)}")
    if not PRINTED[0] <= moisture <= PRINTED[1]:
        raise BadValue("moisture", moisture, "from 0.07 to 0.25, which the table spans")
    return _moisture_at(float(np.interp(moisture, *_along(woods[wood][1]))), woods[SCALE][1])


@cache
def _resistances() -> dict[str, tuple[str, Floats]]:
    """Log10 megohms at 7, 8 ... 25 % by wood, with the scientific name."""
    table: dict[str, tuple[str, Floats]] = {}
    for row in rows("meter_resistances.csv"):
        ohms = np.array([float(v) for name, v in row.items() if name.startswith("at_")])
        table[row["wood"]] = (row["scientific"], np.log10(ohms))
    return table


def _along(table: Floats) -> tuple[Floats, Floats]:
    return np.linspace(*PRINTED, len(table)), table


def _moisture_at(log_ohms: float, table: Floats) -> float:
    # np.interp wants rising: resistance falls as moisture rises.
    moistures, logs = _along(table)
    return float(np.interp(log_ohms, logs[::-1], moistures[::-1]))

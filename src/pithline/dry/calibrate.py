"""A wood's own drying rate from the printed air-drying times of 1-inch stock."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pithline.dry.air import STACK, Air
from pithline.dry.diffusion import courses
from pithline.dry.diffusivity import Diffusivity, film_of, theory_ratio
from pithline.dry.months import Months, place, through
from pithline.dry.printed import rows
from pithline.units import INCH
from pithline.wood.density import green_moisture
from pithline.wood.species import species

__all__ = ["CLIMATES", "Fit", "fit", "printed"]

Floats = NDArray[np.float64]

# Which air a printed region is reckoned with. For the South no shipped place has temperatures: those of
# Little Rock are guessed from its warmest and coldest month (28 and 5 °C, from memory).
CLIMATES: Mapping[str, tuple[str, ...]] = {
    "east": ("Pittsburgh", "Chicago"),
    "west": ("Port Angeles", "Denver (Buckley)"),
    "south": ("Little Rock",),
}
_SOUTH = {"warmest": 28.0, "coldest": 5.0}
_DRY = 0.20  # what the printed times lead to. [fraction]
_LONGEST = 900.0  # [days]
_GRID = np.geomspace(0.2, 20, 116)  # rates tried, times red oak's: 4 % apart


@dataclass(frozen=True, slots=True)
class Fit:
    """One printed row and how the model meets it.

    Attributes
    ----------
    printed_name, wood : str
        As printed; our name.
    least, most : float
        Printed range. [days]
    theory, rate : float
        Times northern red oak's coefficient in moving air: by density alone; calibrated. [-]
    low, high : float
        Rates between which the middle stacking month stays inside the range. [-]
    before, after : tuple of float
        Quickest, middle and slowest stacking month: by density alone; calibrated. [days]
    inside_before, inside_after : float
        Share of the stacking months inside the printed range. [fraction]
    """

    printed_name: str
    wood: str
    least: float
    most: float
    theory: float
    rate: float
    low: float
    high: float
    before: tuple[float, float, float]
    after: tuple[float, float, float]
    inside_before: float
    inside_after: float


def printed() -> tuple[dict[str, str], ...]:
    """The printed ranges, a row each (from memory)."""
    return rows("air_drying_days.csv")


def fit(row: Mapping[str, str]) -> Fit:
    """Calibrate one printed row.

    Parameters
    ----------
    row : mapping
        Of `printed`.

    Returns
    -------
    fit : Fit
        The rate, of a grid 4 % apart, with which most stacking months fall inside the printed
        range; among equals the one whose quickest and slowest month lie best about the printed ends.

    Notes
    -----
    Stacked on the first of each month at each place of the row's climate, from the wood's green
    moisture to a mean of 20 %, 25.4 mm thick, in that place's months. Printed
    ends are good and bad seasons of many places; ours are the months of one or two.
    """
    wood = species(row["wood"])
    gravity = wood.sg_basic.value if wood.sg_basic else 0.5
    fact = {"heartwood": wood.mc_heartwood, "sapwood": wood.mc_sapwood}.get(row["start"])
    start = fact.value if fact else green_moisture(wood).mid
    least, most = float(row["days_least"]), float(row["days_most"])
    theory = theory_ratio(gravity)
    plain = theory / STACK  # the published coefficient by density, not slowed in the stack
    rates = np.sort(np.append(_GRID, plain))
    days = np.stack([_days(air, start, rates, film_of(gravity)) for air in _airs(row["climate"])])
    inside = ((days >= least) & (days <= most)).mean(axis=0)
    ends = np.stack([days.min(axis=0), np.median(days, axis=0), days.max(axis=0)])
    with np.errstate(divide="ignore", invalid="ignore"):
        off = np.abs(np.log(ends[0] / least) + np.log(ends[2] / most))
    best = int(np.lexsort((np.nan_to_num(off, nan=99, posinf=99), -inside))[0])
    at = int(np.flatnonzero(rates == plain)[0])
    middling = rates[(ends[1] >= least) & (ends[1] <= most)]
    return Fit(
        row["printed_name"], wood.name, least, most, theory, float(rates[best]),
        float(middling.min()), float(middling.max()), _three(ends, at), _three(ends, best),
        float(inside[at]), float(inside[best]),
    )  # fmt: skip


def _days(air: Air, start: float, rates: Floats, film: float) -> Floats:
    """Days to 20 % of one stacking month, for each rate."""
    reached = np.empty(len(rates))
    for i, rate in enumerate(rates):
        wood = Diffusivity(rate=float(rate), film=film)
        one = np.ones(1)
        made = courses(INCH, air, [0.0], one * start, one, wood=wood, targets=(_DRY,), cells=16)
        reached[i] = made.reached[0, 0]
    return reached


@cache
def _airs(climate: str) -> tuple[Air, ...]:
    """The air of a stack made on the first of each month, at each place."""
    made: list[Air] = []
    for name in CLIMATES[climate]:
        months: Months = place(name, **(_SOUTH if climate == "south" else {}))
        made += [through(months, datetime.date(2025, month, 1), _LONGEST) for month in range(1, 13)]
    return tuple(made)


def _three(ends: Floats, at: int) -> tuple[float, float, float]:
    return float(ends[0, at]), float(ends[1, at]), float(ends[2, at])

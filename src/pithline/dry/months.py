"""The months of a place: temperature and what wood comes to rest at, known or guessed."""

from __future__ import annotations

import datetime
import difflib
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.dry.air import STACK, STILL, Air
from pithline.dry.printed import rows
from pithline.errors import BadValue
from pithline.wood.moisture import emc as rest

__all__ = ["MONTHS", "Months", "guessed", "own", "place", "places", "through"]

Floats = NDArray[np.float64]

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

# How far one month of one year strays from the long mean, one standard deviation. Outdoor moisture of the
# handbook's table and of typical years differ by 0.7 (Chicago) to 1.9 (Denver) points a month (computed
# from both); the temperature's is common practice, no source.
_STRAY_TEMPERATURE, _STRAY_EMC = 1.5, 0.010  # [K], [fraction]
# A guess of the whole climate is wrong by as much again in every month alike.
_GUESS_TEMPERATURE, _GUESS_EMC = 2.0, 0.015
_YEARS = 12  # an outdoor phase lasts no longer


@dataclass(frozen=True, slots=True, eq=False)
class Months:
    """Twelve months of air, January first.

    Attributes
    ----------
    name : str
    temperature, emc : ndarray, shape (12,)
        Monthly means. [°C], [fraction]
    stray_temperature, stray_emc : float
        Standard deviation of one month about its mean. [K], [fraction]
    bias_temperature, bias_emc : float
        Standard deviation of an error that all months share. [K], [fraction]
    guess : bool
    basis : tuple of str
    """

    name: str
    temperature: Floats
    emc: Floats
    stray_temperature: float = _STRAY_TEMPERATURE
    stray_emc: float = _STRAY_EMC
    bias_temperature: float = 0.5
    bias_emc: float = 0.005
    guess: bool = False
    basis: tuple[str, ...] = ()

    def drawn(self, months: int, rng: np.random.Generator) -> tuple[Floats, Floats]:
        """Deviations of that many months in a row: temperature [K], moisture [fraction]."""
        warm = rng.normal(0, self.bias_temperature) + rng.normal(0, self.stray_temperature, months)
        wet = rng.normal(0, self.bias_emc) + rng.normal(0, self.stray_emc, months)
        return warm, wet


def own(name: str, temperature: ArrayLike, humidity: ArrayLike) -> Months:
    """Months from one's own twelve means of temperature [°C] and relative humidity [fraction].

    Raises
    ------
    BadValue
        Not twelve of each, or outside -40 to 60 °C and 0 to 100 %.
    """
    warm = np.asarray(temperature, dtype=np.float64)
    damp = np.asarray(humidity, dtype=np.float64)
    for what, values in (("temperature", warm), ("humidity", damp)):
        if values.shape != (12,):
            raise BadValue(f"months.{what}", f"{values.size} values", "twelve, January first")
    if not np.all((warm >= -40) & (warm <= 60)):
        raise BadValue("months.temperature", warm, "from -40 to 60 °C", "Is it °F? Write the unit.")
    return Months(name, warm, rest(warm, damp), basis=("own monthly means",))


def guessed(warmest: float, coldest: float, emc: ArrayLike = 0.14, south: bool = False) -> Months:
    """Months from the means of the warmest and the coldest month alone: a guess.

    Parameters
    ----------
    warmest, coldest : float
        Monthly means; a cosine runs between, its top in mid-July (mid-January in the south). [°C]
    emc : array_like
        Equilibrium moisture, the same all year or twelve values. [fraction]
    south : bool

    Raises
    ------
    BadValue
        The warmest month is colder than the coldest, or outside -40 to 60 °C.
    """
    if not -40 <= coldest <= warmest <= 60:
        raise BadValue("warmest", f"{warmest:g} °C", f"at least the coldest month, {coldest:g} °C, to 60 °C")
    turn = np.cos(2 * np.pi * (np.arange(12) - (0 if south else 6)) / 12)
    temperature = 0.5 * (warmest + coldest) + 0.5 * (warmest - coldest) * turn
    return Months(
        "guessed", temperature, np.broadcast_to(np.asarray(emc, dtype=np.float64), (12,)).copy(),
        bias_temperature=_GUESS_TEMPERATURE, bias_emc=_GUESS_EMC, guess=True,
        basis=("temperatures guessed from the warmest and the coldest month",),
    )  # fmt: skip


def places() -> tuple[str, ...]:
    """Places with temperature and humidity in the shipped table."""
    return tuple(dict.fromkeys(row["place"] for row in rows("months.csv")))


def place(name: str, warmest: float | None = None, coldest: float | None = None) -> Months:
    """Months of a shipped place.

    Parameters
    ----------
    name : str
        "Pittsburgh", or one of the places whose outdoor moisture alone is known; then
    warmest, coldest : float, optional
        means of those months make up the temperatures, as a guess. [°C]

    Raises
    ------
    BadValue
        Not in the tables, or only its moisture is and no temperatures are given; says what to do.
    """
    both = [each for each in places() if _same(name, each)]
    if len(both) == 1:
        found = [row for row in rows("months.csv") if row["place"] == both[0]]
        temperature = np.array([float(row["temperature_c"]) for row in found])
        humidity = np.array([float(row["humidity_percent"]) / 100 for row in found])
        basis = (f"{both[0]}: {found[0]['source']}, monthly means of one typical year [computed]",)
        return replace(own(both[0], temperature, humidity), basis=basis)
    alone = [row for row in rows("outdoor_emc.csv") if _same(name, row["place"])]
    if len(alone) == 1:
        if warmest is None or coldest is None:
            raise BadValue(
                "place", name, "a place with known temperatures; only its outdoor moisture is known",
                "Give the means of its warmest and coldest month too, or twelve months of your own.",
            )  # fmt: skip
        moisture = np.array([float(alone[0][month]) / 100 for month in MONTHS])
        made = guessed(warmest, coldest, moisture)
        source = f"{alone[0]['place']}: Wood Handbook FPL-GTR-190, 2010, Table 13-1 [from memory]"
        return replace(made, name=alone[0]["place"], bias_emc=0.005, basis=(source, *made.basis))
    known = [*places(), *(row["place"] for row in rows("outdoor_emc.csv"))]
    near = difflib.get_close_matches(name, known, n=1, cutoff=0.6)
    hint = f"Did you mean {near[0]}? " if near else ""
    raise BadValue(
        "place", name, "a place of the shipped table",
        f"{hint}With temperatures: {', '.join(places())}. Elsewhere give twelve months of your own, or the "
        "means of the warmest and the coldest month.",
    )  # fmt: skip


def through(
    months: Months,
    start: datetime.date,
    days: float,
    name: str = "outdoors",
    until: float = 0.0,
    deviations: tuple[Floats, Floats] | None = None,
) -> Air:
    """One phase outdoors, under cover, by the calendar.

    Parameters
    ----------
    months : Months
    start : date
    days : float
        How long at most. [days]
    name : str
    until : float
        Ends when the slab's mean is down to this; 0: by time alone. [fraction]
    deviations : pair of ndarray, shape (months touched,), optional
        Added to temperature and moisture of each calendar month that the phase touches, in order.

    Returns
    -------
    air : Air
        A stretch for each calendar month touched, of the month's mean: days and nights, wet and dry
        weeks are not in it.

    Raises
    ------
    BadValue
        Not between 0 and 12 years.
    """
    if not 0 < days <= 366 * _YEARS:
        raise BadValue(f"{name}.days", days, f"more than 0 days and at most {_YEARS} years")
    ends: list[float] = []
    which: list[int] = []
    at = start
    while not ends or ends[-1] < days:
        which.append(at.month - 1)
        at = (at.replace(day=1) + datetime.timedelta(days=32)).replace(day=1)
        ends.append(min(float((at - start).days), days))
    warm, wet = deviations or (np.zeros(len(which)), np.zeros(len(which)))
    temperature = months.temperature[which] + warm
    moisture = np.clip(months.emc[which] + wet, 0.01, 0.29)
    count = len(which)
    return Air(
        np.array(ends), np.zeros(count, np.int64), temperature, moisture,
        np.full(count, until), np.full(count, STACK), np.full(count, STILL), (name,), months.basis,
    )  # fmt: skip


def _same(name: str, known: str) -> bool:
    said, full = name.casefold().strip(), known.casefold()
    return said in (full, full.split(" (")[0])

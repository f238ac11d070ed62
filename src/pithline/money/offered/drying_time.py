"""How long slabs take to dry by their thickness: forecast for a place, said, or as people say."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from enum import StrEnum
from statistics import NormalDist
from typing import TYPE_CHECKING, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.errors import BadValue
from pithline.money.likely import Likely
from pithline.money.months import DAYS_A_MONTH
from pithline.units import INCH, show_length, show_share

if TYPE_CHECKING:
    from pithline.dry.months import Months
    from pithline.dry.phases import Phase
    from pithline.wood.facts import Species

__all__ = ["Basis", "DryingAir", "DryingTime", "folk_months", "forecast_time"]

Floats = NDArray[np.float64]

AIR_DRY = 0.20
"""Down to here in the place's own air, below it in a heated room: "fit to sell air-dry". [fraction]"""
_OUTDOORS, _INDOORS = 3650.0, 1460.0  # longest stays [days]
_ROOM = (20.0, 0.40)  # [°C], [fraction]; as `pithline dry` takes it
# Where nobody says when: in each quarter of the year alike.
_SEASONS = tuple(datetime.date(2001, month, 15) for month in (1, 4, 7, 10))
_DRAWS = 128
# Knots of thickness: stacked on a known day, a thickness more or less waits for the spring or does not.
_FEW, _MANY = 4, 8
# A year an inch, from half to half more of it; common practice, no source.
_FOLK = (7.0, 12.0, 18.0)


class Basis(StrEnum):
    """What a drying time rests on."""

    FORECAST = "by the drying forecast"
    SAID = "as you said"
    FOLK = "a year an inch, as people say"


@dataclass(frozen=True, slots=True, eq=False)
class DryingAir:
    """Where and until when slabs dry.

    Attributes
    ----------
    months : Months
        Of the place.
    stacked : date or None
        None where nobody knows: then any season is as likely.
    to : float
        Mean moisture at which they are sold. [fraction]
    """

    months: Months
    stacked: datetime.date | None = None
    to: float = AIR_DRY


@dataclass(frozen=True, slots=True)
class DryingTime:
    """Time from the saw till dry.

    Attributes
    ----------
    months : Likely
        For a slab of `thickness`. [month]
    thickness : float
        Green; 0 where the time is the same for all. [m]
    knots : tuple of float
        Green thicknesses, rising. [m]
    shares : tuple of float
        Of `months`, at the knots.
    basis : Basis
    told : tuple of str
        What it rests on, or why there is no forecast.
    """

    months: Likely
    thickness: float
    knots: tuple[float, ...]
    shares: tuple[float, ...]
    basis: Basis
    told: tuple[str, ...] = ()

    @classmethod
    def said(cls, months: Likely) -> Self:
        """The same for every thickness."""
        return cls(months, 0.0, (INCH,), (1.0,), Basis.SAID)

    @classmethod
    def folk(cls, thickness: float = INCH, *told: str) -> Self:
        """A year an inch."""
        inches = thickness / INCH
        low, mid, high = (each * inches for each in _FOLK)
        why = "a year an inch in air: common practice, no source"
        knots, shares = (thickness, 2 * thickness), (1.0, 2.0)
        return cls(
            Likely(low, mid, high, inches, 60.0 * inches, why), thickness, knots, shares, Basis.FOLK, told
        )

    def share(self, thickness: ArrayLike) -> Floats:
        """Of `months`, for slabs of other thicknesses.

        Parameters
        ----------
        thickness : array_like, shape (draws,)
            Green. [m]

        Notes
        -----
        A power of the thickness from each knot to the next, and on beyond the last.
        """
        if len(self.knots) < 2:
            return np.ones(np.shape(thickness))
        x, y = np.log(self.knots), np.log(self.shares)
        at = np.log(np.maximum(np.asarray(thickness), 1e-3))
        i = np.clip(np.searchsorted(x, at) - 1, 0, len(x) - 2)
        return np.asarray(np.exp(y[i] + (at - x[i]) * (y[i + 1] - y[i]) / (x[i + 1] - x[i])))

    def power(self) -> tuple[float, float]:
        """Months of an inch and the power of the thickness, as a plan reckons a slab's room.

        Returns
        -------
        inch, power : float
            Through the thinnest and the thickest knot; of one thickness alone with a power of 1.5, a guess
            between kilns (1.3) and free diffusion (2).
        """
        if self.basis is Basis.SAID:
            return self.months.mid, 0.0
        thin, thick = self.knots[0], self.knots[-1]
        ratio = self.shares[-1] / self.shares[0]
        power = float(np.log(ratio) / np.log(thick / thin)) if len(self.knots) > 1 else 1.5
        return float(self.months.mid * self.shares[-1] / (thick / INCH) ** power), power


def folk_months(thickness: float) -> float:
    """A year an inch, to stand beside a forecast. [month]"""
    return 12 * thickness / INCH


def forecast_time(
    wood: Species, greens: Sequence[float], air: DryingAir, rng: np.random.Generator, draws: int = _DRAWS
) -> DryingTime:
    """Forecast the drying of the thicknesses that a log is sawn into.

    Parameters
    ----------
    wood : Species
    greens : sequence of float
        Green thicknesses. [m]
    air : DryingAir
    rng : numpy.random.Generator
    draws : int
        At each of the knots; a multiple of 4.

    Returns
    -------
    DryingTime
        For the thickest; its spread is taken for the others, too.

    Raises
    ------
    BadValue
        A wood of unknown drying, or the thickest is not dry in ten years for half of the draws.

    Notes
    -----
    The diffusion model of `dry.forecast` with its doubts: of the wood's rate (wider with thickness), of the
    start moisture, of the weather. The rate's draws lie evenly over its distribution and are the same at
    every knot, so that few of them do.
    """
    from pithline.dry.coefficient import spread_of, wood_of
    from pithline.dry.diffusion import courses
    from pithline.dry.forecast import start_draws
    from pithline.dry.phases import drawn_air
    from pithline.wood.density import green_moisture

    knots = _knots(greens, _MANY if air.stacked else _FEW)
    matter, began = wood_of(wood), green_moisture(wood)
    begins = (air.stacked,) if air.stacked else _SEASONS
    each = draws // len(begins)
    level = [NormalDist().inv_cdf((n + 0.5) / draws) for n in range(draws)]
    rate = rng.permutation(np.array(level))
    starts = start_draws(began, draws, rng)
    weather = [drawn_air(_phases(air), begin, each, rng) for begin in begins]

    def days(job: tuple[int, float]) -> Floats:
        season, thickness = job
        of = slice(season * each, (season + 1) * each)
        factors = np.exp(spread_of(wood, thickness)[0] * rate[of])
        made = courses(
            thickness, weather[season], [0.0], starts[of], factors, wood=matter, targets=[air.to], cells=12
        )
        return made.reached[:, 0]

    jobs = [(season, thickness) for thickness in knots for season in range(len(begins))]
    days(jobs[0])  # kernels are compiled by one thread before two use them
    with ThreadPoolExecutor(2) as two:
        found = np.array(list(two.map(days, jobs))).reshape(len(knots), -1)
    ranked = np.sort(found, axis=1)
    low, mid, high = (ranked[:, round(q * (ranked.shape[1] - 1))] / DAYS_A_MONTH for q in (0.1, 0.5, 0.9))
    if not np.isfinite(mid[-1]):
        raise BadValue(
            "drying",
            f"{show_length(knots[-1])} of {wood.name}",
            f"down to {show_share(air.to, 0)} within ten years at {air.months.name}",
            'Saw it thinner, or say how long it takes: drying = "4 years".',
        )
    most = (_OUTDOORS + _INDOORS) / DAYS_A_MONTH
    season = f"stacked on {air.stacked}" if air.stacked else "stacked in any season"
    _, doubts = spread_of(wood, knots[-1])
    told = (f"to {show_share(air.to, 0)} at {air.months.name}, {season}", *doubts, *air.months.basis)
    return DryingTime(
        Likely(float(low[-1]), float(mid[-1]), min(float(high[-1]), most), 0.1, 2 * most, told[0]),
        knots[-1],
        knots,
        tuple(float(one) for one in mid / mid[-1]),
        Basis.FORECAST,
        tuple(dict.fromkeys(told)),
    )


def _knots(greens: Sequence[float], count: int) -> tuple[float, ...]:
    """Some thicknesses from the thinnest to the thickest."""
    thin, thick = min(greens), max(greens)
    if thick < 1.02 * thin:
        return (thick,)
    return tuple(float(each) for each in np.geomspace(thin, thick, count))


def _phases(air: DryingAir) -> list[Phase]:
    from pithline.dry.phases import Phase
    from pithline.wood.moisture import emc

    if air.to >= AIR_DRY:
        return [Phase("outdoors", _OUTDOORS, air.months)]
    outdoors = Phase("outdoors", _OUTDOORS, air.months, until=AIR_DRY)
    return [outdoors, Phase("a room", _INDOORS, temperature=_ROOM[0], emc=float(emc(*_ROOM)))]

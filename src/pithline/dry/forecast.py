"""The day a slab is ready, with a range: of its wood, of its start, of the weather."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.dry.air import Air
from pithline.dry.coefficient import spread_of, wood_of
from pithline.dry.diffusion import Course, course, courses
from pithline.dry.diffusivity import Diffusivity
from pithline.dry.milestones import MILESTONES, Milestone
from pithline.dry.phases import Phase, air_through, drawn_air
from pithline.dry.risk import Strain, strain_of
from pithline.dry.safe_loss import safe_loss
from pithline.errors import BadValue
from pithline.units import INCH
from pithline.wood.density import green_moisture
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Species
from pithline.wood.shrinkage import totals

__all__ = ["Forecast", "Ready", "forecast", "many", "start_draws"]

Floats = NDArray[np.float64]

_QUANTILES = (0.1, 0.5, 0.9)


@dataclass(frozen=True, slots=True)
class Ready:
    """When a milestone is reached.

    Attributes
    ----------
    milestone : Milestone
    days : tuple of float
        Before it in one of ten draws, in half, in nine of ten; infinite: not while the air lasts. [days]
    likely : float
        Share of draws that reach it at all. [fraction]
    """

    milestone: Milestone
    days: tuple[float, float, float]
    likely: float


@dataclass(frozen=True, slots=True, eq=False)
class Forecast:
    """A slab's way to dryness.

    Attributes
    ----------
    days : ndarray, shape (times,)
        Once a week, and the end. [days]
    mean : ndarray, shape (3, times)
        10, 50 and 90 % of the draws. [fraction]
    ready : tuple of Ready
    middle : Course
        With every unknown at its middle, told once a day; its profile shows core and face.
    strain : Strain
        Of that course.
    safe : Estimate
        Largest safe loss while wet. [fraction/day]
    start : Estimate
        Moisture it began with. [fraction]
    extrapolated : bool
        Thicker than anything the rates were checked on.
    folk_days : float
        "One year per inch", as people say. [days]
    remarks : tuple of str
        What it rests on.
    """

    days: Floats
    mean: Floats
    ready: tuple[Ready, ...]
    middle: Course
    strain: Strain
    safe: Estimate
    start: Estimate
    extrapolated: bool
    folk_days: float
    remarks: tuple[str, ...]


def start_draws(start: Estimate, draws: int, rng: np.random.Generator) -> Floats:
    """Start moistures, one in ten below `low` and one in ten above `high`; shape (draws,)."""
    z = rng.normal(size=draws)
    arm = np.where(z < 0, start.mid - start.low, start.high - start.mid) / 1.2816
    return np.clip(start.mid + z * arm, 0.01, 2.9)


def forecast(
    thickness: float,
    species: Species,
    phases: Sequence[Phase],
    begin: datetime.date,
    rng: np.random.Generator,
    *,
    start: Estimate | None = None,
    milestones: Sequence[Milestone] = MILESTONES,
    draws: int = 200,
    wood: Diffusivity | None = None,
) -> Forecast:
    """Forecast one slab.

    Parameters
    ----------
    thickness : float
        Green. [m]
    species : Species
    phases : sequence of Phase
    begin : date
        On which it is stacked.
    rng : numpy Generator
    start : Estimate, optional
        Moisture on that day; that of the living tree where left out. [fraction]
    milestones : sequence of Milestone
    draws : int
        10 to 100,000.
    wood : Diffusivity, optional
        In place of the species' own.

    Returns
    -------
    forecast : Forecast

    Raises
    ------
    BadValue
        As `course`, `air_through` and `rate_of`; too few or too many draws.

    Notes
    -----
    Each draw has its own drying rate (log-normal, `spread_of`), start moisture and weather. Below fibre
    saturation a slab is assumed to lose moisture through its two faces alone: ends and edges dry
    sooner.
    """
    if not 10 <= draws <= 100_000:
        raise BadValue("draws", draws, "from 10 to 100,000")
    sigma, remarks = spread_of(species, thickness)
    material, began = wood or wood_of(species), start or green_moisture(species)
    air = air_through(phases, begin)
    daily = np.append(np.arange(0.0, air.days), air.days)
    targets = [each.moisture for each in milestones]
    middle = course(thickness, air, daily, began.mid, wood=material, targets=targets)
    weekly = np.unique(np.append(np.arange(0.0, air.days, 7.0), air.days))
    made = courses(
        thickness, drawn_air(phases, begin, draws, rng), weekly, start_draws(began, draws, rng),
        rng.lognormal(0, sigma, draws), wood=material, targets=targets,
    )  # fmt: skip
    # A draw that ran out of air before has stopped where it was; it weighs as it is.
    mean = np.nanquantile(made.mean[:, : _last(made.mean)], _QUANTILES, axis=0)
    return Forecast(
        weekly[: mean.shape[1]], mean, _ready(milestones, made.reached), middle,
        strain_of(middle, totals(species).tangential.mid, material.full),
        safe_loss(species, thickness), began, any("extrapolated" in each for each in remarks),
        thickness / INCH * 365.25, tuple(dict.fromkeys((*remarks, *began.basis, *air.remarks))),
    )  # fmt: skip


def many(
    slabs: Sequence[tuple[float, Diffusivity, float, Estimate]],
    airs: Sequence[Air],
    times: Floats,
    targets: Sequence[float],
    rng: np.random.Generator,
    progress: Callable[[int], None] | None = None,
    cells: int = 16,
) -> tuple[Floats, Floats]:
    """Forecast a whole yard in the same weather, on two cores.

    Parameters
    ----------
    slabs : sequence of (thickness [m], wood, sigma of the rate's logarithm, start moisture)
    airs : sequence of Air
        Draws of the weather, from `drawn_air`; one draw of each slab in each.
    times : ndarray, shape (times,)
        [days]
    targets : sequence of float
        [fraction]
    rng : numpy Generator
    progress : callable, optional
        Told how many slabs are done.
    cells : int
        As `courses`.

    Returns
    -------
    mean : ndarray, shape (slabs, 3, times)
        10, 50, 90 %. [fraction]
    reached : ndarray, shape (slabs, 3, targets)
        [days]
    """
    from concurrent.futures import ThreadPoolExecutor

    draws = len(airs)
    given = [(start_draws(start, draws, rng), rng.lognormal(0, sigma, draws)) for _, _, sigma, start in slabs]

    def one(i: int) -> tuple[Floats, Floats]:
        thickness, wood, _, _ = slabs[i]
        starts, factors = given[i]
        made = courses(thickness, airs, times, starts, factors, wood=wood, targets=targets, cells=cells)
        return _quantiles(made.mean), _quantiles(made.reached)

    mean = np.empty((len(slabs), 3, len(times)))
    reached = np.empty((len(slabs), 3, len(targets)))
    with ThreadPoolExecutor(2) as two:
        for i, (means, days) in enumerate(two.map(one, range(len(slabs)))):
            mean[i], reached[i] = means, days
            if progress:
                progress(i + 1)
    return mean, reached


def _quantiles(values: Floats) -> Floats:
    """10, 50 and 90 % of the first axis by rank: unlike a mean of neighbours it bears infinity."""
    ranked = np.sort(values, axis=0)
    ranks = [min(len(values) - 1, int(q * len(values))) for q in _QUANTILES]
    return np.asarray(ranked[ranks])


def _ready(milestones: Sequence[Milestone], reached: Floats) -> tuple[Ready, ...]:
    days = _quantiles(reached)
    likely = np.isfinite(reached).mean(axis=0)
    return tuple(
        Ready(each, (float(days[0, i]), float(days[1, i]), float(days[2, i])), float(likely[i]))
        for i, each in enumerate(milestones)
    )


def _last(mean: Floats) -> int:
    """Times up to which at least half of the draws still have air."""
    enough = np.isfinite(mean).mean(axis=0) >= 0.5
    return int(np.flatnonzero(enough)[-1]) + 1

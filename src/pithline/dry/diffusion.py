"""The course of a slab's moisture: mean, profile and the days at which targets are reached.

For forecasts, and for weighing draws against readings, call

    course(thickness, air, times, start, rate_factor, wood=..., targets=..., error=...) -> Course
    courses(thickness, air, times, starts, rate_factors, wood=..., targets=..., cells=...) -> Courses

Times are in days from the first stretch of `air`, moisture is a fraction, thickness is green, in m.
`courses` runs thousands of draws (a tenth of a millisecond each for two years outdoors): mean has shape
(draws, times), profile (draws, times, cells). `profile.at_depth` and `profile.mean_to` read one as pins and a
plate do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.dry.air import Air
from pithline.dry.diffusivity import RED_OAK, Diffusivity
from pithline.dry.profile import Mesh
from pithline.errors import BadValue

__all__ = ["Course", "Courses", "course", "courses"]

Floats = NDArray[np.float64]

DAY = 86400.0  # [s]
_COARSE, _MANY, _FINE = 12, 16, 384  # cells in half a slab: to begin with, of many draws, at most
# A coefficient that does not rise with moisture is taken to rise by 3 in a million: the potential is a
# difference divided by the rise, and with 0 it is no number.
_LEVEL = 1e-5
_TOLERANCE = 2e-3  # of a step, with 12 cells; measured in benchmarks/drying.py. [fraction]


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """One slab through the air.

    Attributes
    ----------
    times : ndarray, shape (times,)
        [days]
    mean, face : ndarray, shape (times,)
        Of the whole thickness; of the very face. NaN after the air's end. [fraction]
    profile : ndarray, shape (times, cells)
        From mid-thickness to the face. [fraction]
    depths : ndarray, shape (cells,)
        Of the cells' middles, below the face. [m]
    reached : ndarray, shape (targets,)
        First day on which the mean is down to each target; infinite where it never is. [days]
    error : float
        Estimated largest error of `mean`. [fraction]
    balance : float
        Water at the start less what is left and what was given off, over that at the start. [-]
    steps : int
        Taken, on the last mesh.
    """

    times: Floats
    mean: Floats
    face: Floats
    profile: Floats
    depths: Floats
    reached: Floats
    error: float
    balance: float
    steps: int


@dataclass(frozen=True, slots=True, eq=False)
class Courses:
    """Many draws of one slab; as `Course`, with the draws as first axis.

    Attributes
    ----------
    times, depths : ndarray
    mean, face : ndarray, shape (draws, times)
    profile : ndarray, shape (draws, times, cells)
        Without draws if it was not asked for.
    reached : ndarray, shape (draws, targets)
    """

    times: Floats
    mean: Floats
    face: Floats
    profile: Floats
    depths: Floats
    reached: Floats


def course(
    thickness: float,
    air: Air,
    times: ArrayLike,
    start: ArrayLike,
    rate_factor: float = 1.0,
    *,
    wood: Diffusivity = RED_OAK,
    targets: Sequence[float] = (),
    error: float = 5e-4,
) -> Course:
    """Dry one slab, as exactly as asked.

    Parameters
    ----------
    thickness : float
        Green. [m]
    air : Air
    times : array_like, shape (times,)
        Rising, from 0. [days]
    start : array_like
        Moisture all through, or a profile, shape (points,), evenly from mid-thickness to the
        face. [fraction]
    rate_factor : float
        Times the wood's own coefficient and film: 2 is twice as fast. [-]
    wood : Diffusivity
    targets : sequence of float
        Mean moistures whose days are wanted. [fraction]
    error : float
        Largest error allowed in the mean. [fraction]

    Returns
    -------
    course : Course

    Raises
    ------
    BadValue
        A thickness, start, factor, target or error that cannot be, or times that do not rise.

    Notes
    -----
    Finite volumes on half the thickness with the moisture's own potential between the cells (the
    integral of exp(B M), so that a steady profile is exact), two-stage L-stable steps of second
    order, restarted at each change of the air. What leaves a cell enters the next: the balance
    closes to rounding. The mesh is doubled and the steps' tolerance quartered until two
    meshes agree; the error told is the difference, which for a method of second order is three times
    the finer one's error.
    """
    if not 1e-7 <= error <= 0.1:
        raise BadValue("error", error, "from 0.0000001 to 0.1", "Give 0.001 for a tenth of a percent.")
    at, wanted = _times(times), np.asarray(targets, dtype=np.float64)
    # More places to compare than were asked for: most of the error is made early.
    seen = np.concatenate([at, air.days * np.linspace(0, 1, 41) ** 2])
    order = np.argsort(seen, kind="stable")
    cells, before = _COARSE, None
    while True:
        tolerance = _TOLERANCE * (_COARSE / cells) ** 2
        made, tally = _run(thickness, air, seen[order], start, rate_factor, wood, wanted, cells, tolerance)
        here = np.empty_like(made.mean)
        here[order] = made.mean
        wrong = float(np.nanmax(np.abs(here - before))) if before is not None else np.inf
        if wrong <= error or cells >= _FINE:
            break
        before, cells = here, 2 * cells
    back = np.empty(len(order), np.int64)
    back[order] = np.arange(len(order))
    keep = back[: len(at)]
    return replace(
        made, times=at, mean=made.mean[keep], face=made.face[keep], profile=made.profile[keep],
        error=wrong, steps=int(tally[0]),
    )  # fmt: skip


def courses(
    thickness: float,
    air: Air | Sequence[Air],
    times: ArrayLike,
    starts: ArrayLike,
    rate_factors: ArrayLike,
    *,
    wood: Diffusivity = RED_OAK,
    targets: Sequence[float] = (),
    cells: int = _MANY,
    profiles: bool = False,
) -> Courses:
    """Dry one slab many times, each with its own start moisture and rate factor.

    Parameters
    ----------
    thickness : float
        Green. [m]
    air : Air or sequence of Air, shape (draws,)
        The same for all, or one for each draw; then all with the same stretches.
    times : array_like, shape (times,)
        [days]
    starts, rate_factors : array_like, shape (draws,)
    wood : Diffusivity
    targets : sequence of float
    cells : int
        With 12 the mean is within 0.2 % moisture, with 16 within 0.12, with 24 within 0.06
        (benchmarks/drying.py).
    profiles : bool
        Whether profiles are wanted; they take most of the room.

    Returns
    -------
    courses : Courses

    Raises
    ------
    BadValue
        As `course`; draws of different number.

    Notes
    -----
    Frees the interpreter's lock, so two threads keep two cores busy.
    """
    from pithline.dry.diffusion_kernel import march_all

    first = np.ascontiguousarray(starts, dtype=np.float64)
    factors = np.ascontiguousarray(rate_factors, dtype=np.float64)
    if first.ndim != 1 or first.shape != factors.shape:
        raise BadValue("rate_factors", factors.shape, f"one for each of {first.shape} starts")
    _possible(first, factors)
    airs = [air] if isinstance(air, Air) else list(air)
    if len(airs) not in (1, len(first)):
        raise BadValue("air", len(airs), f"one, or one for each of {len(first)} draws")
    at, wanted, mesh = _times(times), np.asarray(targets, dtype=np.float64), Mesh.of(thickness, cells)
    draws = len(first)
    mean, face = np.empty((draws, len(at))), np.empty((draws, len(at)))
    profile = np.empty((draws if profiles else 0, len(at), cells))
    reached, tally = np.empty((draws, len(wanted))), np.empty((draws, 4))
    warm = np.stack([each.temperature for each in airs])
    march_all(
        first, factors, *_arms(mesh), airs[0].ends * DAY, airs[0].phases,
        wood.dry(warm) * np.stack([each.pace for each in airs]),
        wood.exchange(warm) * np.stack([each.film for each in airs]),
        np.stack([each.emc for each in airs]), airs[0].until,
        max(wood.rise, _LEVEL), wood.full, _TOLERANCE * (_COARSE / cells) ** 2, at * DAY, wanted,
        mean, face, profile, reached, tally,
    )  # fmt: skip
    return Courses(at, mean, face, profile, mesh.depths, reached / DAY)


def _run(
    thickness: float, air: Air, times: Floats, start: ArrayLike, factor: float,
    wood: Diffusivity, targets: Floats, cells: int, tolerance: float,
) -> tuple[Course, Floats]:  # fmt: skip
    from pithline.dry.diffusion_kernel import march

    mesh = Mesh.of(thickness, cells)
    given = np.atleast_1d(np.asarray(start, dtype=np.float64))
    _possible(given, np.array([factor]))
    inwards = 1 - mesh.depths / mesh.half  # 0 at mid-thickness, 1 at the face
    m = (
        np.interp(1 - inwards, np.linspace(0, 1, len(given)), given[::-1])
        if len(given) > 1
        else np.full(cells, given[0])
    )
    m = np.ascontiguousarray(m)
    first = float((mesh.widths * m).sum())
    mean, face = np.empty(len(times)), np.empty(len(times))
    profile = np.empty((len(times), cells))
    reached, tally = np.empty(len(targets)), np.empty(4)
    march(
        m, *_arms(mesh), air.ends * DAY, air.phases, wood.dry(air.temperature) * air.pace * factor,
        wood.exchange(air.temperature) * air.film * factor, air.emc, air.until,
        max(wood.rise, _LEVEL), wood.full,
        tolerance, np.inf, times * DAY, targets, mean, face, profile, reached, tally,
    )  # fmt: skip
    balance = (first - float((mesh.widths * m).sum()) - tally[2]) / max(first, 1e-300)
    made = Course(times, mean, face, profile, mesh.depths, reached / DAY, np.inf, balance, 0)
    return made, tally


def _arms(mesh: Mesh) -> tuple[float, Floats, Floats, float]:
    """Half thickness, widths, one over the distances of the cells' middles, and of the last to the face."""
    return mesh.half, mesh.widths, 1 / -np.diff(mesh.depths), 1 / float(mesh.depths[-1])


def _times(times: ArrayLike) -> Floats:
    at = np.atleast_1d(np.asarray(times, dtype=np.float64))
    if at.ndim != 1 or not np.all(at >= 0) or not np.all(np.diff(at) >= 0):
        raise BadValue("times", times, "days from 0, each at least the one before")
    return at


def _possible(starts: Floats, factors: Floats) -> None:
    wrong = starts[~((starts >= 0) & (starts <= 3))]  # NaN fails here too
    if wrong.size:
        raise BadValue("start moisture", f"{wrong[0] * 100:g} %", "from 0 to 300 %", 'Write "80 %".')
    if not np.all((factors > 0) & np.isfinite(factors)):
        raise BadValue("rate factor", factors, "more than 0", "1 is as fast as the species' own figure.")

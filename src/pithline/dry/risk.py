"""How hard the drying strains a slab: its rate against the safe one, and its face against its core."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pithline.dry.diffusion import Course
from pithline.dry.profile import mean_to

__all__ = ["DANGER", "SHELL", "Strain", "check_index", "strain_of"]

Floats = NDArray[np.float64]

SHELL = 0.003  # how deep the face's moisture is taken, where surface checks begin; our choice. [m]
# Above it wet wood checks, below it practically no new damage is done (E. M. Wengert, read).
DANGER = 0.30


@dataclass(frozen=True, slots=True)
class Strain:
    """The worst of a course.

    Attributes
    ----------
    loss : float
        Largest loss in a day while the mean is above 30 %. [fraction/day]
    loss_day : float
        When. [days]
    index : float
        Largest check index while the mean is above 30 %. [fraction]
    index_day : float
        When. [days]
    """

    loss: float
    loss_day: float
    index: float
    index_day: float


def check_index(core: ArrayLike, shell: ArrayLike, tangential: float, full: float = 0.30) -> Floats:
    """Shrinkage that the outer 3 mm want and the core forbids.

    Parameters
    ----------
    core, shell : array_like
        Moisture at mid-thickness; mean of the outer 3 mm. [fraction]
    tangential : float
        Shrinkage green to oven dry. [fraction]
    full : float
        Fibre saturation. [fraction]

    Returns
    -------
    index : ndarray
        Strain held back, of the width; 0 where both are wet, or equally dry. Our own measure: no
        limit of it was found published; compare slabs and seasons with it. [fraction]

    Notes
    -----
    index = S_t (min(core, full) - min(shell, full)) / full.
    """
    inside = np.minimum(np.asarray(core, dtype=np.float64), full)
    outside = np.minimum(np.asarray(shell, dtype=np.float64), full)
    return np.asarray(tangential * (inside - outside) / full)


def strain_of(course: Course, tangential: float, full: float = 0.30) -> Strain:
    """The worst day and the worst gradient while the wood is wet.

    Parameters
    ----------
    course : Course
        Told once a day at least.
    tangential : float
        [fraction]
    full : float
        [fraction]
    """
    shell = mean_to(course.profile, course.depths, min(SHELL, float(course.depths[0])))
    index = check_index(course.profile[:, 0], shell, tangential, full)
    wet = course.mean > DANGER
    passed = np.diff(course.times)
    loss = np.where(wet[:-1], -np.diff(course.mean) / np.maximum(passed, 1e-12), -np.inf)
    if not wet.any() or not len(loss):
        return Strain(0.0, 0.0, 0.0, 0.0)
    worst, steepest = int(np.argmax(loss)), int(np.argmax(np.where(wet, index, -np.inf)))
    return Strain(
        float(max(loss[worst], 0.0)), float(course.times[worst]),
        float(index[steepest]), float(course.times[steepest]),
    )  # fmt: skip

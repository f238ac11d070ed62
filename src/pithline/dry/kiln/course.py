"""A kiln run by the diffusion model: days of each setting, and how wet the core still is.

With the wood's own rate, as in the yard (`coefficient.wood_of`), and a loaded kiln's film (`air.LOADED`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from pithline.dry.air import LOADED, Air, constant, joined
from pithline.dry.diffusion import course
from pithline.dry.diffusivity import Diffusivity
from pithline.dry.kiln.steps import Setting

__all__ = ["Through", "kiln_air", "through_kiln"]

_LONGEST = 3650.0  # of one setting; a step that lasts so long never ends. [days]


@dataclass(frozen=True, slots=True)
class Through:
    """One slab through every setting of a run.

    Attributes
    ----------
    days : tuple of float
        Of each setting; infinite from the one on that does not end. [days]
    mean, core, face : float
        At the end of the last setting that ended, dry basis. [fraction]
    error : float
        Estimated largest error of the mean. [fraction]
    """

    days: tuple[float, ...]
    mean: float
    core: float
    face: float
    error: float


def kiln_air(settings: Sequence[Setting], film: float = LOADED) -> Air:
    """The settings as phases of air, each until the slab's mean is at its lower end."""
    phases = []
    for each in settings:
        name = f"{each.upper:.0%} to {each.lower:.0%}"
        rests, until = each.emc, each.lower
        phases.append(constant(name, each.temperature, _LONGEST, emc=rests, until=until, film=film))
    return joined(phases)


def through_kiln(
    settings: Sequence[Setting],
    thickness: float,
    wood: Diffusivity,
    start: ArrayLike | None = None,
    rate_factor: float = 1.0,
    error: float = 1e-3,
    film: float = LOADED,
) -> Through:
    """Dry the slab that the schedule steps on through all settings.

    Parameters
    ----------
    settings : sequence of Setting
    thickness : float
        [m]
    wood : Diffusivity
    start : array_like, optional
        Moisture all through, or a profile from mid-thickness to the face, as the yard left it;
        without it the first setting's upper end all through. [fraction]
    rate_factor : float
        As in the drying forecast: 2 is twice as fast. [-]
    error : float
        Largest error allowed in the mean. [fraction]
    film : float
        Times the surface exchange of moving air. [-]

    Returns
    -------
    through : Through

    Notes
    -----
    Unlike a time relation it carries the gradient from step to step: what a slab brings in with a
    dry face takes longer to get at.
    """
    air = kiln_air(settings, film)
    begin = settings[0].upper if start is None else start
    ends = [each.lower for each in settings]
    # Once crudely, to learn how long it lasts: the model judges its error only at times it is asked for.
    crude = course(thickness, air, [0.0], begin, rate_factor, wood=wood, targets=ends, error=0.1)
    lasts = max(crude.reached[np.isfinite(crude.reached)], default=_LONGEST) * (1 - 1e-6)
    times = lasts * np.linspace(0, 1, 41) ** 2
    made = course(thickness, air, times, begin, rate_factor, wood=wood, targets=ends, error=error)
    reached = np.concatenate([[0.0], made.reached])
    # From infinity to infinity there is no difference to take.
    days = tuple(float(b - a) if np.isfinite(b) else float("inf") for a, b in pairwise(reached))
    last = int(np.flatnonzero(np.isfinite(made.mean))[-1])
    return Through(
        days, float(made.mean[last]), float(made.profile[last, 0]), float(made.face[last]), made.error
    )

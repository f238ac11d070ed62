"""The air that a slab dries in, as stretches of constant temperature and equilibrium moisture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue
from pithline.wood.moisture import emc as rest

__all__ = ["LOADED", "STACK", "STILL", "Air", "constant", "joined"]

Floats = NDArray[np.float64]

# In a stickered stack outdoors the air stands between the layers. Its exchange is taken at a tenth of moving
# air's, the middle of the published span (from memory); a wet inch of oak then loses some 2 % a day in
# spring. What still parts the printed air-drying times from the constant-air measurements of red oak,
# damper air in the stack than at a weather station and whatever else, is put on the wood's own speed: the
# geometric mean over the 50 woods of benchmarks/calibrate_drying.py, rounded.
STILL = 0.1
STACK = 0.5
# In a loaded kiln: the one number with which whole runs of six kilns take as long as told, to 26 %
# (benchmarks/kiln_film.py, which tries it on the thickness factors too, not fitted on). It stands for all
# that holds a load up beside diffusion: air that grows damp on its way through, steps on the wettest half of
# the boards, careful operators, the wood's own surface. 2.4e-8 m/s at 43 °C, 5.4e-8 at 60 °C: within the
# published span of 1e-8 to 3e-7 (from memory).
LOADED = 0.022


@dataclass(frozen=True, slots=True, eq=False)
class Air:
    """Phases one after the other, each of one stretch of air or more.

    Attributes
    ----------
    ends : ndarray, shape (stretches,)
        Each stretch's end, counted from its own phase's begin. [days]
    phases : ndarray of int, shape (stretches,)
        0, 1, 2 …; which phase a stretch belongs to.
    temperature : ndarray, shape (stretches,)
        [°C]
    emc : ndarray, shape (stretches,)
        Equilibrium moisture. [fraction]
    until : ndarray, shape (stretches,)
        The phase ends early when the slab's mean falls to this; 0: only by time. [fraction]
    pace : ndarray, shape (stretches,)
        Times the wood's own speed: 1 in moving air, less in an outdoor stack. [-]
    film : ndarray, shape (stretches,)
        Times the surface exchange of moving air. [-]
    names : tuple of str
        What each phase is called.
    remarks : tuple of str
        What was assumed.
    """

    ends: Floats
    phases: NDArray[np.int64]
    temperature: Floats
    emc: Floats
    until: Floats
    pace: Floats
    film: Floats
    names: tuple[str, ...]
    remarks: tuple[str, ...] = ()

    @property
    def days(self) -> float:
        """Longest that all phases last together. [days]"""
        last = np.flatnonzero(np.diff(self.phases, append=-1))
        return float(self.ends[last].sum())


def constant(
    name: str, temperature: float, days: float, *, emc: float | None = None,
    humidity: float | None = None, until: float = 0.0, film: float = 1.0,
) -> Air:  # fmt: skip
    """One phase of unchanging air: a heated room, a step of a kiln schedule.

    Parameters
    ----------
    name : str
    temperature : float
        [°C]
    days : float
        How long at most. [days]
    emc : float, optional
        Equilibrium moisture [fraction]; or else
    humidity : float, optional
        Relative humidity. [fraction]
    until : float
        Ends when the slab's mean moisture falls to this; 0 for by time alone. [fraction]
    film : float
        Times the surface exchange of moving air: `LOADED` in a kiln. [-]

    Raises
    ------
    BadValue
        Days not above 0; both or neither of `emc` and `humidity`; a moisture to stop at that this
        air never gets down to is allowed: the days end the phase.
    """
    if not 0 < days < float("inf"):
        raise BadValue(f"{name}.days", days, "more than 0 days", 'Write "30 days" or "6 weeks".')
    if (emc is None) == (humidity is None):
        raise BadValue(f"{name}.humidity", humidity, "given, or the equilibrium moisture, not both")
    moisture = float(rest(temperature, humidity)) if humidity is not None else emc
    if moisture is None or not 0 <= moisture < 1:
        raise BadValue(f"{name}.emc", emc, "a fraction from 0 to 1", 'Write "8 %".')
    if not 0 <= until < 3:
        raise BadValue(f"{name}.until", until, "a moisture content", 'Write "20 %".')
    one = np.ones(1)
    return Air(
        one * days, np.zeros(1, np.int64), one * temperature, one * moisture, one * until, one, one * film,
        (name,),
    )  # fmt: skip


def joined(airs: Sequence[Air]) -> Air:
    """Several phases, one after the other.

    Raises
    ------
    BadValue
        None given.
    """
    if not airs:
        raise BadValue("phases", "none", "at least one")
    offsets = np.cumsum([0, *(len(air.names) for air in airs[:-1])])
    phases = [air.phases + offset for air, offset in zip(airs, offsets, strict=True)]
    return Air(
        np.concatenate([air.ends for air in airs]),
        np.concatenate(phases),
        np.concatenate([air.temperature for air in airs]),
        np.concatenate([air.emc for air in airs]),
        np.concatenate([air.until for air in airs]),
        np.concatenate([air.pace for air in airs]),
        np.concatenate([air.film for air in airs]),
        tuple(name for air in airs for name in air.names),
        tuple(dict.fromkeys(remark for air in airs for remark in air.remarks)),
    )

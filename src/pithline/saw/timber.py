"""The few numbers of a species that a sawing plan needs."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Timber"]


@dataclass(frozen=True, slots=True)
class Timber:
    """Shrinkage and green weight of the wood to be sawn.

    Attributes
    ----------
    name : str
    radial, tangential : float
        Shrinkage from green to the aims' moisture. [fraction]
    density_low, density, density_high : float
        Green. [kg/m3]
    remarks : tuple of str
        Which of the numbers are guesses, and whose.
    """

    name: str
    radial: float
    tangential: float
    density_low: float
    density: float
    density_high: float
    remarks: tuple[str, ...] = ()

"""The few numbers of a species that a sawing plan needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from pithline.wood.density import green_density
from pithline.wood.facts import Species
from pithline.wood.shrinkage import fibre_saturation, shrinkage_to, totals

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
        Which of the numbers are guesses.
    """

    name: str
    radial: float
    tangential: float
    density_low: float
    density: float
    density_high: float
    remarks: tuple[str, ...] = ()

    @classmethod
    def of(cls, species: Species, moisture: float) -> Self:
        """The numbers of a species, for slabs to be dried to `moisture` [kg/kg].

        Raises
        ------
        BadValue
            A species whose density nobody knows.
        """
        total, weight = totals(species), green_density(species)
        point = fibre_saturation(species)
        radial, tangential = (
            float(shrinkage_to(each.mid, moisture, point)) for each in (total.radial, total.tangential)
        )
        remarks = []
        if total.guess:
            remarks.append(f"Shrinkage of {species.name} is a stand-in from its kin; dry sizes are a guess.")
        if weight.guess:
            remarks.append(f"Green weight of {species.name} is a guess: take the high figure for lifting.")
        return cls(species.name, radial, tangential, weight.low, weight.mid, weight.high, tuple(remarks))

"""What is known of stacked slabs, and what follows for the stack: the facts alone."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.dry.laying.bolsters import Bolsters
from pithline.dry.laying.steadiness import Steadiness
from pithline.wood.estimate import Estimate
from pithline.wood.facts import Species

__all__ = ["Known", "Lift", "Pace", "Reminder", "Standing"]


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of a slab besides its outline.

    Attributes
    ----------
    species : Species or None
    sealed : bool
        Its ends.
    weighed : bool
        Its mass was weighed, not reckoned.
    """

    species: Species | None = None
    sealed: bool = False
    weighed: bool = False


@dataclass(frozen=True, slots=True)
class Lift:
    """A slab to be lifted.

    Attributes
    ----------
    name : str
    mass, green : float or None
        Now and green, upper end; None where not known. [kg]
    people : int or None
        For the heavier of the two; None: no load for hands, or not known.
    """

    name: str
    mass: float | None
    green: float | None
    people: int | None

    @property
    def most(self) -> float | None:
        """The heavier of the two. [kg]"""
        known = [mass for mass in (self.mass, self.green) if mass]
        return max(known) if known else None


@dataclass(frozen=True, slots=True)
class Pace:
    """Largest safe daily loss of one wood and thickness.

    Attributes
    ----------
    wood : str
    thickness : float
        [m]
    loss : Estimate
        [fraction/day]
    """

    wood: str
    thickness: float
    loss: Estimate


@dataclass(frozen=True, slots=True)
class Reminder:
    """One thing to see to."""

    kind: str
    told: str
    source: str


@dataclass(frozen=True, slots=True)
class Standing:
    """What follows from a stack.

    Attributes
    ----------
    wood, extras, mass : float or None
        Of the slabs; of sticks, timbers and top weight; together. None where a slab's is unknown. [kg]
    load : float or None
        Over the area covered. [kg/m2]
    row_loads : tuple of float
        Each row of sticks, top weight and sticks included; empty where not known. [kg]
    bolsters : Bolsters or None
    bears : float or None
        What the floor bears. [kg/m2]
    steadiness : Steadiness
    top_weight : tuple of float
        That is aimed at, over the top layer. [kg]
    lifts : tuple of Lift
        From the bottom.
    paces : tuple of Pace
    reminders : tuple of Reminder
    """

    wood: float | None
    extras: float
    mass: float | None
    load: float | None
    row_loads: tuple[float, ...]
    bolsters: Bolsters | None
    bears: float | None
    steadiness: Steadiness
    top_weight: tuple[float, float]
    lifts: tuple[Lift, ...]
    paces: tuple[Pace, ...]
    reminders: tuple[Reminder, ...]

    @property
    def too_heavy(self) -> bool | None:
        """Whether the floor bears less than lies on it; None where either is not known."""
        if self.load is None or self.bears is None:
            return None
        return self.load > self.bears

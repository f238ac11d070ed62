"""A log on offer: where it lies, what is in the way, what it may be sold as."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.money.likely import Likely
from pithline.money.offered.by_products import ByProducts
from pithline.money.offered.drying_time import DryingAir, DryingTime
from pithline.money.offered.log_guess import LogGuess

__all__ = ["Call", "Lumber", "Removal"]


@dataclass(frozen=True, slots=True)
class Lumber:
    """The same wood edged and ripped into square-edged lumber.

    Attributes
    ----------
    price : float
        At the market, dry. [money/bf]
    hours : float
        To edge one slab. [h]
    """

    price: float
    hours: float


@dataclass(frozen=True, slots=True)
class Removal:
    """What it takes to get the log or its parts away unsawn.

    Attributes
    ----------
    hire : float or None
        Crane or winch with its driver and the truck; None where nobody has asked. [money]
    lifts : float or None
        What they can take at that reach. [kg]
    """

    hire: float | None
    lifts: float | None


@dataclass(frozen=True, slots=True)
class Call:
    """Everything about one offer but the log's own measures.

    Attributes
    ----------
    guess : LogGuess or None
        The log as said on the phone; None where it was measured.
    quality : str
    quality_factor : Likely
        What its slabs bring against your rates, which are for good ones. [fraction]
    distance : float
        By road, one way. [km]
    carry : float
        Log to vehicle, one way. [m]
    pace : float
        Carrying, there and back. [km/h]
    load : float
        That goes in one trip on foot or cart, all hands together. [kg]
    payload : float
        Of vehicle and trailer. [kg]
    people : int
        On the day.
    handling : Likely
        To load and unload one carrying trip. [h]
    set_up : Likely
        Metal search, levelling, rail, first cut. [h]
    asked : float
        By the owner. [money]
    realised : Likely
        Tally over plan. [fraction]
    price_level : Likely
        What the slabs will really bring against your rates. [fraction]
    downgraded : Likely
        Share of the slabs that drying spoils in part. [fraction]
    downgraded_brings : float
        What such a slab still brings. [fraction]
    sawing : Likely
        Sawing time against the mill's pace. [fraction]
    between : Likely
        Time between cuts against the mill's. [fraction]
    drying : DryingTime
        By the thickness; see `money.offered.dried` for a forecast.
    air : DryingAir or None
        Where the slabs dry; None where nobody said, or the time was said itself.
    selling : Likely
        From dry to sold. [month]
    work : Likely
        Hours for stacking, finishing, selling against your own. [fraction]
    by_products : ByProducts
    lumber : Lumber or None
    removal : Removal
    permission, tree_protection, plant_movement : bool
        Asked for and in order.
    """

    guess: LogGuess | None
    quality: str
    quality_factor: Likely
    distance: float
    carry: float
    pace: float
    load: float
    payload: float
    people: int
    handling: Likely
    set_up: Likely
    asked: float
    realised: Likely
    price_level: Likely
    downgraded: Likely
    downgraded_brings: float
    sawing: Likely
    between: Likely
    drying: DryingTime
    air: DryingAir | None
    selling: Likely
    work: Likely
    by_products: ByProducts
    lumber: Lumber | None
    removal: Removal
    permission: bool
    tree_protection: bool
    plant_movement: bool

    @property
    def ticks(self) -> tuple[tuple[bool, str], ...]:
        """What has to be asked before a yes, and whether it was ticked."""
        return (
            (self.permission, "the owner's written permission to take and saw the log"),
            (self.tree_protection, "tree protection: felling and removal allowed here, nests and season"),
            (self.plant_movement, "plant-movement rules: whether wood or bark may leave the area"),
        )

    @property
    def unticked(self) -> tuple[str, ...]:
        """What still has to be asked."""
        return tuple(what for ticked, what in self.ticks if not ticked)

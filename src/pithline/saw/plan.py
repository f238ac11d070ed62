"""The answer: what to cut, what comes of it, and how to set the rail."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.planned import Cut, PlannedSlab, RailSetup
from pithline.saw.rates import Rates
from pithline.saw.unsure import Doubt, Retake, Spread
from pithline.saw.wood_went import Ledger, LedgerLine, Worth

__all__ = [
    "Cut",
    "Doubt",
    "Ledger",
    "LedgerLine",
    "Ordered",
    "Plan",
    "PlannedSlab",
    "RailSetup",
    "Retake",
    "Spread",
    "Way",
    "Worth",
]


@dataclass(frozen=True, slots=True)
class Ordered:
    """What became of an order.

    Attributes
    ----------
    name : str
    wanted, cut : int
        Pieces, or pairs.
    cost : float
        What the best plan would gain if this order alone did not come first, at the
        plan's roll and pitch; in money or tally units.
    missing : str
        Why not all of it is cut; "" where it is.
    """

    name: str
    wanted: int
    cut: int
    cost: float
    missing: str = ""


@dataclass(frozen=True, slots=True)
class Way:
    """Another way to saw the same log, for comparison."""

    name: str
    net: float  # value less costs
    tally: float
    slabs: int
    cuts: int
    area: float  # [m2]
    minutes: float
    note: str = ""
    chosen: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """The whole answer of one reckoning.

    Attributes
    ----------
    roll, pitch : float
        [rad], [m/m]
    step, kerf : float
        The planner's grid, and the kerf rounded up to it. [m]
    doubts : tuple of Doubt
        What was assumed, the one worth most first.
    retakes : tuple of Retake
        What was measured, the one worth most to take again first; empty where nobody asked.
    orders : tuple of Ordered
    orders_cost : float
        What all orders together cost against the best plan where none comes first, at
        the roll and pitch that are best for it.
    value, cost, net : float
        Of all slabs; of all cuts and slabs; the difference, which was maximised.
    """

    shape: LogShape
    lie: Lie
    mill: Mill
    aims: Aims
    rates: Rates
    roll: float
    pitch: float
    step: float
    kerf: float
    cuts: tuple[Cut, ...]
    slabs: tuple[PlannedSlab, ...]
    value: float
    cost: float
    net: float
    ledger: Ledger
    setup: RailSetup
    net_spread: Spread | None = None
    tally_spread: Spread | None = None
    ways: tuple[Way, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    retakes: tuple[Retake, ...] = ()
    orders: tuple[Ordered, ...] = ()
    orders_cost: float = 0.0
    remarks: tuple[str, ...] = ()

    @property
    def money(self) -> bool:
        """Whether values are money; else they are tally units."""
        return bool(self.rates.currency)

    @property
    def tally(self) -> float:
        """Sum over the slabs, in the unit of the aims."""
        return sum(s.tally for s in self.slabs)

    @property
    def area(self) -> float:
        """Cut area. [m2]"""
        return sum(c.area for c in self.cuts)

    @property
    def minutes(self) -> float:
        """Sawing and handling of all cuts; turning the log over not. [min]"""
        return sum(c.minutes for c in self.cuts)

    @property
    def turns(self) -> int:
        """How often the log is turned over."""
        return sum(a.side != b.side for a, b in pairwise(self.cuts))

    @property
    def turning_minutes(self) -> float:
        """[min]"""
        return self.turns * self.mill.minutes_per_turn

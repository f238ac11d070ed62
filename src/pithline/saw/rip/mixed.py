"""What became of a log that is sawn for slabs and boards: each slab, and the ways beside each other."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.saw.plan import Plan, PlannedSlab
from pithline.saw.rip.boards import Boards, Rip

__all__ = ["Mixed", "RippedSlab", "Sawn"]


@dataclass(frozen=True, slots=True, eq=False)
class RippedSlab:
    """A slab of a plan, and what it would be as boards.

    Attributes
    ----------
    slab : PlannedSlab
        Its value is the larger one.
    rip : Rip
    as_slab : float
        What it brings unripped, before its own cost; 0 where it cannot be sold so. [money]
    ripped : bool
        Whether the boards bring more.
    """

    slab: PlannedSlab
    rip: Rip
    as_slab: float
    ripped: bool


@dataclass(frozen=True, slots=True)
class Sawn:
    """One way to saw the log, summed up. `value` before, `net` after all costs."""

    name: str
    net: float
    value: float
    slabs: int
    boards: int
    cuts: int
    roll: float  # [rad]
    chosen: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Mixed:
    """The log sawn for slabs and boards as each pays.

    Attributes
    ----------
    plan : Plan
        Of the mixed way; a slab that is ripped has the value of its boards.
    slabs : tuple of RippedSlab
    ways : tuple of Sawn
        Slabs alone, those same slabs with each ripped where that pays, boards alone, mixed.
    boards : Boards
        With the heart pieces' depths as the menu names them.
    """

    plan: Plan
    slabs: tuple[RippedSlab, ...]
    ways: tuple[Sawn, ...]
    boards: Boards

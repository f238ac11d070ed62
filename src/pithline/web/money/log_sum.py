"""What a log cost by the book, and how that is shared over its slabs in every way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pithline.money.cost.joint_cost import WAYS, share_joint_cost
from pithline.money.cost.joint_cost import Piece as Bearing
from pithline.money.cost.log_cost import log_cost
from pithline.web.money.beside import Beside, beside
from pithline.yard.cost_facts import major, spent_on
from pithline.yard.models import KilnLoad, Log, Size, Slab, Stack

if TYPE_CHECKING:
    from pithline.money.cost.costs import Costs
    from pithline.money.cost.joint_cost import Shares
    from pithline.money.cost.log_cost import LogCost
    from pithline.web.money.known_prices import Known
    from pithline.yard.cost_facts import Spent

__all__ = ["LogSum", "Shared", "cost_of", "log_sum", "own_hours", "volume_of"]


@dataclass(frozen=True, slots=True)
class Shared:
    """One slab's part of the log's cost: an amount by each of `joint_cost.WAYS`, None where it cannot be."""

    slab: Slab
    volume: float
    green: float
    final: float
    shares: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class LogSum:
    """A log's cost and its sharing.

    Attributes
    ----------
    made : LogCost
    spent : Spent
    shared : tuple of Shared
    beside : Beside
        By-products, which are taken off before the rest is shared.
    net : float
        What is shared. [money]
    ways : tuple of Shares
        Their remarks; empty where the log has no measured slab.
    unmeasured : tuple of str
        Slabs that bear nothing, as nobody measured them.
    """

    made: LogCost
    spent: Spent
    shared: tuple[Shared, ...]
    beside: Beside
    net: float
    ways: tuple[Shares, ...]
    unmeasured: tuple[str, ...]

    def share(self, slab: Slab, way: str) -> float | None:
        """One slab's share, None where it bears none or the way cannot be gone. [money]"""
        row = next((each for each in self.shared if each.slab.pk == slab.pk), None)
        return row.shares[WAYS.index(way)] if row else None


def cost_of(record: Log | Stack | KilnLoad | Slab, costs: Costs) -> tuple[LogCost, Spent]:
    """Hours, fuel and money that were written down for a record, added up."""
    spent = spent_on(record)
    return log_cost(spent.work, spent.money, costs), spent


def own_hours(costs: Costs, flattened: bool = False) -> float:
    """Hours still spent on one slab before it is sold: finishing and selling. [h]"""
    return (0.0 if flattened else costs.finish_hours) + costs.sell_hours


def volume_of(slab: Slab) -> float | None:
    """A slab's volume as it came off the saw, else as it is now. [m3]"""
    sizes = sorted(slab.sizes.all(), key=lambda size: (size.state != Size.State.GREEN, size.created_at))
    for size in sizes:
        if size.volume_m3:
            return float(size.volume_m3)
        if size.thickness_m and size.mean_width_m and size.length_m:
            return float(size.thickness_m * size.mean_width_m * size.length_m)
    return None


def log_sum(log: Log, costs: Costs, known: Known) -> LogSum:
    """Add up one log and share it.

    Notes
    -----
    Green and finished values are what a sale of such a piece brings by the book's prices; a slab that was
    sold, or has its price, is worth that. Still to be spent on each: stacking, finishing, selling at your
    wage, and the fee of its price. By-products come off first, at most what the log cost.
    """
    made, spent = cost_of(log, costs)
    bearing, slabs, unmeasured = [], [], []
    for slab in log.slabs.filter(suffix="").select_related("log", "sale").prefetch_related("sizes"):
        volume = volume_of(slab)
        if volume is None:
            unmeasured.append(slab.label)
            continue
        final = _final(slab, known)
        own = (costs.stack_hours + own_hours(costs)) * costs.wage + costs.sell_fee * final
        slabs.append(slab)
        bearing.append(Bearing.of(slab.label, volume, known.green(slab), final, own))
    found = beside(log, sum(piece.volume for piece in bearing)) if bearing else Beside()
    # Slabs are not given away because the firewood paid for the log.
    credit = min(found.total, made.total)
    ways = share_joint_cost(made.total, bearing, credit) if bearing else ()
    shared = tuple(
        Shared(
            slab,
            piece.volume,
            piece.green,
            piece.final,
            tuple(way.shares[n] if way.shares else None for way in ways),
        )
        for n, (slab, piece) in enumerate(zip(slabs, bearing, strict=True))
    )
    return LogSum(made, spent, shared, found, made.total - credit, ways, tuple(unmeasured))


def _final(slab: Slab, known: Known) -> float:
    sale = getattr(slab, "sale", None)
    if sale is not None:
        return major(sale.price_minor)
    return major(slab.asking_minor) if slab.asking_minor else known.finished(slab)

"""Other products of the same log: each thickness alone, square-edged lumber, slabs and lumber mixed."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.money.cost.costs import Costs
from pithline.money.market_boards import market_boards
from pithline.money.offered.call import Call
from pithline.money.offered.log import OfferedLog, Planner
from pithline.money.offered.log_sum import Doing, LogSum
from pithline.money.offered.ripped import PRODUCTS, planned_products
from pithline.money.offered.ways import Summing
from pithline.money.offered.yields import Yield, planned_yield
from pithline.saw.plan import Spread
from pithline.saw.spread import spread_of

__all__ = ["Mix", "Outcome", "mixes", "products"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Mix:
    """One choice of thicknesses. `tally` realised, in the unit of the aims; the rest money."""

    name: str
    tally: Spread
    brings: Spread
    profit: Spread


@dataclass(frozen=True, slots=True)
class Outcome:
    """One product of the log. Money."""

    name: str
    brings: Spread
    profit: Spread


def mixes(
    log: OfferedLog, x: dict[str, Floats], planner: Planner, here: LogSum, summing: Summing
) -> tuple[Mix, ...]:
    """The best mix, and every thickness of the menu alone.

    Notes
    -----
    The others are planned at few sizes. What they differ by from the best mix planned at those
    same sizes is put on what it comes to at all sizes, so that few sizes favour neither.
    """
    menu = [planner.aims.thicknesses, *((aim,) for aim in planner.aims.thicknesses)]
    names = ["the best mix", *(f"all {aim.label}" for aim in planner.aims.thicknesses)]
    if len(planner.aims.thicknesses) < 2:
        return (_mix(names[0], here, here, here),)

    def planned(shape: LogShape, lie: Lie) -> list[Yield]:
        alone = [replace(planner, aims=replace(planner.aims, thicknesses=each)) for each in menu]
        return [planned_yield(shape, lie, *each.all) for each in alone]

    best, *others = [summing(log.yields(grid, x), Doing()) for grid in log.grids(x, planner.aims, planned)]
    return (
        _mix(names[0], here, here, here),
        *(_mix(name, here, best, other) for name, other in zip(names[1:], others, strict=True)),
    )


def _mix(name: str, here: LogSum, best: LogSum, other: LogSum) -> Mix:
    return Mix(
        name,
        spread_of(here.tally + (other.tally - best.tally)),
        spread_of(here.income["slabs"] + (other.income["slabs"] - best.income["slabs"])),
        spread_of(here.profit + (other.profit - best.profit)),
    )


def products(
    call: Call,
    costs: Costs,
    log: OfferedLog,
    x: dict[str, Floats],
    planner: Planner,
    here: LogSum,
    summing: Summing,
) -> tuple[Outcome, ...]:
    """Live-edge slabs, square-edged lumber, and slab by slab the better of the two.

    Notes
    -----
    Each is planned for itself at few sizes, see `planned_products`, and set beside the slabs as in
    `mixes`. The plan weighs an hour of edging against prices at their middle quality and level.
    """
    if call.lumber is None:
        return ()
    boards = market_boards(call.lumber.price, planner.aims.unit)
    sold = call.quality_factor.mid * call.price_level.mid * call.realised.mid * (1 - costs.sell_fee)
    edging = call.lumber.hours * costs.wage / max(sold, 0.05)

    def planned(shape: LogShape, lie: Lie) -> tuple[Yield, ...]:
        return planned_products(shape, lie, *planner.all, boards, edging)

    grids = log.grids(x, planner.aims, planned)
    live, *others = [summing(log.yields(grid, x), Doing()) for grid in grids]
    middle = log.yields(grids[2], {name: np.array([figure.mid]) for name, figure in log.sizes.items()})
    edged, slabs = (round(float(np.sum(each))) for each in (middle.edged, middle.slabs))
    names = (PRODUCTS[1], f"{PRODUCTS[2]}: {edged} of {slabs} slabs edged")
    return (
        _outcome(PRODUCTS[0], here, live, live),
        *(_outcome(name, here, live, other) for name, other in zip(names, others, strict=True)),
    )


def _outcome(name: str, here: LogSum, live: LogSum, other: LogSum) -> Outcome:
    return Outcome(
        name,
        spread_of(_sold(here) + (_sold(other) - _sold(live))),
        spread_of(here.profit + (other.profit - live.profit)),
    )


def _sold(made: LogSum) -> Floats:
    return made.income["slabs"] + made.income["lumber"]

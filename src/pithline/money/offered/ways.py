"""Other ways to get the wood home: sawn where it lies, moved whole, parted and moved, left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.log.shape import LogShape
from pithline.log.weight import green_weight
from pithline.money.offered.call import Call, Removal
from pithline.money.offered.log import OfferedLog, Planner
from pithline.money.offered.log_sum import Doing, LogSum
from pithline.money.offered.yields import Yield, planned_yield
from pithline.saw.aims import PithRule
from pithline.saw.plan import Spread
from pithline.saw.spread import spread_of

__all__ = ["Summing", "WayOut", "ways_out"]

Floats = NDArray[np.float64]
Summing = Callable[[Yield, Doing], LogSum]


@dataclass(frozen=True, slots=True)
class WayOut:
    """One way to get the wood home.

    Attributes
    ----------
    name : str
    pieces : int
        That are moved; 0 where slabs are carried.
    weight : float
        Of the heaviest piece, on the safe side. [kg]
    profit : Spread
        Without a hire that nobody has asked for. [money]
    hours : Spread
        [h]
    most_hire : float or None
        What crane or winch may cost for the way to be as good as milling on the spot; None for ways
        that need none. [money]
    possible : bool
    note : str
    """

    name: str
    pieces: int
    weight: float
    profit: Spread
    hours: Spread
    most_hire: float | None
    possible: bool
    note: str = ""


def ways_out(
    log: OfferedLog,
    planner: Planner,
    call: Call,
    interest: float,
    made: Yield,
    here: LogSum,
    summing: Summing,
) -> tuple[WayOut, ...]:
    """Mill where it lies, move it whole, halve it, quarter it, leave it.

    Parameters
    ----------
    log : OfferedLog
    planner : Planner
    call : Call
    interest : float
        A year. [fraction]
    made : Yield
        Of the draws, milled where the log lies.
    here : LogSum
        Of the same.
    summing : callable
        From yields and a `Doing` to the sum.

    Notes
    -----
    What the parting cuts and the turning at home do to the slabs' value is planned exactly for the
    middle log, and taken as the same share for every draw. Halves are sawn parallel to the parting
    cut, quarters too, so that no slab is wider than half the log there.
    """
    shape, lie = log.middle.to_shape(), log.middle.lie()
    whole = green_weight(shape, log.middle.species).high
    mill = planner.mill
    plain = planned_yield(shape, lie, mill, planner.aims, planner.rates, planner.timber)

    def share(pith: PithRule, of: LogShape, times: int) -> float:
        aims = replace(planner.aims, both_sides=True, pith=pith)
        other = planned_yield(of, lie, mill, aims, planner.rates, planner.timber)
        return times * other.value / plain.value if plain.value > 0 else 0.0

    half = _half(shape, mill.kerf)
    across = float(2 * np.abs(shape.over_bark()[..., 0]).max())
    cut = across * shape.length
    found = [
        WayOut(
            "mill it where it lies",
            0,
            plain.heaviest * planner.timber.density_high,
            spread_of(here.profit),
            spread_of(here.total_hours),
            None,
            plain.slabs > 0,
            "the heaviest slab is what has to be carried",
        )
    ]
    through = PithRule.THROUGH
    parted = (
        ("move it whole", 1, share(planner.aims.pith, shape, 1), 0.0, "sawn at home, where it can be turned"),
        (
            "halve it with the rail",
            2,
            share(through, shape, 1),
            cut,
            "parted through the pith, halves hauled",
        ),
        ("quarter it with the rail", 4, share(through, half, 2), 2 * cut, "slabs half as wide"),
    )
    fits = across + mill.clearance <= mill.usable
    for name, pieces, value, area, note in parted:
        weight = whole / pieces
        reasons = _hindrances(weight, call.removal, area > 0 and not fits)
        hire = call.removal.hire or 0.0
        moved = summing(made, Doing(carries=False, at_home=True, hire=hire, extra_area=area, value=value))
        profit = spread_of(moved.profit)
        # A hire is paid on the day and tied up till the sale, as what is left over is not.
        growth = float((1 + interest) ** (np.median(moved.months) / 12))
        most = max((profit.p50 - found[0].profit.p50) / growth + hire, 0.0)
        found.append(
            WayOut(
                name,
                pieces,
                weight,
                profit,
                spread_of(moved.total_hours),
                most,
                not reasons,
                "; ".join([note, *reasons]),
            )
        )
    nothing = Spread(0.0, 0.0, 0.0)
    found.append(WayOut("leave it", 0, 0.0, nothing, nothing, None, True, "the day is free for another log"))
    return tuple(found)


def _hindrances(weight: float, removal: Removal, too_wide: bool) -> list[str]:
    found = []
    if removal.lifts is not None and weight > removal.lifts:
        found.append("heavier than the gear takes")
    if too_wide:
        found.append("the parting cut is wider than the bar")
    return found


def _half(shape: LogShape, kerf: float) -> LogShape:
    """The right half of a log parted upright through the pith.

    Points left of the cut are moved onto it: for an outline without bays that is the cut-off
    polygon, but for the kerf's rise over a round log, a tenth of a millimetre.
    """
    outlines = np.array(shape.outlines)
    outlines[..., 0] = np.maximum(outlines[..., 0], kerf / 2)
    return LogShape(shape.z, outlines, shape.bark, None, shape.zones)

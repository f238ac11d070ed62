"""What a load cost, shared among its slabs by the room and the days each took; the air is named."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pithline.dry.laying.charge import Charge
from pithline.errors import BadValue

__all__ = ["SpaceShare", "air_share", "shared"]


@dataclass(frozen=True, slots=True)
class SpaceShare:
    """One slab's part of a load.

    Attributes
    ----------
    name : str
    days : float
        It took of the kiln. [d]
    share : float
        Of the load's room and days. [fraction]
    cost : float
        Its share of what the load cost.
    wood_cost : float
        What it would pay if only wood cost: its own volume for its days, of the whole room for all days.
    air_cost : float
        The rest: air beside it, sticks above it, height that stayed empty, days after it was ready.
    """

    name: str
    days: float
    share: float
    cost: float
    wood_cost: float
    air_cost: float


def shared(
    charge: Charge, cost: float, days: float, taken: Mapping[str, float] | None = None
) -> tuple[SpaceShare, ...]:
    """Share a load's cost by space and days.

    Parameters
    ----------
    charge : Charge
    cost : float
        Of the load, in any currency.
    days : float
        The load ran. [d]
    taken : mapping of str to float, optional
        Days that a slab took, where it left the kiln before the end. [d]

    Returns
    -------
    tuple of SpaceShare
        In the order of the layers; costs add up to `cost`.

    Raises
    ------
    BadValue
        A cost or days that cannot be, a slab that took longer than the load, an empty load.

    Notes
    -----
    The room of a layer is its height, sticks included, over the whole floor: a slab that
    leaves the floor beside it empty pays for that too. A layer's room is split by the area
    each slab covers, times its days; height that no layer takes is shared by all alike.
    """
    if not 0 <= cost < 1e9:  # NaN fails here too
        raise BadValue("cost", cost, "0 or more")
    if not 0 < days < 1e4:
        raise BadValue("days", days, "more than 0")
    if not charge.layers:
        raise BadValue("charge", "empty", "a load with slabs in it")
    own = dict(taken or {})
    rows: list[tuple[str, float, float, float]] = []  # name, days, room, wood
    for layer in charge.layers:
        area = sum(laid.slab.area for laid in layer.slabs)
        for laid in layer.slabs:
            slab = laid.slab
            its = own.get(slab.name, days)
            if not 0 < its <= days:
                raise BadValue(f"{slab.name}.days", its, f"more than 0 and at most the load's {days:g}")
            rows.append((slab.name, its, layer.height * slab.area / area, slab.area * slab.thickness))
    whole = sum(room * its for _, its, room, _ in rows)
    told = []
    for name, its, room, wood in rows:
        share = room * its / whole
        wood_cost = cost * wood * its / (charge.room.volume * days)
        told.append(SpaceShare(name, its, share, cost * share, wood_cost, cost * share - wood_cost))
    return tuple(told)


def air_share(shares: Sequence[SpaceShare]) -> float:
    """Part of a load's cost that was paid for air. [fraction]"""
    cost = sum(one.cost for one in shares)
    return sum(one.air_cost for one in shares) / cost if cost else 0.0

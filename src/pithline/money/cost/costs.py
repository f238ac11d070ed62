"""What an hour, a kilometre and a month cost one sawyer: from five answers and what stands behind them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pithline.money.cost.machine_rate import Machine, MachineRate, machine_rate

__all__ = ["Costs", "OverheadKey"]


class OverheadKey(StrEnum):
    """By what the month's overhead is shared."""

    HOURS = "hours"
    VOLUME = "volume"
    VALUE = "value"
    SLABS = "slabs"
    SPACE = "space and months"


@dataclass(frozen=True, slots=True)
class Costs:
    """One sawyer's own costs.

    Attributes
    ----------
    currency : str
    saw : Machine
        Saw and frame without the person.
    wage : float
        One person, with what comes on top of it. [money/h]
    day : float
        Hours that are paid in a day. [h]
    per_km : float
        Vehicle, all in. [money/km]
    speed : float
        On the road, door to log. [km/h]
    space : float
        Of the room that stickered wood takes. [money/m3 and month], per m3 of wood
    interest : float
        On money tied up, a year. [fraction]
    loss : float
        Stock lost in a year to fire, theft, insects. [fraction]
    overhead : float
        [money/month]
    overhead_key : OverheadKey
    sell_fee : float
        Of the price. [fraction]
    sell_hours, finish_hours, stack_hours : float
        Photo, listing, calls and loading; flattening and repair; stickering. [h/slab]
    """

    currency: str
    saw: Machine
    wage: float
    day: float
    per_km: float
    speed: float
    space: float
    interest: float
    loss: float
    overhead: float
    overhead_key: OverheadKey
    sell_fee: float
    sell_hours: float
    finish_hours: float
    stack_hours: float

    @property
    def saw_rate(self) -> MachineRate:
        """The saw's hour, step by step; no labour in it."""
        return machine_rate(self.saw)

    @property
    def month_share(self) -> float:
        """Interest and loss of one month, of the money that lies in a slab. [fraction/month]"""
        return (self.interest + self.loss) / 12

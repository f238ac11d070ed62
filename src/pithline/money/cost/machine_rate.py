"""What an hour of a machine costs, by the method that forestry has used for fifty years."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from pithline.errors import BadValue
from pithline.money.cost.depreciation import average_investment, straight_line
from pithline.money.cost.fuel import litres_per_hour

__all__ = ["Machine", "MachineRate", "machine_rate", "unit_cost", "years_from_hours"]

# Tyres and the like are mended besides being bought: 15 % on top (Miyata 1980, from memory).
_MENDING = 1.15


@dataclass(frozen=True, slots=True)
class Machine:
    """What was paid for a machine, how it is used, and what it eats.

    Attributes
    ----------
    price, salvage : float
        Delivered; still worth at the end. [money]
    years : float
        Of use.
    scheduled : float
        Hours a year that are paid or planned. [h/year]
    utilisation : float
        Share of them in which it works. [fraction]
    interest, insurance, tax : float
        A year, on the average investment. [fraction]
    power, load, specific, density : float
        See `fuel.litres_per_hour`. [kW, fraction, kg/kWh, kg/l]
    fuel_price : float
        [money/l]
    lube : float
        Oils and grease. [fraction of the fuel's cost]
    repair : float
        [fraction of depreciation]
    consumables : float
        Chains, bars, files. [money per productive hour]
    wear_set, wear_life : float
        Bought with the machine, worn out by the hour: tyres. [money, productive hours]
    wage : float
        [money per scheduled hour]
    on_cost : float
        Social insurance, holidays. [fraction of the wage]
    """

    price: float
    salvage: float
    years: float
    scheduled: float
    utilisation: float
    interest: float = 0.0
    insurance: float = 0.0
    tax: float = 0.0
    power: float = 0.0
    load: float = 1.0
    specific: float = 0.0
    density: float = 1.0
    fuel_price: float = 0.0
    lube: float = 0.0
    repair: float = 0.0
    consumables: float = 0.0
    wear_set: float = 0.0
    wear_life: float = 1.0
    wage: float = 0.0
    on_cost: float = 0.0

    @classmethod
    def of(cls, **values: float) -> Self:
        """The same, checked.

        Raises
        ------
        BadValue
            A negative figure, no hours, or a utilisation that is no share.
        """
        made = cls(**values)
        for name, value in values.items():
            if not value >= 0:
                raise BadValue(name, value, "0 or more")
        if not made.scheduled > 0:
            raise BadValue("scheduled hours", made.scheduled, "more than 0 a year")
        if not 0 < made.utilisation <= 1:
            raise BadValue("utilisation", made.utilisation, "more than 0 and at most 1 (100 %)")
        if not (made.density > 0 and made.wear_life > 0):
            raise BadValue("density and wear life", (made.density, made.wear_life), "more than 0")
        return made


@dataclass(frozen=True, slots=True)
class MachineRate:
    """Every step of the sum.

    Attributes
    ----------
    hours : float
        Productive. [h/year]
    depreciation, interest, insurance, tax, fixed : float
        [money/year]
    investment : float
        Average. [money]
    fixed_scheduled, fixed_productive : float
        [money/h]
    litres, fuel, lube, repair, wear, consumables, operating : float
        Per productive hour. [l/h, money/h]
    labour : float
        [money per scheduled hour]
    per_scheduled, per_productive : float
        All in: per hour paid, per hour in which it works. [money/h]
    """

    hours: float
    depreciation: float
    investment: float
    interest: float
    insurance: float
    tax: float
    fixed: float
    fixed_scheduled: float
    fixed_productive: float
    litres: float
    fuel: float
    lube: float
    repair: float
    wear: float
    consumables: float
    operating: float
    labour: float
    per_scheduled: float
    per_productive: float


def machine_rate(machine: Machine) -> MachineRate:
    """What an hour of this machine costs.

    Parameters
    ----------
    machine : Machine

    Returns
    -------
    MachineRate
        `per_productive` is `per_scheduled` / utilisation.

    References
    ----------
    .. [1] Miyata, *Determining fixed and operating costs of logging equipment*, USDA Forest
       Service, General Technical Report NC-55, 1980 (formulas from memory).
    .. [2] FAO, *Cost control in forest harvesting and road construction*, Forestry Paper 99, 1992,
       ch. 3 (opening read: fixed, operating, labour; unit cost = rate/production).
    """
    m = machine
    hours = m.scheduled * m.utilisation
    depreciation = straight_line(m.price, m.salvage, m.years, m.wear_set)
    investment = average_investment(m.price, m.salvage, m.years)
    interest, insurance, tax = (share * investment for share in (m.interest, m.insurance, m.tax))
    fixed = depreciation + interest + insurance + tax
    litres = litres_per_hour(m.power, m.load, m.specific, m.density)
    fuel = litres * m.fuel_price
    lube = m.lube * fuel
    repair = m.repair * depreciation / hours
    wear = _MENDING * m.wear_set / m.wear_life
    operating = fuel + lube + repair + wear + m.consumables
    labour = m.wage * (1 + m.on_cost)
    return MachineRate(
        hours=hours,
        depreciation=depreciation,
        investment=investment,
        interest=interest,
        insurance=insurance,
        tax=tax,
        fixed=fixed,
        fixed_scheduled=fixed / m.scheduled,
        fixed_productive=fixed / hours,
        litres=litres,
        fuel=fuel,
        lube=lube,
        repair=repair,
        wear=wear,
        consumables=m.consumables,
        operating=operating,
        labour=labour,
        per_scheduled=fixed / m.scheduled + m.utilisation * operating + labour,
        per_productive=fixed / hours + operating + labour / m.utilisation,
    )


def unit_cost(per_hour: float, made_per_hour: float) -> float:
    """Cost of one unit: FAO Forestry Paper 99, 1992, ch. 3 (read). [money/unit]

    >>> unit_cost(60, 100)
    0.6
    """
    if not made_per_hour > 0:
        raise BadValue("made per hour", made_per_hour, "more than 0")
    return per_hour / made_per_hour


def years_from_hours(life: float, scheduled: float, utilisation: float) -> float:
    """Years that a machine lasts which wears out by working, not by standing.

    Parameters
    ----------
    life : float
        Productive hours in it. [h]
    scheduled, utilisation : float
        [h/year, fraction]

    References
    ----------
    Sessions, Berry & Han, *Machine rate estimates and equipment utilization: a modified approach*,
    Croatian Journal of Forest Engineering 42(3), 2021 (abstract read; the formula is our reading of it).
    """
    if not (life > 0 and scheduled > 0 and 0 < utilisation <= 1):
        raise BadValue("life, hours, utilisation", (life, scheduled, utilisation), "more than 0")
    return life / (scheduled * utilisation)

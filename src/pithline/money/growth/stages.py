"""From log to sale in stages: what lies in the yard, what a kiln can take, which stage holds up the rest."""

from __future__ import annotations

from collections.abc import Mapping

from pithline.errors import BadValue

__all__ = [
    "carrying_cost",
    "kiln_capacity",
    "queue_days",
    "stock_of",
    "throughput",
    "time_in",
    "yard_area",
]


def stock_of(inflow: float, months: float) -> float:
    """What lies there on average, by Little's law: inflow times time.

    Parameters
    ----------
    inflow : float
        [bf/month], or any unit.
    months : float

    References
    ----------
    .. [1] Little, J. D. C., Graves, S. C., *Little's Law*, in Building Intuition, Springer, 2008.
    """
    _positive(inflow=inflow, months=months)
    return inflow * months


def time_in(stock: float, inflow: float) -> float:
    """How long a piece lies there on average, by Little's law. [month]"""
    _positive(stock=stock, inflow=inflow)
    return stock / inflow


def carrying_cost(cost: float, rate: float, months: float) -> float:
    """Interest on a board foot while it dries, simple. [money/bf]

    Parameters
    ----------
    cost : float
        What lies in it. [money/bf]
    rate : float
        [fraction/year]
    months : float
    """
    _positive(cost=cost, months=months)
    if not 0 <= rate <= 1:
        raise BadValue("rate", f"{rate:.0%}", "from 0 % to 100 % a year")
    return cost * rate * months / 12


def yard_area(stock: float, stacked: float, aisles: float) -> float:
    """Ground that the stock needs. [m2]

    Parameters
    ----------
    stock : float
        [bf]
    stacked : float
        On a square metre of stack. [bf/m2]
    aisles : float
        Ground over stacks: 2 where as much is aisle.
    """
    _positive(stock=stock, stacked=stacked)
    if not aisles >= 1:
        raise BadValue("aisles", aisles, "1 or more: the stacks' own ground is in it")
    return stock / stacked * aisles


def kiln_capacity(charge: float, drying: float, turn_round: float, operating: float) -> float:
    """What a kiln can dry in a year. [bf/year]

    Parameters
    ----------
    charge : float
        [bf]
    drying, turn_round : float
        Days in the kiln, and between two loads. [days]
    operating : float
        Days a year in which it runs. [days/year]
    """
    _positive(charge=charge, drying=drying, operating=operating)
    if not 0 <= turn_round < float("inf"):
        raise BadValue("turn round", turn_round, "0 or more days between two loads")
    if not operating <= 366:
        raise BadValue("operating", operating, "366 days a year at most")
    return charge * operating / (drying + turn_round)


def queue_days(utilisation: float, cycle: float) -> float:
    """How long a load waits on average before one kiln. [days]

    Parameters
    ----------
    utilisation : float
        Demand over capacity, under 1. [fraction]
    cycle : float
        Of a load, with its turn-round. [days]

    Raises
    ------
    BadValue
        As much or more comes than it can dry: the queue has no end.

    Notes
    -----
    M/D/1, Pollaczek and Khinchine, from memory: rho/(2 (1 - rho)) times the cycle. Loads come by
    chance; by a plan of your own they wait less.
    """
    _positive(cycle=cycle)
    if not 0 <= utilisation < 1:
        remedy = "A queue before it grows without end."
        raise BadValue("utilisation", f"{utilisation:.0%}", "from 0 % to under 100 %", remedy)
    return utilisation / (2 * (1 - utilisation)) * cycle


def throughput(capacities: Mapping[str, float]) -> tuple[str, float]:
    """The stage that holds up all others, and what passes it.

    Parameters
    ----------
    capacities : mapping of stage to capacity
        All in one unit. [bf/year]

    Raises
    ------
    BadValue
        No stage, or one that can do nothing.
    """
    if not capacities:
        raise BadValue("stages", "none", "one or more", 'Write "kiln: 7200 bf".')
    _positive(**capacities)
    name = min(capacities, key=lambda stage: capacities[stage])
    return name, capacities[name]


def _positive(**figures: float) -> None:
    for name, value in figures.items():
        if not 0 < value < float("inf"):
            raise BadValue(name.replace("_", " "), value, "more than 0")

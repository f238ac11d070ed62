"""What a log really cost: the hours, fuel and kilometres that were written down, and the money spent."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Self

from pithline.errors import BadValue
from pithline.money.cost.costs import Costs

__all__ = ["LogCost", "Work", "log_cost"]


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work on a log.

    Attributes
    ----------
    what : str
    hours : float
        Of each person. [h]
    people : int
    saw_hours : float or None
        That the engine ran; None where nobody looked. [h]
    litres : float or None
        Fuel. [l]
    distance : float
        Driven, there and back. [km]
    """

    what: str
    hours: float
    people: int = 1
    saw_hours: float | None = None
    litres: float | None = None
    distance: float = 0.0

    @classmethod
    def of(
        cls,
        what: str,
        hours: float,
        people: int = 1,
        saw_hours: float | None = None,
        litres: float | None = None,
        distance: float = 0.0,
    ) -> Self:
        """Check.

        Raises
        ------
        BadValue
            A figure below 0, or nobody at work.
        """
        for name, value in (
            ("hours", hours),
            ("saw hours", saw_hours),
            ("fuel", litres),
            ("distance", distance),
        ):
            if value is not None and not value >= 0:
                raise BadValue(f"{what} {name}", value, "0 or more")
        if people < 1:
            raise BadValue(f"{what} people", people, "1 or more")
        return cls(what, hours, people, saw_hours, litres, distance)


@dataclass(frozen=True, slots=True)
class LogCost:
    """The joint cost of one log.

    Attributes
    ----------
    lines : tuple of (what, amount)
        [money]
    total : float
        To be shared over its slabs. [money]
    hours : float
        All hands added. [h]
    guesses : tuple of str
        What was not written down and had to be taken from elsewhere.
    """

    lines: tuple[tuple[str, float], ...]
    total: float
    hours: float
    guesses: tuple[str, ...]


def log_cost(work: Sequence[Work], spent: Mapping[str, float], costs: Costs) -> LogCost:
    """Add up a log from what was written down.

    Parameters
    ----------
    work : sequence of Work
    spent : mapping
        Paid for it: the log itself, a crane, stickers. Not fuel or chains, which are in the work. [money]
    costs : Costs

    Returns
    -------
    LogCost

    Notes
    -----
    The saw's hour holds what it wears and eats; where the fuel was measured, that counts in place of
    the reckoned one, with its oil. Where only the fuel was, the saw ran as long as it takes to burn it.
    """
    rate = costs.saw_rate
    wear = rate.fixed_productive + rate.repair + rate.consumables + rate.wear
    each_litre = costs.saw.fuel_price * (1 + costs.saw.lube)
    lines: dict[str, float] = {}
    guesses = []

    def add(name: str, amount: float) -> None:
        if amount:
            lines[name] = lines.get(name, 0.0) + amount

    for one in work:
        add(f"labour: {one.what}", one.hours * one.people * costs.wage)
        add("driving", one.distance * costs.per_km)
        ran, litres = one.saw_hours, one.litres
        if ran is None and litres:
            ran = litres / rate.litres if rate.litres > 0 else 0.0
            guesses.append(f"{one.what}: saw hours from {litres:g} l at {rate.litres:.2f} l an hour")
        elif ran and litres is None:
            litres = ran * rate.litres
            guesses.append(f"{one.what}: fuel reckoned, {litres:.1f} l")
        add("saw: wear, repair, chains", (ran or 0.0) * wear)
        add("saw: fuel and oil", (litres or 0.0) * each_litre)
    for what, amount in spent.items():
        if not amount >= 0:
            raise BadValue(what, amount, "0 or more")
        add(what, amount)
    return LogCost(
        tuple(lines.items()),
        sum(lines.values()),
        sum(one.hours * one.people for one in work),
        tuple(guesses),
    )

"""Is this log worth it? From a phone call or a record to the whole answer."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.log.record import LogRecord
from pithline.money.cost.costs import Costs
from pithline.money.doubt import Swing, swings
from pithline.money.offered.call import Call
from pithline.money.offered.drying_time import DryingTime
from pithline.money.offered.log import OfferedLog, Planner
from pithline.money.offered.log_sum import Doing, LogSum, doubtful, log_sum
from pithline.money.offered.products import Mix, Outcome, mixes, products
from pithline.money.offered.reasons import reasons_of
from pithline.money.offered.verdict import Verdict, verdict
from pithline.money.offered.ways import WayOut, ways_out
from pithline.money.offered.yields import Yield
from pithline.saw.plan import Spread
from pithline.saw.rates import Rates
from pithline.saw.spread import spread_of
from pithline.slab.tallying import volume_unit
from pithline.units import BOARD_FOOT, System

__all__ = ["DRAWS", "SURE", "Worth", "worth"]

Floats = NDArray[np.float64]
DRAWS = 2000
SURE = 0.75
"""The chance of gain that a plain yes asks for; a setting."""


@dataclass(frozen=True, slots=True, eq=False)
class Worth:
    """The whole answer. Spreads are 10, 50 and 90 % of the guesses.

    Attributes
    ----------
    log : OfferedLog
    planned : Yield
        Of the middle log.
    tally : Spread
        Really tallied. [unit of the aims]
    board_feet : Spread
    hours, costs, income : tuple of (name, Spread)
        Line by line. [h, money]
    total_hours, total_costs, total_income, profit : Spread
    per_hour : Spread
        Profit for an hour of all hands' work; the wage is paid already. [money/h]
    earned_per_hour : Spread
        Profit and wage together. [money/h]
    per_board_foot : Spread
        [money/bf]
    days, trips, months : Spread
    to_owner : Spread
        What could be paid for the log on the day for a profit of nothing. [money]
    most_to_owner : float
        At which the chance of gain is still `sure`; 0 where it never is. [money]
    owner_share : float
        Of what the wood brings, that could be promised instead, with the same chance. [fraction]
    doubts : tuple of Swing
        The largest first.
    mixes, products, ways
        See `money.offered.products` and `money.offered.ways`.
    verdict : Verdict
    drying : DryingTime
        As it was taken.
    """

    log: OfferedLog
    planned: Yield
    tally: Spread
    board_feet: Spread
    hours: tuple[tuple[str, Spread], ...]
    costs: tuple[tuple[str, Spread], ...]
    income: tuple[tuple[str, Spread], ...]
    total_hours: Spread
    total_costs: Spread
    total_income: Spread
    profit: Spread
    per_hour: Spread
    earned_per_hour: Spread
    per_board_foot: Spread
    days: Spread
    trips: Spread
    months: Spread
    to_owner: Spread
    most_to_owner: float
    owner_share: float
    doubts: tuple[Swing, ...]
    mixes: tuple[Mix, ...]
    products: tuple[Outcome, ...]
    ways: tuple[WayOut, ...]
    verdict: Verdict
    drying: DryingTime


def worth(
    call: Call,
    costs: Costs,
    planner: Planner,
    rng: np.random.Generator,
    record: LogRecord | None = None,
    *,
    draws: int = DRAWS,
    sure: float = SURE,
    system: System = "metric",
) -> Worth:
    """Judge a log on offer.

    Parameters
    ----------
    call : Call
    costs : Costs
    planner : Planner
        Its rates are for good slabs, dry. Where they name no cost, the plan takes those of `costs`
        for cutting, carrying and drying, so that it does not saw for free.
    rng : numpy.random.Generator
    record : LogRecord, optional
        The log as measured; needed where the call holds no guess of it.
    draws : int
    sure : float
        See `SURE`.
    system : {"metric", "inch"}

    Returns
    -------
    Worth

    Notes
    -----
    Girth, length and taper make one log each draw, from which tally, area, weight and hours all come.
    Every other doubtful figure is drawn on its own: that a rough log also dries worse is not in it.
    """
    log = OfferedLog.measured(record, rng) if record is not None else _told(call)
    planner = replace(planner, rates=_with_costs(planner, costs, call))
    figures = {**log.sizes, **doubtful(call)}
    unit = volume_unit(planner.aims.unit)
    x = {name: figure.at(rng.standard_normal(draws)) for name, figure in figures.items()}
    grid = log.grid(x, planner)

    def sum_of(made: Yield, at: dict[str, Floats], doing: Doing) -> LogSum:
        return log_sum(made, at, call, costs, planner.mill, planner.timber.density, doing)

    def summing(made: Yield, doing: Doing) -> LogSum:
        return sum_of(made, x, doing)

    made = log.yields(grid, x)
    here = summing(made, Doing())
    doubts = swings(figures, lambda at: sum_of(log.yields(grid, at), at, Doing()).profit)
    profit, hours = spread_of(here.profit), here.total_hours
    feet = here.tally * unit / BOARD_FOOT
    chance = float(np.mean(here.profit > 0))
    ways = ways_out(log, planner, call, costs.interest, made, here, summing)
    others = mixes(log, x, planner, here, summing)
    one = {name: np.array([figure.mid]) for name, figure in figures.items()}
    planned = log.yields(grid, one)
    middle = Yield(*(float(getattr(planned, name)[0]) for name in Yield.__slots__))
    currency = planner.rates.currency
    reasons = reasons_of(call, middle, here, ways, others, planner, currency, system)
    keeps = here.total_income - here.costs["fees"] - here.costs["loss"]
    # A chance of `sure` at zero profit is the quantile that so many guesses pass.
    most = max(float(np.quantile(here.to_owner, 1 - sure)), 0.0)
    before_owner = here.profit + here.costs["owner"]
    ratio = np.where(keeps > 0, before_owner / np.where(keeps > 0, keeps, 1.0), 0.0)
    return Worth(
        log=log,
        planned=middle,
        tally=spread_of(here.tally),
        board_feet=spread_of(feet),
        hours=tuple((name, spread_of(each)) for name, each in here.hours.items()),
        costs=tuple((name, spread_of(each)) for name, each in here.costs.items()),
        income=tuple((name, spread_of(each)) for name, each in here.income.items()),
        total_hours=spread_of(hours),
        total_costs=spread_of(here.total_costs),
        total_income=spread_of(here.total_income),
        profit=profit,
        per_hour=spread_of(_per(here.profit, hours)),
        earned_per_hour=spread_of(_per(here.profit + here.costs["labour"], hours)),
        per_board_foot=spread_of(_per(here.profit, feet)),
        days=spread_of(here.days),
        trips=spread_of(here.trips),
        months=spread_of(here.months),
        to_owner=spread_of(here.to_owner),
        most_to_owner=most,
        owner_share=min(max(float(np.quantile(ratio, 1 - sure)), 0.0), 1.0),
        doubts=doubts,
        mixes=others,
        products=products(call, costs, log, x, planner, here, summing),
        ways=ways,
        verdict=verdict(profit, chance, sure, call.unticked, doubts, reasons, currency),
        drying=call.drying,
    )


def _told(call: Call) -> OfferedLog:
    from pithline.errors import BadValue

    if call.guess is None:
        raise BadValue("log", "missing", "measured, or told of", "Say species, girth and length.")
    return OfferedLog.told(call.guess)


def _with_costs(planner: Planner, costs: Costs, call: Call) -> Rates:
    rates = planner.rates
    if rates.per_cut_area or rates.per_slab or rates.per_kg or rates.per_month:
        return rates
    minutes = planner.mill.minutes_per_area
    hourly = costs.saw_rate.per_productive + costs.wage
    own = costs.stack_hours + costs.sell_hours + costs.finish_hours
    inch, power = call.drying.power()
    trip = call.handling.mid + 2 * call.carry / 1000 / call.pace
    return replace(
        rates,
        per_cut_area=hourly * minutes / 60,
        per_slab=own * costs.wage,
        per_kg=trip * call.people * costs.wage / call.load,
        per_month=costs.space,
        inch_months=inch,
        months_power=power,
    )


def _per(money: Floats, of: Floats) -> Floats:
    return np.asarray(np.divide(money, of, out=np.zeros_like(money), where=of > 0))

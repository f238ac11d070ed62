"""One log's whole sum: hours, costs and income, for one guess or for thousands at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.money.cost.costs import Costs
from pithline.money.likely import Likely
from pithline.money.offered.by_products import BY_PRODUCTS, by_products
from pithline.money.offered.call import Call
from pithline.money.offered.yields import Yield
from pithline.saw.mill import Mill

__all__ = ["COSTS", "HOURS", "INCOME", "Doing", "LogSum", "doubtful", "log_sum"]

Floats = NDArray[np.float64]

HOURS = ("drive", "set-up", "cutting", "between cuts", "carrying", "stacking", "selling")
COSTS = (
    "saw, fuel, chains",
    "labour",
    "driving",
    "hire",
    "room",
    "money tied up",
    "loss",
    "fees",
    "overhead",
    "owner",
)
INCOME = ("slabs", "lumber", *BY_PRODUCTS)


@dataclass(frozen=True, slots=True)
class Doing:
    """How the log is worked on; the plain way is to mill it where it lies.

    Attributes
    ----------
    carries : bool
        Slab by slab on foot to the vehicle.
    at_home : bool
        Sawn at home: driven once, set up on one's own bearers.
    hire : float
        [money]
    extra_area : float
        Of cuts that part the log before it is moved. [m2]
    value : float
        Of the slabs, against those sawn where the log lies. [fraction]
    """

    carries: bool = True
    at_home: bool = False
    hire: float = 0.0
    extra_area: float = 0.0
    value: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class LogSum:
    """What a log comes to; every entry of shape (draws,).

    Attributes
    ----------
    hours : dict
        By the names of `HOURS`, all hands added. [h]
    costs : dict
        By the names of `COSTS`. [money]
    income : dict
        By the names of `INCOME`. [money]
    tally : ndarray
        Really tallied. [unit of the aims]
    trips, days, months : ndarray
        Carrying trips; days at the log; from the saw to the sale.
    profit : ndarray
        Income less all costs, one's own wage among them. [money]
    to_owner : ndarray
        What could be paid for the log, on the day, for a profit of nothing. [money]
    """

    hours: dict[str, Floats]
    costs: dict[str, Floats]
    income: dict[str, Floats]
    tally: Floats
    trips: Floats
    days: Floats
    months: Floats
    profit: Floats
    to_owner: Floats

    @property
    def total_hours(self) -> Floats:
        """[h]"""
        return np.asarray(sum(self.hours.values()))

    @property
    def total_costs(self) -> Floats:
        """[money]"""
        return np.asarray(sum(self.costs.values()))

    @property
    def total_income(self) -> Floats:
        """[money]"""
        return np.asarray(sum(self.income.values()))


def doubtful(call: Call) -> dict[str, Likely]:
    """Every figure of the sum that is not sure, but the log's own size."""
    return {
        "quality": call.quality_factor,
        "realised yield": call.realised,
        "price level": call.price_level,
        "downgraded in drying": call.downgraded,
        "sawing time": call.sawing,
        "time between cuts": call.between,
        "set-up": call.set_up,
        "handling a trip": call.handling,
        "drying time": call.drying.months,
        "time to sell": call.selling,
        "other hours": call.work,
    }


def log_sum(
    made: Yield,
    x: dict[str, Floats],
    call: Call,
    costs: Costs,
    mill: Mill,
    density: float,
    doing: Doing = Doing(),
) -> LogSum:
    """Add up one way to use one log.

    Parameters
    ----------
    made : Yield
        Planned, arrays of shape (draws,).
    x : dict
        Draws by the names of `doubtful`.
    call, costs, mill
        Where it lies; one's own costs; the paces.
    density : float
        Green, for the weight that is carried. [kg/m3]
    doing : Doing

    Returns
    -------
    LogSum

    Notes
    -----
    Wood is paid for its realised yield, slabs are carried at their planned weight: what rot and checks
    take was sawn and carried all the same. Money laid out before the sale is tied up till then; what
    selling takes is paid at the sale. Overhead falls on the log by its hours of the year's.
    """
    people, slabs = call.people, made.slabs
    realised = x["realised yield"]
    saws = slabs > 0  # where nothing can be sawn nobody unpacks the saw

    # Hours at the log.
    cutting = (made.area + doing.extra_area * saws) * mill.minutes_per_area * x["sawing time"] / 60
    between = made.cuts * mill.minutes_per_cut * x["time between cuts"] / 60
    set_up = x["set-up"] * saws * (0.5 if doing.at_home else 1.0)
    weight = made.solid * density
    trips = np.ceil(weight / call.load) * doing.carries
    carrying = trips * (x["handling a trip"] + 2 * call.carry / 1000 / call.pace)
    there = set_up + cutting + between + carrying
    way = 2 * call.distance / costs.speed
    workable = np.maximum(costs.day - way, costs.day / 2)  # long drives are put on top of half a day
    loads = np.ceil(weight / call.payload)
    days = np.maximum(np.ones_like(there) if doing.at_home else np.ceil(there / workable), 1.0)
    rides = days if doing.at_home else np.maximum(days, loads)  # the hired truck takes the log home
    stacking = costs.stack_hours * slabs * x["other hours"]
    edging = made.edged * call.lumber.hours if call.lumber is not None else 0.0
    selling = (costs.sell_hours + costs.finish_hours) * slabs * x["other hours"] + edging
    hours = {
        "drive": rides * way * people,
        "set-up": set_up * people,
        "cutting": cutting * people,
        "between cuts": between * people,
        "carrying": carrying * people,
        "stacking": stacking,
        "selling": selling,
    }

    # What comes in.
    sound = 1 - x["downgraded in drying"] * (1 - call.downgraded_brings)
    beside = by_products(call.by_products, made.log, made.solid, made.area * mill.kerf, made.opening, saws)
    sold = realised * x["price level"] * sound
    slab_income = made.value * doing.value * x["quality"] * sold
    # Edging cuts round what is bad; what it leaves is no better than the market's.
    lumber_income = made.boards * np.minimum(x["quality"], 1.0) * sold
    brought = slab_income + lumber_income
    income = {
        "slabs": slab_income,
        "lumber": lumber_income,
        **beside,
    }

    # What goes out.
    dry = x["drying time"] * call.drying.share(made.thickness)
    months = (dry + x["time to sell"]) * saws
    at_log = hours["drive"] + hours["set-up"] + hours["cutting"] + hours["between cuts"] + hours["carrying"]
    rate = costs.saw_rate
    all_hours = at_log + stacking + selling
    driving = rides * 2 * call.distance * costs.per_km
    saw = cutting * rate.per_productive
    hire = np.full_like(brought, doing.hire)
    growth = (1 + costs.interest) ** (months / 12)
    laid_out = saw + (at_log + stacking) * costs.wage + driving + hire
    spent = {
        "saw, fuel, chains": saw,
        "labour": all_hours * costs.wage,
        "driving": driving,
        "hire": hire,
        "room": made.solid * months * costs.space,
        "money tied up": laid_out * (growth - 1),
        "loss": brought * np.minimum(costs.loss / 12 * months, 1.0),
        "fees": brought * costs.sell_fee,
        "overhead": all_hours * (12 * costs.overhead / costs.saw.scheduled),
    }
    before_owner = sum(income.values()) - sum(spent.values())
    spent["owner"] = np.full_like(brought, call.asked) * growth
    return LogSum(
        hours=hours,
        costs=spent,
        income=income,
        tally=made.tally * realised,
        trips=trips,
        days=days,
        months=months,
        profit=np.asarray(before_owner - spent["owner"]),
        to_owner=np.asarray(before_owner / growth),
    )

"""A log on offer and one sawyer's costs, all prices invented, for the tests of worth."""

from __future__ import annotations

from typing import Any

from pithline.money.cost.costs import Costs
from pithline.money.cost.written import read_costs
from pithline.money.offered.call import Call
from pithline.money.offered.log import Planner
from pithline.money.offered.written import read_call
from pithline.saw.timber import Timber
from pithline.saw.written.inputs import read_aims, read_mill, read_rates
from pithline.wood.species import species

CALL = {
    "species": "northern red oak",
    "girth": "2.3 m to 2.7 m",
    "length": "4 m to 4.5 m",
    "distance": "38 km",
    "carry": "140 m",
    "load": "70 kg",
    "people": 2,
    "permission": True,
    "tree_protection": True,
    "plant_movement": True,
}
COSTS = {
    "saw": "1900 USD",
    "chain": "38 USD",
    "fuel": "2.00 per l",
    "km": "0.60 per km",
    "wage": "240 per day",
    "space": "4 per m3 and month",
    "overhead": "90 per month",
}
MILL = {"bar": "42 in", "kerf": "9 mm"}
AIMS = {"thickness": ["12/4", "8/4"], "unit": "bf as sawn", "least_width": "25 cm"}
RATES = {"currency": "USD", "rate": ["12/4: 11 per bf", "8/4: 9.50 per bf"]}


def call_of(measured: bool = False, **said: Any) -> Call:
    table = {**CALL, **said}
    if measured:
        table = {name: value for name, value in table.items() if name not in ("species", "girth", "length")}
    return read_call({name: value for name, value in table.items() if value is not None}, measured)[0].value


def costs_of(**said: Any) -> Costs:
    return read_costs({**COSTS, **said}).value


def planner_of(
    wood: str = "northern red oak", thickness: tuple[str, ...] = ("12/4", "8/4"), **rates: Any
) -> Planner:
    aims = read_aims(AIMS | {"thickness": list(thickness)}).value
    tree = species(wood)
    return Planner(
        read_mill(MILL).value,
        aims,
        read_rates({**RATES, **rates}, aims, tree.name).value,
        Timber.of(tree, aims.moisture),
    )

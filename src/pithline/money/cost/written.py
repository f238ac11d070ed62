"""The table [costs]: five questions, and behind them every default with its mark."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pithline.errors import BadValue
from pithline.fields import Field, Quantity, Table, read
from pithline.money.amount import Amount, amount, one_currency
from pithline.money.cost.costs import Costs, OverheadKey
from pithline.money.cost.fuel import HORSEPOWER
from pithline.money.cost.machine_rate import Machine, years_from_hours
from pithline.money.cost.per import Per, per_cubic_metre_month, per_day, per_km, per_litre, per_month
from pithline.saw.written.assumed import Written, assumed_in

__all__ = ["COSTS", "FIVE", "read_costs"]

_T, _S, _D = Quantity.TEXT, Quantity.SHARE, Quantity.DURATION
FIVE = ("saw", "chain", "fuel", "km", "wage")
"""The five questions that are enough to start."""


def _power(raw: Any, path: str) -> float:
    found = re.fullmatch(r"(\d+(?:\.\d+)?)\s*(kw|hp)", raw.strip().lower()) if isinstance(raw, str) else None
    if found is None or not 0 < float(found[1]) < 1000:
        raise BadValue(path, raw, "a power with its unit", 'Write "6 kW" or "8 hp".')
    return float(found[1]) * (HORSEPOWER if found[2] == "hp" else 1.0)


def _speed(raw: Any, path: str) -> float:
    found = (
        re.fullmatch(r"(\d+(?:\.\d+)?)\s*(km/h|mph)", raw.strip().lower()) if isinstance(raw, str) else None
    )
    if found is None or not 0 < float(found[1]) < 200:
        raise BadValue(path, raw, "a speed with its unit", 'Write "60 km/h" or "40 mph".')
    return float(found[1]) * (1.609344 if found[2] == "mph" else 1.0)


def _specific(raw: Any, path: str) -> float:
    found = re.fullmatch(r"(\d+(?:\.\d+)?)\s*kg/kwh", raw.strip().lower()) if isinstance(raw, str) else None
    if found is None or not 0.1 <= float(found[1]) <= 1.5:
        raise BadValue(path, raw, "0.1 to 1.5 kg/kWh", 'Write "0.45 kg/kWh".')
    return float(found[1])


COSTS = Table(
    "costs",
    "What your own hour, kilometre and month cost. Five answers are enough; the rest has defaults to change.",
    (
        Field("saw", _T, 'What the saw with its frame cost you: "1900 USD".', required=True, parse=amount),
        Field("chain", _T, 'What one ripping chain costs: "38 USD".', required=True, parse=amount),
        Field("fuel", _T, 'Fuel, mixed: "2.00 per l".', required=True, parse=per_litre),
        Field("km", _T, 'What your vehicle costs, all in: "0.60 per km".', required=True, parse=per_km),
        Field(
            "wage",
            _T,
            'What a day of one person\'s work must earn: "240 per day".',
            required=True,
            parse=per_day,
        ),
        Field(
            "saw_left",
            _S,
            "What the saw still brings when it is worn out, of its price.",
            default="20 %",
            most="100 %",
        ),
        Field("saw_life", _D, "Working hours in the saw.", default="1000 h", least="50 h"),
        Field(
            "hours_a_year",
            _D,
            "Hours a year you are out milling.",
            default="600 h",
            least="10 h",
            most="4000 h",
        ),
        Field(
            "working", _S, "Share of them in which the saw cuts.", default="50 %", least="5 %", most="100 %"
        ),
        Field("chain_life", _D, "Cutting hours in a chain, with filing.", default="15 h", least="1 h"),
        Field("bars", _S, "Bars, sprockets and files, of the chains' cost.", default="50 %", most="500 %"),
        Field("power", _T, "Of the engine.", default="6 kW", parse=_power),
        Field(
            "load", _S, "Mean share of full load while cutting.", default="70 %", least="10 %", most="100 %"
        ),
        Field("engine_needs", _T, "Fuel for a kilowatt hour.", default="0.45 kg/kWh", parse=_specific),
        Field("oil", _S, "Bar oil and grease, of the fuel's cost.", default="45 %", most="300 %"),
        Field(
            "repair", _S, "Repair without chains and bars, of depreciation.", default="100 %", most="2000 %"
        ),
        Field("interest", _S, "A year, on money that is tied up.", default="8 %", most="60 %"),
        Field("insurance", _S, "A year, of the saw's mean value.", default="2 %", most="50 %"),
        Field("day", _D, "Hours in a paid day.", default="8 h", least="1 h", most="16 h"),
        Field("on_cost", _S, "On top of the wage: social insurance, holidays.", default="20 %", most="150 %"),
        Field("speed", _T, "On the road, from door to log.", default="60 km/h", parse=_speed),
        Field(
            "space",
            _T,
            "Yard or shed for stickered wood, a cubic metre of wood a month.",
            default="0 per m3 and month",
            parse=per_cubic_metre_month,
        ),
        Field("loss", _S, "Stock lost in a year: fire, theft, insects.", default="2 %", most="90 %"),
        Field(
            "overhead", _T, "A month: phone, insurance, fees, tools.", default="0 per month", parse=per_month
        ),
        Field(
            "overhead_by",
            _T,
            "By what the month's overhead is shared.",
            default=OverheadKey.SPACE.value,
            choices=tuple(key.value for key in OverheadKey),
        ),
        Field("sell_fee", _S, "Payment and listing fees, of the price.", default="3 %", most="90 %"),
        Field("selling", _D, "Photos, listing, calls, loading: for one slab.", default="1 h 30 min"),
        Field("finishing", _D, "Flattening and repair before the sale, for one slab.", default="0 min"),
        Field("stacking", _D, "Stickering and restacking, for one slab.", default="30 min"),
    ),
)

_FAO = "FAO Forestry Paper 99, 1992, from memory"
_BRINKER = "Brinker et al. 2002, chain saws, from memory"
WHY = {
    "saw_left": f"guess, 0 to 30 %; 20 % in {_BRINKER}",
    "saw_life": f"1 year of 2,000 h at 50 %: {_BRINKER}; your own hour meter beats it",
    "hours_a_year": "guess, 200 to 1,200 h; idle hours do not wear the saw out, they only tie money up",
    "working": f"guess, 30 to 65 %; 50 % in {_BRINKER}",
    "chain_life": "guess, 6 to 40 h; metal and dirt halve it; your own log of chains beats it",
    "bars": "guess, 25 to 100 %",
    "power": "guess, 4 to 7 kW for large saws",
    "load": f"high load: {_FAO}",
    "engine_needs": "two-stroke, 0.40 to 0.55 kg/kWh, from memory",
    "oil": "guess, 30 to 60 %; 37 % lubricants in Brinker et al. 2002, from memory",
    "repair": "guess, 50 to 300 %; 700 % with chains and bars in Brinker et al. 2002, from memory",
    "interest": "guess: what your money would earn or cost elsewhere",
    "insurance": "guess, 0 to 4 %",
    "on_cost": "guess, 0 to 60 %: differs by country",
    "speed": "guess, 40 to 80 km/h with a trailer",
    "space": "a free yard; a rented shed is not, and a free one may have another use",
    "loss": "guess, 0 to 5 %",
    "overhead": "none was said: full costs then lack it",
    "sell_fee": "guess, 0 to 10 %",
    "selling": "guess, 30 min to 4 h",
    "finishing": "sold rough",
    "stacking": "guess, 15 min to 1 h",
}
_PETROL = 0.74  # [kg/l], from memory


def read_costs(raw: Mapping[str, Any] | None) -> Written[Costs]:
    """Read the table [costs].

    Parameters
    ----------
    raw : mapping or None
        As TOML or a form gave it; the `FIVE` are needed.

    Raises
    ------
    BadValue
        Unknown or missing fields, money without "per", two currencies.
    """
    raw = {} if raw is None else raw
    got = read(COSTS, raw)
    code = one_currency(_amount(value) for name, value in got.items() if name in raw)
    scheduled = got["hours_a_year"] / 60
    saw, life = float(got["saw"]), got["saw_life"] / 60
    machine = Machine.of(
        price=saw,
        salvage=got["saw_left"] * saw,
        years=years_from_hours(life, scheduled, got["working"]),
        scheduled=scheduled,
        utilisation=got["working"],
        interest=got["interest"],
        insurance=got["insurance"],
        power=got["power"],
        load=got["load"],
        specific=got["engine_needs"],
        density=_PETROL,
        fuel_price=got["fuel"].value,
        lube=got["oil"],
        repair=got["repair"],
        consumables=float(got["chain"]) / (got["chain_life"] / 60) * (1 + got["bars"]),
    )
    day = got["day"] / 60
    costs = Costs(
        currency=code,
        saw=machine,
        wage=got["wage"].value / day * (1 + got["on_cost"]),
        day=day,
        per_km=got["km"].value,
        speed=got["speed"],
        space=got["space"].value,
        interest=got["interest"],
        loss=got["loss"],
        overhead=got["overhead"].value,
        overhead_key=OverheadKey(got["overhead_by"]),
        sell_fee=got["sell_fee"],
        sell_hours=got["selling"] / 60,
        finish_hours=got["finishing"] / 60,
        stack_hours=got["stacking"] / 60,
    )
    return Written(costs, assumed_in(COSTS, raw, WHY))


def _amount(value: object) -> Amount | None:
    from decimal import Decimal

    if isinstance(value, Amount):
        return value
    if isinstance(value, Per) and value.code:
        return Amount(Decimal(str(value.value)), value.code, value.field)
    return None

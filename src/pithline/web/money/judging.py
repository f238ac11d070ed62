"""The verdict behind the page, kept by what it was made from: a page asks for it again and again."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from pithline.errors import BadValue
from pithline.units import System
from pithline.web.money.drying_kept import kept_forecast

if TYPE_CHECKING:
    from pithline.money.offered.call import Call
    from pithline.money.offered.worth import Worth
    from pithline.saw.written.assumed import Written
    from pithline.sheets.charts import Chart
    from pithline.sheets.worth_words import Told

__all__ = ["Judged", "drawn", "judge"]

_SEED = 1  # the same words always get the same answer


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """One answer.

    Attributes
    ----------
    worth : Worth
    told : Told
        What it was made from.
    """

    worth: Worth
    told: Told


def judge(tables: Mapping[str, Any], pairs: list[tuple[float, float]], system: System) -> Judged:
    """Judge a log on offer.

    Parameters
    ----------
    tables : mapping
        call, costs, mill, aims, rates as typed; log and lie where it was measured; months as
        `drying_place.as_key` gives them.
    pairs : list of (planned, tallied)
        Of the book's own logs, taken where the call names none.
    system : {"metric", "inch"}

    Raises
    ------
    BadValue, Question
        Whatever is wrong first.
    """
    return _judge(json.dumps([tables, pairs], sort_keys=True, default=str), system)


@lru_cache(maxsize=64)
def _judge(key: str, system: System) -> Judged:
    import numpy as np

    from pithline.log.written import TOP_IS_WIDER, from_table
    from pithline.money.amount import named_in
    from pithline.money.cost.written import read_costs
    from pithline.money.offered.dried import assumed_drying, dried
    from pithline.money.offered.log import Planner
    from pithline.money.offered.realised import realised_yield
    from pithline.money.offered.worth import worth
    from pithline.saw.timber import Timber
    from pithline.saw.written.inputs import read_aims, read_mill, read_rates
    from pithline.sheets.worth_words import Told
    from pithline.wood.species import species

    tables, pairs = json.loads(key)
    record = None
    if "log" in tables:
        record = from_table({n: tables[n] for n in ("log", "lie") if n in tables}, {TOP_IS_WIDER})
    call, code = _read_call(tables, record is not None)
    if not tables["call"].get("logs") and pairs:
        own = realised_yield([(planned, tallied) for planned, tallied in pairs])
        call = replace(call, value=replace(call.value, realised=own))
    costs = read_costs(tables["costs"])
    assert record is not None or call.value.guess is not None
    wood = record.species if record is not None else species(call.value.guess.species)  # type: ignore[union-attr]
    mill, aims = read_mill(tables["mill"]), read_aims(tables["aims"])
    rates = read_rates(tables["rates"], aims.value, wood.name)
    if not rates.value.currency:
        raise BadValue(
            "rates.rate", tables["rates"].get("rate"), "with its currency", 'Write "9 USD per bf".'
        )
    for name, other in (("costs", costs.value.currency), ("call", code)):
        if other and other != rates.value.currency:
            raise BadValue(
                named_in(name, tables[name], other),
                f"in {other}",
                f"in {rates.value.currency} as the rates",
                "Convert it at your own rate.",
            )
    if not any(rates.value.rate(aim.label) > 0 for aim in aims.value.thicknesses) and not rates.value.uses:
        raise BadValue("rates.rate", tables["rates"].get("rate"), "more than 0", 'Write "9 USD per bf".')
    timber = Timber.of(wood, aims.value.moisture)
    planner = Planner(mill.value, aims.value, rates.value, timber)
    told = dried(call.value, planner, wood, np.random.default_rng([_SEED, 1]), kept_forecast)
    made = worth(
        told,
        costs.value,
        planner,
        np.random.default_rng(_SEED),
        record,
        system=system,
    )
    assumed = (*call.assumed, *assumed_drying(told.drying), *costs.assumed)
    remarks = (*mill.remarks, *aims.remarks, *rates.remarks, *timber.remarks)
    return Judged(made, Told(told, rates.value.currency, str(aims.value.unit), assumed, remarks))


def _read_call(tables: Mapping[str, Any], measured: bool) -> tuple[Written[Call], str]:
    """The call; the months of a place of the book stand in the key, as they came with the tables."""
    from pithline.money.offered.written import read_call
    from pithline.web.money.drying_place import from_key

    if tables.get("months") is None:
        return read_call(tables["call"], measured)
    months = from_key(tables["months"])
    return read_call(tables["call"], measured, months, lambda *_: months)


@lru_cache(maxsize=64)  # by identity: the same answer is the same object
def drawn(judged: Judged) -> Chart | None:
    """What would change the answer most, as a chart; None where nothing is in doubt."""
    from pithline.sheets.doubts_chart import doubts_chart

    return doubts_chart(judged.worth.doubts, judged.told.currency)

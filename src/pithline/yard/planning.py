"""A plan for a log of the book: from its tables and the usual profiles to the whole answer."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pithline.errors import BadValue
from pithline.log.record import LogRecord
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.plan import Plan as SawingPlan
from pithline.saw.rates import Rates
from pithline.saw.timber import Timber
from pithline.saw.written.assumed import Assumed
from pithline.units import System
from pithline.yard.finding import profile_of
from pithline.yard.models import Log, Profile
from pithline.yard.preferences import aims_from_settings

__all__ = ["Inputs", "inputs_of", "reckon", "tables_of"]

_PARTS = ("mill", "aims", "rates")


@dataclass(frozen=True, slots=True)
class Inputs:
    """Everything one plan is made from, read; `tables` is the same as typed."""

    tables: dict[str, Any]
    record: LogRecord
    mill: Mill
    aims: Aims
    rates: Rates
    timber: Timber
    assumed: tuple[Assumed, ...]
    remarks: tuple[str, ...]


def tables_of(log: Log, said: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """The tables log, lie, mill, aims and rates for a log, as typed.

    Parameters
    ----------
    log : Log
        Measured.
    said : mapping, optional
        For mill, aims or rates: the name of a profile, or the table itself. What is
        not said is the usual profile, else the defaults.

    Raises
    ------
    BadValue
        A log that was not measured, or a profile that does not exist.
    """
    if log.record is None:
        raise BadValue(
            "log", str(log), "measured before it is planned", "Tape it first, on its page Measure."
        )
    tables = dict(log.record)
    for kind in _PARTS:
        given = (said or {}).get(kind)
        if isinstance(given, Mapping):
            tables[kind] = dict(given)
        elif given:
            tables[kind] = dict(profile_of(kind, str(given), kind).table)
        else:
            usual = Profile.objects.filter(kind=kind, usual=True).first()
            tables[kind] = dict(usual.table) if usual else {}
    tables["aims"] = aims_from_settings(tables["aims"])
    return json.loads(json.dumps(tables, default=str))


def inputs_of(tables: Mapping[str, Any]) -> Inputs:
    """Read the tables of a plan.

    Raises
    ------
    BadValue, Question
        Whatever is wrong first.
    """
    from pithline.log.written import TOP_IS_WIDER, from_table
    from pithline.saw.written.inputs import read_aims, read_mill, read_rates

    # Whether the top may be wider was asked when the log was measured.
    record = from_table({n: t for n, t in tables.items() if n in ("log", "lie")}, {TOP_IS_WIDER})
    mill, aims = read_mill(tables.get("mill", {})), read_aims(tables.get("aims", {}))
    rates = read_rates(tables.get("rates", {}), aims.value, record.species.name)
    return Inputs(
        dict(tables),
        record,
        mill.value,
        aims.value,
        rates.value,
        Timber.of(record.species, aims.value.moisture),
        (*mill.assumed, *aims.assumed, *rates.assumed),
        (*mill.remarks, *aims.remarks, *rates.remarks),
    )


def reckon(
    inputs: Inputs,
    *,
    draws: int = 200,
    seed: int = 1,
    compare: bool = True,
    moved: str = "",
    retake: bool = False,
    progress: Callable[[str], None] = lambda _: None,
    system: System | None = None,
) -> SawingPlan:
    """The whole plan: ranges within the measuring error, other ways, the worth of what was assumed.

    Parameters
    ----------
    inputs : Inputs
    draws, seed : int
        How many logs are drawn within the measuring error, and from where; 0 leaves ranges out.
    compare : bool
        Whether to solve the other ways to saw it.
    retake : bool
        Whether to weigh each measurement by itself too.
    moved : str
        Where a person wants the cuts, as `saw.moved.Wish` is written; "" is the best plan.

    Raises
    ------
    BadValue, NoPlan
        See `saw.planning.plan`; or cuts that cannot be made.
    """
    from pithline.log.assumed import variants
    from pithline.log.measuring import measuring_error, perturbed
    from pithline.log.retakes import taped_fields
    from pithline.saw.doubts import doubts
    from pithline.saw.model import stations
    from pithline.saw.moved import Wish, moved_plan
    from pithline.saw.planning import plan
    from pithline.saw.retaken import retaken

    shape = inputs.record.to_shape()
    at = shape.at(stations(shape, inputs.aims.trim_butt, inputs.aims.trim_top))
    error = measuring_error(inputs.record)
    drawn = perturbed(at, error, np.random.default_rng(seed), draws) if draws else ()
    system = system or inputs.record.system
    job = (shape, inputs.record.lie(), inputs.mill, inputs.aims, inputs.rates, inputs.timber)
    wish = Wish.written(moved)
    if wish:
        # What was assumed is not weighed here: each other log would have other best cuts.
        told = moved_plan(*job, wish, draws=drawn, system=system)
        if told.faults:
            raise BadValue("moved", moved, "cuts that can be made", " ".join(told.faults))
        return replace(told.plan, remarks=(*told.plan.remarks, *inputs.remarks))
    found = plan(*job, draws=drawn, compare=compare, progress=progress, system=system)
    progress("weighing what was assumed")
    if retake:
        found = replace(found, retakes=retaken(found, taped_fields(inputs.record), inputs.timber))
    return replace(
        found,
        doubts=doubts(found, variants(inputs.record), inputs.timber),
        remarks=(*found.remarks, *inputs.remarks),
    )

"""The plan behind the page: at once for one setting, and whole with ranges and other ways.

Answers are kept in memory by what they were made from, because the same plan is asked
for by the page, its drawings, its slower part and its files.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from pithline.saw.moved import Wish, moved_plan
from pithline.saw.plan import Plan
from pithline.units import System
from pithline.yard.planning import Inputs, inputs_of, reckon

__all__ = ["Live", "live", "price_of_cuts", "whole"]

DRAWS = 200


@dataclass(frozen=True, slots=True, eq=False)
class Live:
    """One answer.

    Attributes
    ----------
    plan : Plan
    inputs : Inputs
    wish : Wish or None
    best : float
        Net value of the best plan at this roll and pitch.
    faults : tuple of str
        Why wished cuts cannot be made.
    """

    plan: Plan
    inputs: Inputs
    wish: Wish | None
    best: float
    faults: tuple[str, ...] = ()

    @property
    def short(self) -> float:
        """What the wish costs against the best."""
        return self.best - self.plan.net


def live(tables: Mapping[str, Any], moved: str, system: System) -> Live:
    """The plan of one setting, without ranges and other ways.

    Raises
    ------
    BadValue, Question, NoPlan
        As `yard.planning.reckon`.
    """
    return _live(_key(tables), moved, system)


def whole(tables: Mapping[str, Any], moved: str, system: System) -> Plan:
    """The same with ranges, other ways and the worth of what was assumed."""
    return _whole(_key(tables), moved, system)


def price_of_cuts(tables: Mapping[str, Any], system: System) -> list[tuple[float, float]]:
    """What a cut at each height costs against the best plan: (upper side of its kerf [m], cost).

    Heights at which no cut can be are left out.
    """
    return _prices(_key(tables), system)


def _key(tables: Mapping[str, Any]) -> str:
    return json.dumps(tables, sort_keys=True)


@lru_cache(maxsize=32)
def _inputs(key: str) -> Inputs:
    return inputs_of(json.loads(key))


@lru_cache(maxsize=32)
def _live(key: str, moved: str, system: System) -> Live:
    inputs, wish = _inputs(key), Wish.written(moved)
    if wish is None:
        from pithline.saw.planning import plan

        found = plan(*_job(inputs), compare=False, system=system)
        found = replace(found, remarks=(*found.remarks, *inputs.remarks))
        return Live(found, inputs, None, found.net)
    shape, lie, mill, aims, rates, timber = _job(inputs)
    other = moved_plan(shape, lie, mill, aims, rates, timber, wish, system=system)
    return Live(other.plan, inputs, wish, other.best, other.faults)


@lru_cache(maxsize=16)
def _whole(key: str, moved: str, system: System) -> Plan:
    inputs, wish = _inputs(key), Wish.written(moved)
    if wish is None:
        return reckon(inputs, draws=DRAWS, retake=True, system=system)
    best = _whole(key, "", system)
    others = (replace(w, name="the best plan", chosen=False) if w.chosen else w for w in best.ways)
    found = reckon(inputs, draws=DRAWS, moved=moved, system=system)
    return replace(found, ways=(*found.ways, *others), doubts=best.doubts, retakes=best.retakes)


@lru_cache(maxsize=16)
def _prices(key: str, system: System) -> list[tuple[float, float]]:
    from pithline.saw.model import grounds, prepare
    from pithline.saw.planning import choose_setting
    from pithline.saw.solution import solve
    from pithline.saw.through import worth_through

    inputs = _inputs(key)
    shape, lie, mill, aims, rates, timber = _job(inputs)
    model = prepare(shape, mill, aims, rates, timber)
    roll, pitch = choose_setting(model, shape, lie, mill, aims)
    best = solve(model, roll, pitch, grounds(shape, lie, mill, aims, np.array([roll]))[0])
    costs = best.net - worth_through(best, model, aims.pith)
    return [
        ((best.first + i) * model.reach.step, max(0.0, float(cost)))
        for i, cost in enumerate(costs)
        if np.isfinite(cost)
    ]


def _job(inputs: Inputs) -> tuple[Any, ...]:
    record = inputs.record
    return record.to_shape(), record.lie(), inputs.mill, inputs.aims, inputs.rates, inputs.timber

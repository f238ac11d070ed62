"""The main job: from a log's shape to the whole plan."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue, NoPlan
from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims, Following
from pithline.saw.answer import answer
from pithline.saw.mill import Mill
from pithline.saw.model import Model, grounds, prepare
from pithline.saw.nothing import why_nothing
from pithline.saw.plan import Plan
from pithline.saw.rates import Rates
from pithline.saw.search import bark_pitch, best_setting
from pithline.saw.solution import Solution, solve
from pithline.saw.timber import Timber
from pithline.saw.uses.as_needed import BY_SOLVER, NOT_PROVED, caps_left_out, rates_as_needed
from pithline.saw.uses.orders import unordered
from pithline.saw.ways import ROLLS, ways
from pithline.units import System, show_length

__all__ = ["PITCHES", "choose_setting", "crotch_roll", "plan"]

Floats = NDArray[np.float64]
PITCHES = np.array([-1.0, -0.5, 0.0, 0.5, 1.0])  # of the bark's own, where the best is sought


def plan(
    shape: LogShape,
    lie: Lie,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    *,
    draws: Iterable[LogShape] = (),
    compare: bool = True,
    progress: Callable[[str], None] = lambda _: None,
    system: System = "metric",
) -> Plan:
    """Work out the best sawing plan of a log, exactly on the mill's grid.

    Parameters
    ----------
    shape, lie, mill, aims, rates, timber
        The log, how it lies, the saw, the wishes, the money, the wood.
    draws : iterable of LogShape
        The log as it may really be; the plan's cuts are valued again in each.
    compare : bool
        Whether to solve the other ways to saw it.
    progress : callable
        Told what is being worked on.
    system : {"metric", "inch"}
        For the sizes in remarks, notes and refusals; the plan itself is in SI.

    Returns
    -------
    Plan

    Raises
    ------
    BadValue
        A thickness, trim or rail that cannot work.
    NoPlan
        Where no slab can be sawn; says what is in the way.
    """
    if mill.rail is not None and mill.rail < shape.length + 2 * mill.overrun - 1e-9:
        most = mill.rail - 2 * mill.overrun
        raise BadValue(
            "mill.rail",
            show_length(mill.rail, system, "long"),
            f"{show_length(shape.length + 2 * mill.overrun, system, 'long')} or longer for this log",
            f"Join rails, or cut the log to {show_length(max(most, 0.0), system, 'long')} first.",
        )
    model = prepare(shape, mill, aims, rates, timber)
    told: tuple[str, ...] = ()
    if model.wants is not None and model.wants.by_solver:
        progress("finding out which uses must be counted")
        counted = rates
        rates = rates_as_needed(
            aims,
            rates,
            lambda given: prepare(shape, mill, aims, given, timber),
            lambda made: _best(made, shape, lie, mill, aims),
        )
        model = prepare(shape, mill, aims, rates, timber)
        told = (caps_left_out(counted, rates) if rates is not counted else BY_SOLVER,)
    by_solver = model.wants is not None and model.wants.by_solver
    progress("searching the cuts")
    roll, pitch = choose_setting(model, shape, lie, mill, aims)
    ground = grounds(shape, lie, mill, aims, np.array([roll]))[0]
    solution = solve(model, roll, pitch, ground)
    if not solution.proved:
        told = (*told, NOT_PROVED)
    if not solution.slabs:
        raise NoPlan(why_nothing(model, mill, aims, roll, pitch, ground, system))
    orders_cost = _orders_cost(model, solution.net, shape, lie, mill, aims) if aims.orders else 0.0
    progress("comparing ways to saw it")
    # A solver would take its time for every other way too.
    compare = compare and not by_solver
    others = tuple(ways(shape, lie, mill, aims, rates, timber, roll, pitch, system)) if compare else ()
    progress("drawing logs within the measuring error")
    made = answer(
        solution,
        roll,
        model,
        shape,
        lie,
        mill,
        aims,
        rates,
        timber,
        others=others,
        draws=draws,
        weigh=not by_solver,
        system=system,
    )
    return replace(made, orders_cost=orders_cost, remarks=(*made.remarks, *told))


def _best(model: Model, shape: LogShape, lie: Lie, mill: Mill, aims: Aims) -> Solution:
    roll, pitch = choose_setting(model, shape, lie, mill, aims)
    return solve(model, roll, pitch, grounds(shape, lie, mill, aims, np.array([roll]))[0])


def _orders_cost(model: Model, net: float, shape: LogShape, lie: Lie, mill: Mill, aims: Aims) -> float:
    """What the orders cost against the best plan in which none comes first."""
    return max(0.0, _best(unordered(model), shape, lie, mill, aims).net - net)


def choose_setting(model: Model, shape: LogShape, lie: Lie, mill: Mill, aims: Aims) -> tuple[float, float]:
    """Roll and pitch of the cutting planes, searched where the aims leave them free."""
    rolls = ROLLS if aims.roll_free else np.array([aims.roll])
    if aims.crotch_plane and shape.second_pith is not None:
        level = crotch_roll(shape)
        rolls = np.array([level, level + math.pi])
    ground = grounds(shape, lie, mill, aims, rolls)
    if aims.follow is Following.BARK:
        # Every roll has its own top of the bark, so each is searched with its own pitch.
        pitches = np.array([bark_pitch(model.wood, float(r)) for r in rolls])
        if rolls.size == 1:
            return float(rolls[0]), float(pitches[0])
        nets = [
            best_setting(model, rolls[[k]], pitches[[k]], ground[[k]]).net[0, 0] for k in range(rolls.size)
        ]
        best = int(np.argmax(nets))
        return float(rolls[best]), float(pitches[best])
    if aims.follow is Following.BEST:
        # Between the bark on one side and the bark on the other.
        pitches = PITCHES * max(abs(bark_pitch(model.wood, float(rolls[0]))), 0.002)
    else:
        pitches = np.array([aims.pitch if aims.follow is Following.GIVEN else 0.0])
    if rolls.size * pitches.size == 1:
        return float(rolls[0]), float(pitches[0])
    found = best_setting(model, rolls, pitches, ground)
    r, p = found.best
    return float(rolls[r]), float(pitches[p])


def crotch_roll(shape: LogShape) -> float:
    """Roll at which both piths of a crotch lie level at the top, so that one slab shows the whole feather.

    Parameters
    ----------
    shape : LogShape
        With a second pith.

    Returns
    -------
    float
        Anticlockwise seen from the butt, from -pi / 2 up to pi / 2: half a turn more is as level. [rad]
    """
    assert shape.second_pith is not None
    x, y = shape.second_pith[-1]
    # u = x sin(roll) + y cos(roll) is the second pith's height above the first.
    roll = math.atan2(-y, x)
    return (roll + 0.5 * math.pi) % math.pi - 0.5 * math.pi

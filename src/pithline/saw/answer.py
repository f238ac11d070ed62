"""From a row of cuts to the whole plan: slabs, rail, sums, and where the wood went."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.appraise import appraise
from pithline.saw.cutting import cuts_of, turned_after
from pithline.saw.ledger import ledger
from pithline.saw.mill import Mill
from pithline.saw.model import Model, grounds
from pithline.saw.plan import Plan, Way
from pithline.saw.rail import rail_setup, turned_rail_depth
from pithline.saw.rates import Rates
from pithline.saw.remarks import remarks
from pithline.saw.solution import Solution
from pithline.saw.spread import spreads
from pithline.saw.timber import Timber
from pithline.saw.uses.orders import orders_filled
from pithline.saw.ways import as_way
from pithline.saw.worths import worths
from pithline.units import System

__all__ = ["answer"]


def answer(
    solution: Solution,
    roll: float,
    model: Model,
    shape: LogShape,
    lie: Lie,
    mill: Mill,
    aims: Aims,
    rates: Rates,
    timber: Timber,
    *,
    others: tuple[Way, ...] = (),
    draws: Iterable[LogShape] = (),
    weigh: bool = True,
    system: System = "metric",
) -> Plan:
    """Describe cuts in full, whether the planner found them or a person put them there.

    Parameters
    ----------
    solution : Solution
        With at least one cut.
    roll : float
        Of its setting. [rad]
    model : Model
        That it was found in, of the following six.
    shape, lie, mill, aims, rates, timber
        The log, how it lies, the saw, the wishes, the money, the wood.
    others : tuple of Way
        To stand beside this plan.
    draws : iterable of LogShape
        The log as it may really be.
    weigh : bool
        Whether to say what the large losses are worth, which has a meaning for the best cuts only.
    system : {"metric", "inch"}
        For the sizes in remarks and notes.
    """
    pitch, here = solution.setting.pitch, np.array([roll])
    slabs = tuple(
        appraise(n + 1, line, choice, solution, model, shape, aims, timber)
        for n, (line, choice) in enumerate(solution.slabs)
    )
    ground = grounds(shape, lie, mill, aims, here)[0]
    lying = grounds(shape, lie, mill, replace(aims, both_sides=False), here)[0]
    in_turn = aims.alternate and aims.both_sides
    turn = turned_after(solution, model, (lying[0], lying[1]), in_turn)
    setup = rail_setup(solution, model, mill, _pith_heights(shape, lie, roll), turn, system)
    turned_depth = turned_rail_depth(solution, model, mill)
    cuts = cuts_of(solution, model, mill, setup.first_depth, turn, turned_depth, in_turn)
    cost = sum(float(solution.tables.costs[c - solution.first]) for c in solution.cuts)
    cost += sum(s.own_cost for s in slabs)
    drawn = list(draws)
    net_spread, tally_spread = spreads(solution, model, drawn, aims) if drawn else (None, None)
    where = ledger(solution, model, slabs, shape, aims)
    if weigh:
        where = replace(where, worths=tuple(worths(solution, model, where, roll, pitch, ground, system)))
    return Plan(
        shape=shape,
        lie=lie,
        mill=mill,
        aims=aims,
        rates=rates,
        roll=roll,
        pitch=pitch,
        step=model.reach.step,
        kerf=model.reach.kerf * model.reach.step,
        cuts=cuts,
        slabs=slabs,
        value=sum(s.value for s in slabs),
        cost=cost,
        net=solution.net,
        ledger=where,
        setup=setup,
        net_spread=net_spread,
        tally_spread=tally_spread,
        orders=orders_filled(aims.orders, solution, model, roll, ground, system),
        ways=(as_way("this plan", solution, model, mill, chosen=True), *others),
        remarks=tuple(remarks(model, mill, rates, timber, shape.zones, cuts, roll, system)),
    )


def _pith_heights(shape: LogShape, lie: Lie, roll: float) -> tuple[float, float]:
    """Pith marks above the ground at butt and top, once the log is rolled. [m]"""
    if abs(roll) < 1e-12:
        return lie.pith_butt, lie.pith_top
    ends = shape.over_bark()[[0, -1]]
    low = (ends[..., 0] * math.sin(roll) + ends[..., 1] * math.cos(roll)).min(axis=1)
    return lie.bearer_butt - float(low[0]), lie.bearer_top - float(low[1])

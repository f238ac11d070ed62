"""Which assumption is worth most: the log planned anew as it might otherwise be."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from pithline.log.record import Assumption, LogRecord
from pithline.saw.model import grounds, prepare
from pithline.saw.plan import Doubt, Plan
from pithline.saw.solution import solve
from pithline.saw.timber import Timber

__all__ = ["doubts"]


def doubts(
    plan: Plan, variants: Iterable[tuple[Assumption, LogRecord, LogRecord]], timber: Timber
) -> tuple[Doubt, ...]:
    """Plan the log as each assumption might otherwise have it, at the plan's roll and pitch.

    Parameters
    ----------
    plan : Plan
    variants : iterable of (Assumption, low record, high record)
        See `log.assumed.variants`.
    timber : Timber

    Returns
    -------
    tuple of Doubt
        The one with the largest swing first; of equals the first in the record.
    """
    found = []
    for assumption, low, high in variants:
        net_low, net_high = _net(low, plan, timber), _net(high, plan, timber)
        found.append(
            Doubt(
                field=assumption.field,
                value=assumption.value,
                low=assumption.low,
                high=assumption.high,
                net_low=net_low,
                net_high=net_high,
                swing=max(abs(net_low - plan.net), abs(net_high - plan.net)),
            )
        )
    return tuple(sorted(found, key=lambda doubt: -doubt.swing))


def _net(record: LogRecord, plan: Plan, timber: Timber) -> float:
    """Net value of the best plan for another record of the same log."""
    shape = record.to_shape()
    model = prepare(shape, plan.mill, plan.aims, plan.rates, timber)
    ground = grounds(shape, record.lie(), plan.mill, plan.aims, np.array([plan.roll]))[0]
    return solve(model, plan.roll, plan.pitch, ground).net

"""Which assumption is worth most: the log planned anew as it might otherwise be."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from pithline.log.assumed import Assumption
from pithline.log.record import LogRecord
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.model import grounds, prepare
from pithline.saw.plan import Doubt, Plan
from pithline.saw.rates import Rates
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
        nets = [_net(record, plan.mill, plan.aims, plan.rates, timber, plan) for record in (low, high)]
        swing = max(abs(net - plan.net) for net in nets)
        found.append(Doubt(assumption.field, assumption.value, assumption.low, assumption.high, *nets, swing))
    return tuple(sorted(found, key=lambda doubt: -doubt.swing))


def _net(record: LogRecord, mill: Mill, aims: Aims, rates: Rates, timber: Timber, plan: Plan) -> float:
    shape = record.to_shape()
    model = prepare(shape, mill, aims, rates, timber)
    ground = grounds(shape, record.lie(), mill, aims, np.array([plan.roll]))[0]
    return solve(model, plan.roll, plan.pitch, ground).net

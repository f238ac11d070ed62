"""Which assumption is worth most: the log planned anew as it might otherwise be."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from pithline.errors import Refused
from pithline.log.lie import Lie
from pithline.log.record import Assumption, LogRecord
from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.mill import Mill
from pithline.saw.model import grounds, prepare
from pithline.saw.plan import Doubt, Plan
from pithline.saw.solution import solve
from pithline.saw.timber import Timber
from pithline.saw.written.assumed import Assumed
from pithline.saw.written.unsaid import settings

__all__ = ["doubts"]


def doubts(
    plan: Plan,
    variants: Iterable[tuple[Assumption, LogRecord, LogRecord]],
    timber: Timber,
    unsaid: Iterable[Assumed] = (),
) -> tuple[Doubt, ...]:
    """Plan the log as each assumption might otherwise have it, at the plan's roll and pitch.

    Parameters
    ----------
    plan : Plan
    variants : iterable of (Assumption, low record, high record)
        See `log.assumed.variants`.
    timber : Timber
    unsaid : iterable of Assumed
        Defaults of mill and aims; see `saw.written.unsaid.settings` for those that are tried.

    Returns
    -------
    tuple of Doubt
        The one with the largest swing first; of equals the first in the record.
    """
    found = []
    for assumption, low, high in variants:
        nets = [
            _net(plan, timber, record.to_shape(), record.lie(), plan.mill, plan.aims)
            for record in (low, high)
        ]
        found.append(
            _doubt(plan, assumption.field, assumption.value, (assumption.low, assumption.high), nets)
        )
    for default, *tried in settings(unsaid, plan.mill, plan.aims):
        try:
            nets = [_net(plan, timber, plan.shape, plan.lie, mill, aims) for _, mill, aims in tried]
        except Refused:  # a log shorter than that end trim, say: then it cannot be so
            continue
        low_text, high_text = (text for text, _, _ in tried)
        found.append(_doubt(plan, default.field, default.text, (low_text, high_text), nets))
    return tuple(sorted(found, key=lambda doubt: -doubt.swing))


def _doubt(plan: Plan, field: str, value: str, texts: tuple[str, str], nets: list[float]) -> Doubt:
    return Doubt(
        field=field,
        value=value,
        low=texts[0],
        high=texts[1],
        net_low=nets[0],
        net_high=nets[1],
        swing=max(abs(net - plan.net) for net in nets),
    )


def _net(plan: Plan, timber: Timber, shape: LogShape, lie: Lie, mill: Mill, aims: Aims) -> float:
    """Net value of the best plan if log, mill or aims are otherwise."""
    model = prepare(shape, mill, aims, plan.rates, timber)
    ground = grounds(shape, lie, mill, aims, np.array([plan.roll]))[0]
    return solve(model, plan.roll, plan.pitch, ground).net

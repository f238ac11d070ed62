"""What part of a kiln load each slab bears: by the room it took where the load was laid, and by its days."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Q

from pithline.yard.charge_kept import charge_kept
from pithline.yard.models import KilnLoad, Loaded, Sale, Stay
from pithline.yard.moments import day_of, now

__all__ = ["LoadShares", "days_in", "load_shares"]

_ALIKE = 1e-4  # shares are kept with six digits; a person writes fewer


@dataclass(frozen=True, slots=True)
class LoadShares:
    """How a load is shared.

    Attributes
    ----------
    told : str
        By what.
    parts : mapping of slab's identity to float
        They add up to 1. [fraction]
    air : mapping of slab's identity to float
        Of the load's cost what each pays for air; empty where the load was not laid. [fraction]
    """

    told: str
    parts: Mapping[Any, float]
    air: Mapping[Any, float]


def load_shares(load: KilnLoad, volumes: Mapping[Any, float]) -> LoadShares | None:
    """Share a load.

    Parameters
    ----------
    load : KilnLoad
    volumes : mapping of slab's identity to float
        Of every slab in it; counts where the load was not laid. [m3]

    Returns
    -------
    LoadShares or None
        None where no slab is in it, or nobody knows how large one is.

    Notes
    -----
    Shares that a person wrote down stand as they are: room and days.
    """
    from pithline.dry.laying.share import shared
    from pithline.money.cost.keeping import share_load

    rows = list(load.loaded.select_related("slab__log"))
    ran, taken = days_in(load, rows)
    span = ran or 1.0
    days = {row.slab_id: taken.get(row.slab_id, span) for row in rows}
    charge = charge_kept(load)
    if charge is not None and _as_laid(rows, shared(charge, 1.0, 1.0)):
        who = {row.slab.label: row.slab_id for row in rows}
        told, its = "by room and days of the laid load", {name: days[key] for name, key in who.items()}
        bearing = {who[one.name]: one for one in shared(charge, 1.0, span, its)}
        return LoadShares(
            told,
            {key: one.cost for key, one in bearing.items()},
            {key: one.air_cost for key, one in bearing.items()},
        )
    if rows and all(row.space_share is not None for row in rows):
        told, weights = "by the shares written down", {row.slab_id: float(row.space_share) for row in rows}
        days = dict.fromkeys(days, 1.0)
    else:
        why = "other slabs were in it when it was laid" if load.layout else "the load was not laid"
        told, weights = f"by volume: {why}", {row.slab_id: volumes.get(row.slab_id, 0.0) for row in rows}
    if not sum(weights.values()) > 0:
        return None
    keys = list(weights)
    parts = share_load(1.0, [weights[key] for key in keys], [days[key] for key in keys])
    return LoadShares(told, dict(zip(keys, parts, strict=True)), {})


def days_in(load: KilnLoad, rows: list[Loaded]) -> tuple[float | None, dict[Any, float]]:
    """Days that a load ran so far, and those of slabs that left it sooner.

    Parameters
    ----------
    load : KilnLoad
    rows : list of Loaded

    Returns
    -------
    ran : float or None
        None where it was not started. [d]
    taken : dict of slab's identity to float
        Of slabs that lay in a stack, or were sold, before the load's end. [d]
    """
    if load.started_at is None:
        return None, {}
    end = load.ended_at or max(now(), load.started_at)
    ran = max((end - load.started_at).total_seconds() / 86400, 1 / 24)
    first, last = day_of(load.started_at), day_of(end)
    left: dict[Any, datetime.date] = {}
    inside = [row.slab_id for row in rows]
    out = Q(begins_on__gt=first, begins_on__lt=last)
    for slab, day in Stay.objects.filter(out, slab__in=inside).values_list("slab_id", "begins_on"):
        left[slab] = min(day, left.get(slab, day))
    sold = Q(sold_on__gt=first, sold_on__lt=last)
    for slab, day in Sale.objects.filter(sold, slab__in=inside).values_list("slab_id", "sold_on"):
        left[slab] = min(day, left.get(slab, day))
    return ran, {slab: min(float((day - first).days), ran) for slab, day in left.items()}


def _as_laid(rows: list[Loaded], laid: Any) -> bool:
    """Whether the shares written down are those of the layers: nobody put one right by hand."""
    share = {one.name: one.share for one in laid}
    return all(
        row.space_share is None or abs(row.space_share - share[row.slab.label]) < _ALIKE for row in rows
    )

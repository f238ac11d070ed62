"""Planned against measured, slab by slab, and where the wood of the log went."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from django.db.models import Prefetch

from pithline.sheets.charts import Chart, stacked
from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyRule
from pithline.slab.tallying import face_area, tally_width
from pithline.yard.models import Log, Plan, Size, Slab

__all__ = ["Compared", "Wood", "compared", "wood_chart", "wood_of"]


@dataclass(frozen=True, slots=True)
class Compared:
    """One slab of the plan beside the one that came off; either may be missing."""

    number: int | None
    planned: Mapping[str, Any] | None
    planned_volume: float | None
    slab: Slab | None
    size: Size | None
    pieces: bool = False  # it was cut up since; measured whole

    @property
    def volume_off(self) -> float | None:
        """Measured over planned volume, less 1. [fraction]"""
        if not self.planned_volume or self.size is None or self.size.volume_m3 is None:
            return None
        return self.size.volume_m3 / self.planned_volume - 1

    @property
    def thickness_off(self) -> float | None:
        """Measured less planned. [m]"""
        if self.planned is None or self.size is None or self.size.thickness_m is None:
            return None
        return self.size.thickness_m - float(self.planned["green_m"])


def compared(log: Log) -> list[Compared]:
    """Every slab of the chosen plan and of the tally, from the top of the log."""
    plan = Plan.objects.filter(log=log, chosen=True).first()
    planned = {s["number"]: s for s in plan.answer["slabs"]} if plan else {}
    first = Prefetch("sizes", Size.objects.order_by("created_at"), to_attr="all_sizes")
    tallied = list(log.slabs.filter(suffix="").select_related("stack", "place").prefetch_related(first))
    rows = [_row(planned.get(slab.planned_number), slab) for slab in tallied]
    met = {slab.planned_number for slab in tallied}
    rows += [_row(one, None) for number, one in planned.items() if number not in met]
    return sorted(rows, key=lambda r: r.slab.number if r.slab else r.number or 0)


def _row(planned: Mapping[str, Any] | None, slab: Slab | None) -> Compared:
    # The first size is what came off the log; later ones are dried.
    size = slab.all_sizes[0] if slab and slab.all_sizes else None
    return Compared(
        planned["number"] if planned else None,
        planned,
        _volume(planned) if planned else None,
        slab,
        size if size is None or size.state == Size.State.GREEN else None,
        bool(slab and slab.state == Slab.State.RETIRED),
    )


def _volume(planned: Mapping[str, Any]) -> float:
    """Of the whole planned slab, the way a tallied one is counted: mean of both faces, end to end. [m3]"""
    kept = planned["outline"]
    z, upper, lower = (np.asarray(kept[k], float) for k in ("z_m", "upper_edges_m", "lower_edges_m"))
    outline = SlabOutline(z, upper, lower, float(planned["green_m"]))
    return outline.thickness * face_area(z, tally_width(outline, TallyRule.MEAN), float(z[0]), float(z[-1]))


@dataclass(frozen=True, slots=True)
class Wood:
    """Where the log's wood went. [m3]"""

    log: float
    planned: float
    kerf: float
    measured: float
    tallied: int
    wanted: int


def wood_of(log: Log, rows: Iterable[Compared]) -> Wood | None:
    """Sums of the plan and of the tally; None where no plan was chosen."""
    plan = Plan.objects.filter(log=log, chosen=True).first()
    if plan is None:
        return None
    rows = list(rows)
    ledger = plan.answer["where_the_wood_went"]
    return Wood(
        log=ledger["log_m3"],
        planned=sum(r.planned_volume or 0.0 for r in rows),
        kerf=sum(n["volume_m3"] for n in ledger["lines"] if n["name"] == "kerf"),
        measured=sum(r.size.volume_m3 or 0.0 for r in rows if r.size),
        tallied=sum(1 for r in rows if r.size),
        wanted=sum(1 for r in rows if r.planned),
    )


def wood_chart(wood: Wood) -> Chart | None:
    """Two bars, as planned and as measured; None where there is nothing to compare."""
    left = wood.log - wood.measured
    if wood.log <= 0 or wood.measured <= 0 or left < 0:
        return None
    rest = max(wood.log - wood.planned - wood.kerf, 0.0)
    return _chart(tuple(round(v, 4) for v in (wood.planned, wood.kerf, rest, wood.measured, left)))


@lru_cache(maxsize=64)
def _chart(sums: Sequence[float]) -> Chart:
    planned, kerf, rest, measured, left = sums
    return stacked(
        ("as planned", "as measured"),
        (
            ("slabs, all wood", (planned, measured)),
            ("kerf", (kerf, 0.0)),
            ("opening piece, ground, waste", (rest, 0.0)),
            ("not in slabs", (0.0, left)),
        ),
        title="Where the wood went",
        along="m³",
    )

"""Where the wood went: every litre of the log on one line."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.model import Model
from pithline.saw.plan import Ledger, LedgerLine, PlannedSlab
from pithline.saw.sections import volumes_between
from pithline.saw.solution import Solution
from pithline.slab.tally import TallyUnit
from pithline.units import BOARD_FOOT

__all__ = ["ledger"]

Floats = NDArray[np.float64]


def ledger(
    solution: Solution,
    model: Model,
    slabs: tuple[PlannedSlab, ...],
    shape: LogShape,
    aims: Aims,
) -> Ledger:
    """Account for all wood under bark; the lines add up to the log."""
    step, kerf, roll = (
        model.reach.step,
        model.reach.kerf,
        math.atan2(solution.setting.sine, solution.setting.cosine),
    )
    pitch, length = solution.setting.pitch, shape.length
    edges = [h for c in solution.cuts for h in (c * step, (c - kerf) * step)]
    planes = np.array([math.inf, *edges, -math.inf])
    pieces = volumes_between(shape, roll, pitch, planes)
    log = float(pieces.sum())
    if not solution.cuts:
        return Ledger(log, (LedgerLine("stays on the ground", log, "nothing is sawn"),))
    between = pieces[2:-1:2]  # from below the first kerf to above the last
    is_slab = [any(abs(s.upper - p) < 1e-9 for s in slabs) for p in planes[2:-2:2]]
    waste = float(sum(v for v, slab in zip(between, is_slab, strict=True) if not slab))
    sold = used = trim = short = edge = allowance = 0.0
    unit = 1.0 if aims.unit is TallyUnit.M3 else BOARD_FOOT
    for s in slabs:
        both = np.array([s.upper, s.lower])

        def within(start: float, end: float, both: Floats = both) -> float:
            return float(volumes_between(shape, roll, pitch, both, start, end)[0])

        ends = within(0.0, aims.trim_butt) + within(length - aims.trim_top, length)
        made = sum(within(p.start, p.end) for p in s.pieces if p.use)
        tallied = [(p.start, p.end, p.area, p.tally) for p in s.pieces if not p.use]
        if not s.pieces:
            tallied = [(s.start, s.end, s.mean_width * s.length, s.tally)]
        run = sum(within(start, end) for start, end, _, _ in tallied)
        green = s.outline.thickness * sum(area for _, _, area, _ in tallied)
        counted = unit * sum(tally for _, _, _, tally in tallied)
        used += made
        sold += counted
        trim += ends
        short += s.solid - ends - made - run
        edge += run - green
        allowance += green - counted
    of_uses = sum(bool(p.use) for s in slabs for p in s.pieces)
    by_tally = sum(not s.pieces or any(not p.use for p in s.pieces) for s in slabs)
    lines: tuple[LedgerLine, ...] = (
        LedgerLine(
            "sold by the tally",
            sold,
            f"{by_tally} {'slab' if by_tally == 1 else 'slabs'}, {aims.tally}, {aims.unit}",
        ),
        LedgerLine("kerf", float(pieces[1:-1:2].sum()), f"{len(solution.cuts)} cuts"),
        LedgerLine("opening piece", float(pieces[0]), "above the first cut"),
        LedgerLine("stays on the ground", float(pieces[-1]), "below the last cut"),
        LedgerLine("waste between cuts", waste, ""),
        LedgerLine("edges", edge, "bark edge beyond the width that is tallied"),
        LedgerLine("too narrow or short", short, "of the slabs, outside what is sold"),
        LedgerLine("end trim", trim, "end checks"),
        LedgerLine("allowance", allowance, "sawn but not counted: shrinkage, variation, rounding"),
    )
    if of_uses:
        told = f"{of_uses} {'piece' if of_uses == 1 else 'pieces'}, all their wood, edges too"
        lines = (LedgerLine("sold as pieces", used, told), *lines)
    return Ledger(log, lines)

"""The exact model of one plan as rows, for any solver to check.

The rows are pieces of a chain that runs from the top of the log down. A row ends
with a cut: its kerf has its upper side at `lower line` and takes `kerf_lines`; the
next row's `upper line` is `lower line - kerf_lines`. Choose one `start` row and any
chain below it; the best sum of value less cost is the plan's net value.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

import numpy as np

from pithline.saw.model import Model, grounds, prepare
from pithline.saw.plan import Plan
from pithline.saw.solution import Solution, solve
from pithline.saw.timber import Timber

__all__ = ["Row", "UseRow", "model_csv", "rows", "rows_with_uses"]

Row = tuple[str, int | None, int, float, float, float]
UseRow = tuple[str, int | None, int, float, float, float, tuple[int, ...]]


def rows(solution: Solution, model: Model) -> Iterator[Row]:
    """Every piece that may be part of a chain.

    Yields
    ------
    kind : "start", "slab" or "waste"
    upper, lower : int
        Grid lines of the piece; a start has no upper line.
    thickness : float
        [m]
    value, cost : float
        Of the piece; of the cut below it. [money or tally units]
    """
    tables, first, reach, pay = solution.tables, solution.first, model.reach, model.pay
    kerf, step = reach.kerf, reach.step
    allowed = np.flatnonzero(tables.allowed)
    allowed = allowed[allowed >= kerf]
    for i in np.flatnonzero(tables.starts):
        if i >= kerf:
            yield "start", None, first + int(i), 0.0, 0.0, float(tables.costs[i])
    boxes = zip(tables.pith_low, tables.pith_high, strict=True) if pay.pith_rule == 1 else ()
    boxed = [(low / step - first, high / step - first) for low, high in boxes]
    faces = np.unique(allowed - kerf)
    for f in faces:
        for o, t in enumerate(pay.thick):
            i = f - t
            if i >= kerf and tables.allowed[i] and np.isfinite(tables.values[o, f]):
                value = float(tables.values[o, f])
                yield "slab", first + int(f), first + int(i), int(t) * step, value, float(tables.costs[i])
        for i in allowed[(allowed <= f - reach.least_waste) & (allowed >= f - reach.most_waste)]:
            if any(f > low and i < high for low, high in boxed):
                continue
            yield "waste", first + int(f), first + int(i), int(f - i) * step, 0.0, float(tables.costs[i])


def rows_with_uses(solution: Solution, model: Model) -> Iterator[UseRow]:
    """The rows of a model with uses: each says what it takes from those that are counted.

    Yields
    ------
    kind, upper, lower, thickness, value, cost
        As of `rows`; a "pair" is two slabs with a kerf between them, and its value is less
        the cut between.
    takes : tuple of int
        Pieces of each counted use, in the order of `model.wants.counted`.
    """
    wants, claimed, tables = model.wants, solution.claimed, solution.tables
    assert wants is not None
    assert claimed is not None
    first, kerf, step = solution.first, model.reach.kerf, model.reach.step
    none = (0,) * wants.caps.size
    for row in rows(solution, model):
        if row[0] != "slab":
            yield (*row, none)
    allowed = np.flatnonzero(tables.allowed)
    for f in np.unique(allowed[allowed >= kerf] - kerf):
        for o, t in enumerate(model.pay.thick):
            i, below = int(f - t), int(f - 2 * t - kerf)
            if i < kerf or not tables.allowed[i]:
                continue
            for c in np.flatnonzero(np.isfinite(claimed.values[o, :, f])):
                value = float(claimed.values[o, c, f])
                takes = tuple(int(n) for n in wants.taken[c])
                yield "slab", first + int(f), first + i, int(t) * step, value, float(tables.costs[i]), takes
            if below < kerf or not tables.allowed[below]:
                continue
            for p in np.flatnonzero(np.isfinite(claimed.paired[o, :, f])):
                value = float(claimed.paired[o, p, f])
                takes = tuple(int(n) for n in wants.taken[wants.single[wants.pairs[p]]])
                cost = float(tables.costs[below])
                yield "pair", first + int(f), first + below, int(t) * step, value, cost, takes


def model_csv(plan: Plan, timber: Timber) -> str:
    """The rows of a plan's own model as CSV, with what a reader needs in comment lines."""
    model = prepare(plan.shape, plan.mill, plan.aims, plan.rates, timber)
    ground = grounds(plan.shape, plan.lie, plan.mill, plan.aims, np.array([plan.roll]))[0]
    solution = solve(model, plan.roll, plan.pitch, ground)
    out = io.StringIO()
    out.write(f"# step_m: {model.reach.step!r}\n# kerf_lines: {model.reach.kerf}\n")
    out.write(f"# roll_rad: {plan.roll!r}\n# pitch_m_per_m: {plan.pitch!r}\n# net: {solution.net!r}\n")
    out.write("# heights are lines times step above the pith line at mid-length\n")
    out.write("# take one start row, then any rows of a chain below it: a row may follow another where its\n")
    out.write("# upper_line is that row's lower_line - kerf_lines; net is the best sum of value - cost\n")
    table = csv.writer(out, lineterminator="\n")
    heading = ("kind", "upper_line", "lower_line", "thickness_m", "value", "cost")
    if model.wants is None:
        table.writerow(heading)
        table.writerows(_written(row) for row in rows(solution, model))
        return out.getvalue()
    uses = (*plan.aims.orders, *plan.rates.uses)
    names = [uses[k].name for k in model.wants.counted]
    for name, k, cap in zip(names, model.wants.counted, model.wants.caps, strict=True):
        rule = "ordered, as many as can be cut come first, then the net" if uses[k].ordered else "at most"
        out.write(f"# pieces_{name}: {cap} {rule}\n")
    table.writerow((*heading, *(f"pieces_{name}" for name in names)))
    table.writerows((*_written(row[:6]), *row[6]) for row in rows_with_uses(solution, model))
    return out.getvalue()


def _written(row: Row) -> tuple[object, ...]:
    kind, upper, lower, thickness, value, cost = row
    return kind, "" if upper is None else upper, lower, repr(thickness), repr(value), repr(cost)

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

__all__ = ["Row", "model_csv", "rows"]

Row = tuple[str, int | None, int, float, float, float]


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
    table.writerow(("kind", "upper_line", "lower_line", "thickness_m", "value", "cost"))
    for kind, upper, lower, thickness, value, cost in rows(solution, model):
        table.writerow(
            (kind, "" if upper is None else upper, lower, repr(thickness), repr(value), repr(cost))
        )
    return out.getvalue()

"""What speaks for or against a log beside its profit, in sentences."""

from __future__ import annotations

import numpy as np

from pithline.money.amount import show_money
from pithline.money.offered.call import Call
from pithline.money.offered.dried import drying_sentence
from pithline.money.offered.log import Planner
from pithline.money.offered.log_sum import LogSum
from pithline.money.offered.products import Mix
from pithline.money.offered.ways import WayOut
from pithline.money.offered.yields import Yield
from pithline.units import System, show_mass

__all__ = ["reasons_of"]


def reasons_of(
    call: Call,
    middle: Yield,
    here: LogSum,
    ways: tuple[WayOut, ...],
    others: tuple[Mix, ...],
    planner: Planner,
    currency: str,
    system: System,
) -> list[str]:
    """What else speaks for or against it."""
    lines = []
    if not middle.slabs:
        lines.append("At its middle size no slab can be sawn that pays: look at bar, least width and rates.")
    costs = {name: float(np.median(each)) for name, each in here.costs.items()}
    dear = max(costs, key=lambda name: costs[name])
    total = float(np.median(here.total_costs))
    if total > 0:
        part, whole = show_money(costs[dear], currency), show_money(total, currency)
        lines.append(f"The dearest part is {dear}: {part} of {whole}.")
    if middle.slabs:
        lines.append(f"The money comes back after {np.median(here.months):.0f} months.")
    if middle.slabs and (told := drying_sentence(call.drying, system)):
        lines.append(told)
    heavy = middle.heaviest * planner.timber.density_high
    if heavy > call.load:
        lines.append(
            f"The heaviest slab may weigh {show_mass(heavy, system, up=True)}, one load is "
            f"{show_mass(call.load, system)}: more hands, a sled or a winch, or cut it across."
        )
    base = max(ways[0].profit.p50, 0.0)
    for way in ways[1:]:
        name, left = way.name[0].upper() + way.name[1:], way.profit.p50
        if way.most_hire is None or not way.possible or left <= base * 1.1:
            continue
        if call.removal.hire is None:
            lines.append(f"{name} pays where the hire stays under {show_money(way.most_hire, currency)}.")
        else:
            lines.append(f"{name} leaves more, the hire paid: {show_money(left, currency)}.")
    best = max(others, key=lambda each: each.profit.p50)
    # Not worth a word below that: the others are planned at few sizes.
    if best.profit.p50 - others[0].profit.p50 > 0.1 * abs(others[0].profit.p50):
        left = best.profit.p50
        lines.append(f"Sawn {best.name} it leaves {show_money(left, currency)}: it dries and sells sooner.")
    return lines

"""What became of the orders: how many pieces are cut, what they cost, and what is missing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pithline.saw.block import Profile
from pithline.saw.model import Model
from pithline.saw.plan import Ordered
from pithline.saw.solution import Solution, solve
from pithline.saw.uses.use import Use
from pithline.units import System, show_length

__all__ = ["orders_filled", "unordered", "widest_over"]

Floats = NDArray[np.float64]


def unordered(model: Model, names: tuple[str, ...] | None = None) -> Model:
    """The same model where orders (all, or the named ones) may be sold but do not come first."""
    wants = model.wants
    if wants is None:
        return model
    one = wants.bonus[wants.bonus > 0]
    if not one.size:
        return model
    kept = np.zeros(wants.caps.size)
    for d, k in enumerate(wants.counted):
        alone = [c for c in range(wants.bonus.size) if wants.taken[c, d] and wants.taken[c].sum() == 1]
        name = model.use_names[k]
        first = any(wants.bonus[c] > 0 for c in alone)
        kept[d] = float(one.min()) if first and names is not None and name not in names else 0.0
    return replace(model, wants=wants._replace(bonus=wants.taken @ kept))


def orders_filled(
    orders: tuple[Use, ...],
    solution: Solution,
    model: Model,
    roll: float,
    ground: Floats,
    system: System = "metric",
) -> tuple[Ordered, ...]:
    """Say of every order what is cut and what it costs, at the solution's own roll and pitch."""
    wants = model.wants
    if wants is None:
        return ()
    found = []
    for k, order in enumerate(orders):
        cut = _cut(k, solution, model)
        lifted = solve(unordered(model, (order.name,)), roll, solution.setting.pitch, ground)
        wanted = order.at_most or 0
        missing = "" if cut >= wanted else _missing(k, order, cut, solution, model, system)
        found.append(Ordered(order.name, wanted, cut, max(0.0, lifted.net - solution.net), missing))
    return tuple(found)


def _cut(use: int, solution: Solution, model: Model) -> int:
    wants = model.wants
    assert wants is not None
    counted = np.flatnonzero(wants.counted == use)
    total = 0.0
    for claim, pair in solution.takes:
        c = claim if pair < 0 else int(wants.single[wants.pairs[pair]])
        share = 1.0 if pair < 0 else 0.5
        total += share * float(wants.taken[c, counted].sum())
    return round(total)


def widest_over(solution: Solution, model: Model, choice: int, length: float) -> float:
    """Widest narrow face over a length that any slab of a thickness has at this roll and pitch. [m]

    Parameters
    ----------
    choice : int
        Number in the model's menu.
    length : float
        [m]
    """
    from pithline.saw import profile_kernel

    wood, t = model.wood, int(model.pay.thick[choice])
    z = wood.z[wood.usable_from : wood.usable_to]
    tables, lines = solution.tables, solution.tables.costs.size
    count = lines - t
    if count <= 0 or z[-1] - z[0] < length:
        return 0.0
    profile = Profile.of(z.size, count)
    profile_kernel.draw(wood, model.pay, t, model.reach.step, t, count, tables, profile)
    best = 0.0
    # The narrow face is straight between stations, so the best place begins or ends at one.
    for start in np.unique(np.concatenate([z, z - length])):
        end = start + length
        if start < z[0] - 1e-12 or end > z[-1] + 1e-12:
            continue
        at = np.concatenate([[start], z[(z > start) & (z < end)], [end]])
        rows = np.array([[np.interp(a, z, profile.narrow[:, b]) for a in at] for b in _few(count)])
        best = max(best, float(rows.min(axis=1).max()))
    return best


def _few(count: int) -> NDArray[np.int64]:
    """Enough faces to find the widest within a few millimetres."""
    return np.unique(np.linspace(0, count - 1, min(count, 60)).astype(np.int64))


def _missing(k: int, order: Use, cut: int, solution: Solution, model: Model, system: System) -> str:
    wants = model.wants
    assert wants is not None
    fitting = [o for o in range(len(model.choices)) if wants.fits[o, k]]
    if not fitting:
        menu = ", ".join(dict.fromkeys(c.aim.label for c in model.choices))
        return f"its thickness is not on the menu ({menu}): add it there"
    if cut:
        return f"{cut} of {order.at_most} fit into this log, beside the other orders"
    widest = max(widest_over(solution, model, o, order.length) for o in fitting)
    width, length = show_length(order.width, system), show_length(order.length, system, "long")
    if widest < order.width:
        return f"no slab is {width} wide over {length}: the widest is about {show_length(widest, system)}"
    if order.pair:
        return f"no two neighbouring slabs are both {width} wide over {length} where the saw can pass"
    wish = (
        "figure, grain or pith"
        if order.figure or order.clear_of_pith or order.grain != "any"
        else "other orders"
    )
    return f"a slab {width} wide over {length} could be had, but {wish} or the saw's limits stand against it"

"""The cuts in sawing order, each with what to set and what to measure."""

from __future__ import annotations

from pithline.saw.mill import Mill
from pithline.saw.model import Model
from pithline.saw.plan import Cut
from pithline.saw.solution import Solution

__all__ = ["cuts_of", "turned_after"]


def turned_after(solution: Solution, model: Model, lowest: tuple[float, float]) -> int:
    """How many cuts can be made before the log must be turned over.

    Parameters
    ----------
    lowest : tuple of float
        Lowest side of a kerf as the log lies, at butt and top, above the pith. [m]

    Returns
    -------
    int
        All of them where the ground is far enough; else half at the most, because a
        log turned early keeps its balance and its growth stress on both sides.
    """
    step, kerf = model.reach.step, model.reach.kerf
    tilt = solution.setting.pitch * 0.5 * float(model.wood.z[-1])
    reached = [
        c
        for c in solution.cuts
        if (c - kerf) * step - tilt >= lowest[0] - 1e-9 and (c - kerf) * step + tilt >= lowest[1] - 1e-9
    ]
    if len(reached) == len(solution.cuts):
        return len(reached)
    return min(len(reached), (len(solution.cuts) + 1) // 2)


def cuts_of(
    solution: Solution, model: Model, mill: Mill, first_depth: float, turn: int, turned_depth: float
) -> tuple[Cut, ...]:
    """Number the cuts in the order they are sawn.

    Parameters
    ----------
    first_depth, turned_depth : float
        What the mill is set to, below the rail's underside, for the first cut and
        for the first after turning over. [m]
    turn : int
        Cuts made before turning over; the rest come from the other side.
    """
    step, kerf = model.reach.step, model.reach.kerf
    tilt = solution.setting.pitch * 0.5 * float(model.wood.z[-1])
    lines, tables = solution.cuts, solution.tables
    slab_under = {line - model.choices[o].lines: k + 1 for k, (line, o) in enumerate(solution.slabs)}
    slab_over = {line: k + 1 for k, (line, _) in enumerate(solution.slabs)}
    cuts = []
    order = list(lines[:turn]) + list(lines[turn:])[::-1]
    for n, line in enumerate(order):
        second = n >= turn
        at = lines.index(line)
        if second:
            # Seen after turning: the kerf's lower side is its near side, and the piece
            # that comes free lay below it.
            below = lines[at + 1] if at + 1 < len(lines) else None
            frees = _freed(slab_over.get(line - kerf), below is None)
            set_to = turned_depth if below is None else (line - kerf - below) * step
            face = line * step
        else:
            frees = _freed(slab_under.get(line), at == 0)
            set_to = first_depth if at == 0 else (lines[at - 1] - kerf - line) * step
            face = (line - kerf) * step
        if second and n == len(order) - 1 and turn < len(lines):
            last = slab_over.get(lines[turn - 1] - kerf) if turn > 0 else None
            if last is not None:
                frees += f" and slab {last}"
        i = line - solution.first
        width = float(max(tables.widest[i], tables.widest[i - kerf]))
        area = 0.5 * float(tables.sawn[i] + tables.sawn[i - kerf])
        cuts.append(
            Cut(
                number=n + 1,
                side=2 if second else 1,
                upper=line * step,
                set_to=set_to,
                face_butt=face - tilt,
                face_top=face + tilt,
                width=width,
                bar_needed=width + mill.clearance,
                area=area,
                minutes=area * mill.minutes_per_area + mill.minutes_per_cut,
                frees=frees,
            )
        )
    return tuple(cuts)


def _freed(slab: int | None, opening: bool) -> str:
    if slab is not None:
        return f"slab {slab}"
    return "opening piece" if opening else "waste"

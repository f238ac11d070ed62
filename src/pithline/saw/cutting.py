"""The cuts in sawing order, each with what to set and what to measure."""

from __future__ import annotations

from pithline.saw.mill import Mill
from pithline.saw.model import Model
from pithline.saw.plan import Cut
from pithline.saw.solution import Solution

__all__ = ["cuts_of", "order_of", "turned_after"]


def turned_after(
    solution: Solution, model: Model, lowest: tuple[float, float], alternate: bool = False
) -> int:
    """How many cuts are made from the side that lies up at first.

    Parameters
    ----------
    lowest : tuple of float
        Lowest side of a kerf as the log lies, at butt and top, above the pith. [m]
    alternate : bool
        Cuts are made from both sides in turn.

    Returns
    -------
    int
        All of them where the ground is far enough; else, or in turn, half at the most,
        because a log turned early keeps its balance and its growth stress on both sides.
    """
    step, kerf = model.reach.step, model.reach.kerf
    tilt = solution.setting.pitch * 0.5 * float(model.wood.z[-1])
    half = (len(solution.cuts) + 1) // 2
    if alternate:
        return half
    reached = [
        c
        for c in solution.cuts
        if (c - kerf) * step - tilt >= lowest[0] - 1e-9 and (c - kerf) * step + tilt >= lowest[1] - 1e-9
    ]
    if len(reached) == len(solution.cuts):
        return len(reached)
    return min(len(reached), half)


def order_of(lines: tuple[int, ...], turn: int, alternate: bool) -> list[tuple[int, int]]:
    """Cuts with their sides, in the order of sawing.

    Parameters
    ----------
    lines : tuple of int
        From the top down.
    turn : int
        Cuts made from the first side; the rest come from the other, the lowest first.
    alternate : bool
        From both sides in turn, so that what stays keeps its middle.
    """
    first = [(line, 1) for line in lines[:turn]]
    second = [(line, 2) for line in lines[turn:]][::-1]
    if not alternate:
        return first + second
    mixed = [cut for both in zip(first, second, strict=False) for cut in both]
    return mixed + first[len(second) :] + second[len(first) :]


def cuts_of(
    solution: Solution,
    model: Model,
    mill: Mill,
    first_depth: float,
    turn: int,
    turned_depth: float,
    alternate: bool = False,
) -> tuple[Cut, ...]:
    """Number the cuts in the order they are sawn.

    Parameters
    ----------
    first_depth, turned_depth : float
        What the mill is set to, below the rail's underside, for the first cut and
        for the first after turning over. [m]
    turn : int
        Cuts made from the first side; the rest come from the other side.
    alternate : bool
        From both sides in turn.
    """
    step, kerf = model.reach.step, model.reach.kerf
    tilt = solution.setting.pitch * 0.5 * float(model.wood.z[-1])
    lines, tables = solution.cuts, solution.tables
    slab_under = {line - model.choices[o].lines: k + 1 for k, (line, o) in enumerate(solution.slabs)}
    slab_over = {line: k + 1 for k, (line, _) in enumerate(solution.slabs)}
    cuts = []
    order = order_of(lines, turn, alternate)
    for n, (line, side) in enumerate(order):
        at = lines.index(line)
        # The slabs above and below the kerf, whichever of them comes free.
        over, under = slab_under.get(line), slab_over.get(line - kerf)
        if side == 2:
            # Seen after turning: the kerf's lower side is its near side, and the piece
            # that comes free lay below it.
            below = lines[at + 1] if at + 1 < len(lines) else None
            frees = _freed(under, below is None)
            set_to = turned_depth if below is None else (line - kerf - below) * step
            face = line * step
        else:
            frees = _freed(over, at == 0)
            set_to = first_depth if at == 0 else (lines[at - 1] - kerf - line) * step
            face = (line - kerf) * step
        # With the last of all cuts from two sides what stays between them comes free too.
        stays = over if side == 2 else under
        if n == len(order) - 1 and 0 < turn < len(lines) and stays is not None:
            frees += f" and slab {stays}"
        i = line - solution.first
        width = float(max(tables.widest[i], tables.widest[i - kerf]))
        area = 0.5 * float(tables.sawn[i] + tables.sawn[i - kerf])
        cuts.append(
            Cut(
                number=n + 1,
                side=side,
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

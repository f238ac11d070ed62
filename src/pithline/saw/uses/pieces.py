"""What each planned slab is sold as: lengths of it that make things, or the run by the tally."""

from __future__ import annotations

import numpy as np

from pithline.saw.block import Profile
from pithline.saw.model import Model
from pithline.saw.solution import Solution
from pithline.saw.uses.use import Piece

__all__ = ["pair_with", "pieces_of"]


def pair_with(number: int, solution: Solution) -> int | None:
    """The number of the slab that a slab makes a pair with; numbers count from 1, from the top."""
    takes = solution.takes
    if not takes or takes[number - 1][1] < 0:
        return None
    # Pairs lie one upon the other, so halves alternate from the first of a row of them.
    first = number - 1
    while first > 0 and takes[first - 1][1] >= 0:
        first -= 1
    return number + 1 if (number - 1 - first) % 2 == 0 else number - 1


def pieces_of(k: int, solution: Solution, model: Model) -> tuple[Piece, ...]:
    """The pieces of the k-th slab of a solution with uses, from the butt up."""
    from pithline.saw.uses import pair_kernel, piece_kernel

    wants = model.wants
    assert wants is not None
    names = model.use_names
    line, o = solution.slabs[k]
    claim, pair = solution.takes[k]
    f, step, tables = line - solution.first, model.reach.step, solution.tables
    if pair >= 0:
        other = pair_with(k + 1, solution)
        assert other is not None
        upper = f if other > k + 1 else solution.slabs[other - 1][0] - solution.first
        u = int(wants.pairs[pair])
        start, end, share = pair_kernel.pair_place(
            model.wood, model.pay, wants, o, u, solution.first, upper, model.reach.kerf, step, tables
        )
        return (Piece(names[u], float(start), float(end), 0.5 * float(share * wants.price[o, u])),)
    found = np.zeros((2, 4))
    piece_kernel.one_slab(model.wood, model.pay, wants, o, solution.first, f, step, tables, claim, found)
    pieces = []
    for use, start, end, value in found:
        if use >= 0:
            pieces.append(Piece(names[int(use)], float(start), float(end), float(value)))
        elif use > piece_kernel.NOTHING:
            area, tally = _tallied(model, solution, f, o, float(start), float(end))
            pieces.append(Piece("", float(start), float(end), float(value), area, tally))
    return tuple(pieces)


def _tallied(
    model: Model, solution: Solution, f: int, o: int, start: float, end: float
) -> tuple[float, float]:
    """Counted face [m2] and tally of a length of the slab under row f, in the unit of the aims."""
    from pithline.saw import profile_kernel, value_kernel

    wood, pay = model.wood, model.pay
    z = wood.z[wood.usable_from : wood.usable_to]
    profile = Profile.of(z.size)
    profile_kernel.draw(wood, pay, pay.thick[o], model.reach.step, f, 1, solution.tables, profile)
    run = np.concatenate([[start], z[(z > start) & (z < end)], [end]])
    area = float(np.trapezoid(np.interp(run, z, profile.counted[:, 0]), run))
    return area, float(value_kernel.tallied(area, end - start, pay.sold[o], pay.rounded))

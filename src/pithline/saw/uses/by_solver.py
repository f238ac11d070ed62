"""The best chain where counted uses have too many combinations for tables: by HiGHS, a general solver.

The kernels have filled what every slab and pair is worth for every claim. The chain is
then a walk down the faces, one arc for each piece, and every count is one more rule. A
walk through waste goes line by line, which takes a hundredth of the arcs that a jump to
every cut would; should it go further than the mill allows, the jumps are listed after all.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pithline.errors import NoPlan
from pithline.saw.model import Model
from pithline.saw.solution import Solution
from pithline.saw.tables import Tables
from pithline.saw.uses.wants import Wants

__all__ = ["best_walk", "ordered_pieces"]

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

_BOX = 1  # as in share_kernel, which would bring the compiler with it
_SECONDS = 30.0  # for one question; what is found by then is taken


@dataclass(frozen=True, slots=True, eq=False)
class _Arcs:
    """Pieces of a walk. Nodes: a face by its line, waste by lines + its line, the whole log last.

    Attributes
    ----------
    come, go : ndarray, shape (arcs,)
        Nodes that an arc leaves and reaches.
    gain : ndarray, shape (arcs,)
        [money]
    sawn : ndarray, shape (arcs, 3)
        Upper face, thickness number, and claim, or claims + the number of a pair; -1 where no slab is sawn.
    """

    come: Whole
    go: Whole
    gain: Floats
    sawn: Whole


_Waste = Callable[[Solution, Model, NDArray[np.bool_], Whole], tuple[Whole, Whole, Floats]]


def best_walk(solution: Solution, model: Model) -> Solution:
    """The best cuts and slabs of filled tables, with every count kept.

    Parameters
    ----------
    solution : Solution
        Its tables and claims are filled; its cuts are not read.
    model : Model

    Returns
    -------
    Solution
        Not `proved` where the time was too short to know that none is better.

    Raises
    ------
    NoPlan
        Where the solver finds nothing in time.
    """
    wants = model.wants
    assert wants is not None
    arcs = _arcs(solution, model, _stepping)
    chosen, proved = _choose(arcs, wants, _nodes(solution.tables))
    if _too_far(arcs, chosen, model, solution):
        arcs = _arcs(solution, model, _jumping)
        chosen, proved = _choose(arcs, wants, _nodes(solution.tables))
    return replace(_walked(arcs, chosen, solution, model), proved=proved)


def ordered_pieces(solution: Solution, model: Model) -> int:
    """Ordered pieces that a solution cuts; a pair counts once."""
    wants = model.wants
    assert wants is not None
    each = _counts_first(wants)
    single = sum(float(each @ wants.taken[c]) for c, pair in solution.takes if pair < 0)
    halves = [wants.single[wants.pairs[pair]] for _, pair in solution.takes if pair >= 0]
    return round(single + 0.5 * sum(float(each @ wants.taken[c]) for c in halves))


def _counts_first(wants: Wants) -> Floats:
    """1 for every counted use that is ordered, shape (counted,)."""
    alone = (wants.taken.sum(axis=1) == 1) & (wants.bonus > 0)
    return np.asarray(wants.taken[alone].any(axis=0), dtype=np.float64)


def _nodes(tables: Tables) -> int:
    return 2 * tables.costs.size + 1


def _arcs(solution: Solution, model: Model, waste: _Waste) -> _Arcs:
    tables, claimed, reach = solution.tables, solution.claimed, model.reach
    assert claimed is not None
    lines, kerf, claims = tables.costs.size, reach.kerf, claimed.values.shape[1]
    may = tables.allowed.copy()
    may[:kerf] = False
    parts: list[tuple[Whole, Whole, Floats, Whole]] = []

    def add(come: Whole, cut: Whole, gain: Floats, o: int = -1, which: int = -1) -> None:
        sawn = np.stack([come, np.full(come.size, o), np.full(come.size, which)], axis=1)
        if o < 0:
            sawn[:] = -1
        parts.append((come, cut - kerf, gain - tables.costs[cut], sawn))

    starts = np.flatnonzero(tables.starts & may)
    add(np.full(starts.size, 2 * lines), starts, np.zeros(starts.size))
    faces = np.flatnonzero(may) - kerf
    for o, thick in enumerate(model.pay.thick):
        cut = faces - int(thick)
        whole = faces[(cut >= kerf) & may[np.maximum(cut, 0)]]
        for c in range(claims):
            value = claimed.values[o, c, whole]
            can = np.isfinite(value)
            add(whole[can], whole[can] - int(thick), value[can], o, c)
        # The price of a pair is already less the cut between its slabs.
        below = whole - 2 * int(thick) - kerf
        two = whole[(below >= kerf) & may[np.maximum(below, 0)]]
        for p in range(claimed.paired.shape[1]):
            value = claimed.paired[o, p, two]
            can = np.isfinite(value)
            add(two[can], two[can] - 2 * int(thick) - kerf, value[can], o, claims + p)
    come, go, gain, sawn = (np.concatenate(part) for part in zip(*parts, strict=True))
    more = waste(solution, model, may, faces)
    none = np.full((more[0].size, 3), -1)
    return _Arcs(
        np.concatenate([come, more[0]]),
        np.concatenate([go, more[1]]),
        np.concatenate([gain, more[2]]),
        np.concatenate([sawn, none]),
    )


def _stepping(
    solution: Solution, model: Model, may: NDArray[np.bool_], faces: Whole
) -> tuple[Whole, Whole, Floats]:
    """Waste as a walk: into it below a face, down it line by line, and out of it by a cut."""
    tables, reach = solution.tables, model.reach
    lines = tables.costs.size
    into = faces[faces >= reach.least_waste]
    down = np.arange(1, lines)
    out = np.flatnonzero(may)
    come = np.concatenate([into, lines + down, lines + out])
    go = np.concatenate([lines + into - reach.least_waste, lines + down - 1, out - reach.kerf])
    return come, go, np.concatenate([np.zeros(into.size + down.size), -tables.costs[out]])


def _jumping(
    solution: Solution, model: Model, may: NDArray[np.bool_], faces: Whole
) -> tuple[Whole, Whole, Floats]:
    """Waste as one arc from every face to every cut that it may end with."""
    come, go = [], []
    cuts = np.flatnonzero(may)
    for f in faces:
        to = cuts[(cuts <= f - model.reach.least_waste) & (cuts >= _lowest(f, solution, model))]
        come.append(np.full(to.size, f))
        go.append(to)
    left, cut = np.concatenate(come), np.concatenate(go)
    return left, cut - model.reach.kerf, -solution.tables.costs[cut]


def _lowest(f: int, solution: Solution, model: Model) -> float:
    """The lowest line that waste below a face may end at."""
    tables, step = solution.tables, model.reach.step
    low = float(f - model.reach.most_waste)
    if model.pay.pith_rule == _BOX:
        for under, over in zip(tables.pith_low, tables.pith_high, strict=True):
            if f > under / step - solution.first:
                low = max(low, over / step - solution.first)
    return low


def _choose(arcs: _Arcs, wants: Wants, nodes: int) -> tuple[NDArray[np.bool_], bool]:
    """The arcs of the best walk, as many ordered pieces as can be and then the most money; whether proved."""
    from scipy.optimize import LinearConstraint, milp
    from scipy.sparse import csr_array

    count = arcs.gain.size
    at = np.arange(count)
    ones = np.ones(count)
    leave = csr_array((ones, (arcs.come, at)), (nodes, count))
    reach = csr_array((ones, (arcs.go, at)), (nodes, count))
    once = np.zeros(nodes)
    once[-1] = 1.0
    takes = _takes(arcs, wants)
    rules = [LinearConstraint(leave - reach, -np.inf, once)]
    if wants.caps.size:
        rules.append(LinearConstraint(csr_array(takes.T), -np.inf, wants.caps.astype(np.float64)))

    def most(gain: Floats) -> tuple[NDArray[np.bool_], bool]:
        answer = milp(
            -gain,
            integrality=ones,
            bounds=(0, 1),
            constraints=rules,
            options={"mip_rel_gap": 0.0, "time_limit": _SECONDS},
        )
        if answer.x is None:
            raise NoPlan("The counted uses have too many combinations. Ask for fewer, or leave caps away.")
        return np.asarray(answer.x > 0.5), answer.status == 0

    first = takes @ _counts_first(wants)
    if not first.any():
        return most(arcs.gain)
    filling, most_filled = most(first)
    rules.append(LinearConstraint(csr_array(first[None]), float(first[filling].sum()) - 0.5, np.inf))
    chosen, proved = most(arcs.gain)
    return chosen, proved and most_filled


def _takes(arcs: _Arcs, wants: Wants) -> Floats:
    """What every arc takes of the counted uses, shape (arcs, counted)."""
    claims = wants.taken.shape[0]
    which = arcs.sawn[:, 2]
    of_pairs = wants.taken[wants.single[wants.pairs]]
    rows = np.concatenate([wants.taken, of_pairs, np.zeros((1, wants.caps.size), dtype=np.int64)])
    assert rows.shape[0] == claims + wants.pairs.size + 1
    return np.asarray(rows[which], dtype=np.float64)  # -1 reads the last row, which takes nothing


def _too_far(arcs: _Arcs, chosen: NDArray[np.bool_], model: Model, solution: Solution) -> bool:
    lines = solution.tables.costs.size
    after = {int(arcs.come[k]): int(arcs.go[k]) for k in np.flatnonzero(chosen)}
    node, left = 2 * lines, None
    while node in after:
        there = after[node]
        if node < lines <= there:
            left = node
        elif there < lines <= node < 2 * lines and left is not None:
            if there + model.reach.kerf < _lowest(left, solution, model):
                return True
            left = None
        node = there
    return False


def _walked(arcs: _Arcs, chosen: NDArray[np.bool_], solution: Solution, model: Model) -> Solution:
    """Read cuts and slabs off the walk, from the top down."""
    wants, tables, first = model.wants, solution.tables, solution.first
    assert wants is not None
    lines, kerf, claims = tables.costs.size, model.reach.kerf, wants.bonus.size
    after = {int(arcs.come[k]): int(k) for k in np.flatnonzero(chosen)}
    cuts: list[int] = []
    slabs: list[tuple[int, int]] = []
    takes: list[tuple[int, int]] = []
    node, net = 2 * lines, 0.0
    while node in after:
        k = after[node]
        face, o, which = (int(n) for n in arcs.sawn[k])
        net += float(arcs.gain[k])
        node = int(arcs.go[k])
        if o >= 0:
            slabs.append((first + face, o))
            takes.append((which, -1) if which < claims else (0, which - claims))
            if which >= claims:
                between = face - int(model.pay.thick[o])
                cuts.append(first + between)
                slabs.append((first + between - kerf, o))
                takes.append((0, which - claims))
        if node < lines:
            cuts.append(first + node + kerf)
    if not math.isfinite(net) or (net <= 0.0 and not _filled(wants, takes)):
        return replace(solution, net=0.0, cuts=(), slabs=(), takes=())
    return replace(solution, net=net, cuts=tuple(cuts), slabs=tuple(slabs), takes=tuple(takes))


def _filled(wants: Wants, takes: list[tuple[int, int]]) -> bool:
    each = wants.taken @ _counts_first(wants)
    return any(each[c if p < 0 else wants.single[wants.pairs[p]]] > 0 for c, p in takes)

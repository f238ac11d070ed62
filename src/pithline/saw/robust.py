"""Cuts that stay good though the log was measured by tape: the best on average over drawn logs.

The best plan of the log as measured is the best of one log only. The best plans of some logs
drawn within the measuring error stand beside it, and all are valued again in many more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from pithline.log.shape import LogShape
from pithline.saw.aims import Aims
from pithline.saw.model import Model, wood_of
from pithline.saw.plan import Spread
from pithline.saw.solution import Solution, solve
from pithline.saw.spread import revalue, spread_of
from pithline.saw.tables import Tables
from pithline.saw.uses.tabled import need_tables

__all__ = ["Candidate", "Robust", "robust", "stays_makeable"]

Floats = NDArray[np.float64]
T = TypeVar("T")
_THREADS = 2


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """One row of cuts, valued in every drawn log.

    Attributes
    ----------
    heights : tuple of float
        Upper sides of the kerfs above the pith line, from the top down. [m]
    slabs : tuple of (float, int)
        Upper face above the pith line [m] and number of the choice in the menu.
    nets : ndarray, shape (draws,)
        Net value in each drawn log. [money or tally units]
    mean : float
    spread : Spread
        10, 50 and 90 % of `nets`.
    loss : float
        Mean of what each draw's own best plan brings more.
    stopped : float
        Share of draws in which bar, rail height or metal would stop one of the cuts; there the
        cuts are valued as if they could be made. [fraction]
    """

    heights: tuple[float, ...]
    slabs: tuple[tuple[float, int], ...]
    nets: Floats
    mean: float
    spread: Spread
    loss: float
    stopped: float


@dataclass(frozen=True, slots=True, eq=False)
class Robust:
    """The best plan as measured beside the best on average.

    Attributes
    ----------
    nominal, best : Candidate
        The same object where nothing beats the nominal plan.
    gain, gain_error : float
        Mean of `best` less mean of `nominal`, and the standard error of that difference over the
        draws. A gain of less than two errors is not one.
    known : float
        Mean over draws of that draw's own best plan: what perfect knowledge would bring.
    candidates : int
        Different rows of cuts that were valued.
    moved : float
        Largest distance from a cut of `best` to the nearest of `nominal`. [m]
    """

    nominal: Candidate
    best: Candidate
    gain: float
    gain_error: float
    known: float
    candidates: int
    moved: float


def robust(
    solution: Solution,
    model: Model,
    trials: Iterable[LogShape],
    shapes: Iterable[LogShape],
    aims: Aims,
    *,
    roll: float,
    ground: Floats,
) -> Robust:
    """Find the cuts with the best expected net value over logs drawn within the measuring error.

    Parameters
    ----------
    solution : Solution
        The best plan of the log as measured.
    model : Model
        That it was found in.
    trials : iterable of LogShape
        Drawn logs whose best plans are tried. See `log.measuring.perturbed`.
    shapes : iterable of LogShape
        Other drawn logs, in which all are valued; at least one.
    aims : Aims
    roll : float
        Of the solution's setting; its pitch is kept too. [rad]
    ground : ndarray, shape (2,)
        See `saw.model.grounds`: measured from the pith marks, it does not move with the draw. [m]

    Returns
    -------
    Robust

    Notes
    -----
    Sample average approximation: the average over one sample stands for the expectation [1]_. The
    best is picked on the same draws that judge it, so its gain is a little too high; `gain_error`
    says by how much chance alone could move it.

    References
    ----------
    .. [1] Kleywegt, Shapiro and Homem-de-Mello, "The sample average approximation method for
       stochastic discrete optimization", SIAM J. Optim. 12 (2002) 479-502 [from memory].
    """
    need_tables(model, "A plan that bears the measuring error")
    pitch = solution.setting.pitch

    def own_best(shape: LogShape) -> Solution:
        return solve(replace(model, wood=wood_of(shape, aims)), roll, pitch, ground)

    rows = {_key(solution): solution}
    for found in _shared(own_best, trials):
        if found.slabs:
            rows.setdefault(_key(found), found)
    tried = list(rows.values())
    lines = max(each.tables.costs.size for each in tried)
    piths = solution.tables.pith_low.size

    def judged(shape: LogShape) -> tuple[float, list[float], list[bool]]:
        wood = wood_of(shape, aims)
        best = solve(replace(model, wood=wood), roll, pitch, ground)
        # A candidate from a thicker drawn log counts more lines than the log as measured.
        tables = Tables.of(wood.z.size, lines, len(model.choices), piths)
        nets = [revalue(model, wood, each, tables)[0] for each in tried]
        return best.net, nets, [stays_makeable(each, best, model.reach.kerf) for each in tried]

    draws = _shared(judged, shapes)
    nets = np.array([d[1] for d in draws])  # (draws, candidates)
    makeable = np.array([d[2] for d in draws])
    # Cuts valued as if they could be made may beat a plan that keeps the mill's limits.
    known = np.maximum(np.array([d[0] for d in draws]), nets.max(axis=1))
    judged_all = [
        Candidate(
            heights=tuple(c * model.reach.step for c in each.cuts),
            slabs=tuple((f * model.reach.step, o) for f, o in each.slabs),
            nets=nets[:, k],
            mean=float(nets[:, k].mean()),
            spread=spread_of(nets[:, k]),
            loss=float((known - nets[:, k]).mean()),
            stopped=float(1 - makeable[:, k].mean()),
        )
        for k, each in enumerate(tried)
    ]
    nominal = judged_all[0]
    # Cuts that the mill cannot make as often as the nominal ones are no better for being worth more.
    fair = [c for c in judged_all if c.stopped <= nominal.stopped + 1e-12]
    best = max(fair, key=lambda c: c.mean)  # of equals the nominal, which stands first
    more = best.nets - nominal.nets
    error = float(more.std(ddof=1) / np.sqrt(more.size)) if more.size > 1 else 0.0
    return Robust(
        nominal=nominal,
        best=best,
        gain=float(more.mean()),
        gain_error=error,
        known=float(known.mean()),
        candidates=len(tried),
        moved=max(min(abs(a - b) for b in nominal.heights) for a in best.heights),
    )


def stays_makeable(solution: Solution, other: Solution, kerf: int) -> bool:
    """Whether every cut of one solution could be made in the log of another (`kerf` in lines)."""
    tables = other.tables
    lines = np.array(solution.cuts, dtype=np.int64) - other.first
    # A cut wholly outside the wood of a thinner log is a pass through air: nothing stops it.
    inside = lines[(lines >= kerf) & (lines < tables.allowed.size)]
    return inside.size == 0 or bool(tables.allowed[inside].all() and tables.starts[inside[0]])


def _key(solution: Solution) -> tuple[object, ...]:
    return solution.cuts, solution.slabs, solution.takes


def _shared(work: Callable[[LogShape], T], shapes: Iterable[LogShape]) -> list[T]:
    with ThreadPoolExecutor(_THREADS) as pool:
        return list(pool.map(work, shapes))

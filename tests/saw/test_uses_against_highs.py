"""The full model, with uses, caps, orders and pairs, against a general solver on its own rows.

As in `test_planner_against_highs`, with one more rule for each use that is counted; an
order counts more than any wood, so that as many pieces as can be are cut.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp
from scipy.sparse import csr_array, vstack

from pithline.saw.rows import UseRow, rows_with_uses
from pithline.saw.solution import Solution, solve
from tests.saw.test_planner_against_highs import flow
from tests.saw.wishes import uses, with_uses
from tests.strategies import Case, case

FIRST = 1e5  # an ordered piece, in money: more than these logs bring


def by_milp(
    found: list[UseRow], kerf: int, caps: Iterable[int], ordered: Iterable[bool]
) -> tuple[int, float]:
    """Ordered pieces cut, and net value."""
    if not found:
        return 0, 0.0
    gain, rule, most = flow([row[:6] for row in found], kerf)
    takes = csr_array(np.array([row[6] for row in found], dtype=float).T.reshape(-1, len(found)))
    come_first = np.array(list(ordered), dtype=float) @ takes.toarray() if takes.shape[0] else 0.0 * gain
    answer = milp(
        -(gain + FIRST * come_first),
        integrality=np.ones(gain.size),
        bounds=(0, 1),
        constraints=LinearConstraint(
            vstack([rule, takes]) if takes.shape[0] else rule, -np.inf, [*most, *caps]
        ),
        options={"mip_rel_gap": 0.0},
    )
    assert answer.status == 0, answer.message
    chosen = answer.x > 0.5
    return int(come_first[chosen].sum()), float(gain[chosen].sum())


def by_trying_all(found: list[UseRow], kerf: int, caps: list[int], ordered: list[bool]) -> tuple[int, float]:
    """Every chain, one after the other, without remembering anything."""
    after: dict[int | None, list[UseRow]] = defaultdict(list)
    for row in found:
        after[row[1]].append(row)
    best = (0, 0.0)

    def on(face: int | None, net: float, left: tuple[int, ...]) -> None:
        nonlocal best
        filled = sum(c - n for c, n, o in zip(caps, left, ordered, strict=True) if o)
        best = max(best, (filled, net))
        for _, _, lower, _, value, cost, takes in after[face]:
            rest = tuple(n - t for n, t in zip(left, takes, strict=True))
            if min(rest, default=0) >= 0:
                on(lower - kerf, net + value - cost, rest)

    on(None, 0.0, tuple(caps))
    return best


def filled(solution: Solution, job: Case) -> int:
    """Ordered pieces that a solution cuts; a pair counts once."""
    wants = job.model.wants
    assert wants is not None
    wanted = (*job.aims.orders, *job.rates.uses)
    ordered = np.array([wanted[k].ordered for k in wants.counted], dtype=float)
    singles = sum(float(ordered @ wants.taken[c]) for c, pair in solution.takes if pair < 0)
    pairs = [pair for _, pair in solution.takes if pair >= 0]
    return round(singles + sum(float(ordered @ wants.taken[wants.single[wants.pairs[p]]]) for p in pairs) / 2)


def parts(job: Case) -> tuple[Solution, list[UseRow], list[int], list[bool]]:
    model = job.model
    solution = solve(model, job.roll, job.pitch, job.ground)
    assert model.wants is not None
    wanted = (*job.aims.orders, *job.rates.uses)
    ordered = [wanted[k].ordered for k in model.wants.counted]
    return solution, list(rows_with_uses(solution, model)), list(model.wants.caps), ordered


def agrees(seed: int, step: float, **fixed: object) -> str:
    """Compare with HiGHS; returns what was in the plan."""
    job = case(seed, step, **fixed)
    job = with_uses(job, uses(seed, job))
    solution, found, caps, ordered = parts(job)
    pieces, net = by_milp(found, job.model.reach.kerf, caps, ordered)
    assert filled(solution, job) == pieces
    assert net == pytest.approx(solution.net, rel=1e-9, abs=1e-9)
    pairs = "pair " if any(p >= 0 for _, p in solution.takes) else ""
    made = "use " if any(c > 0 for c, _ in solution.takes) else ""
    return f"{'slabs ' if solution.slabs else ''}{made}{pairs}{'order' if pieces else ''}"


def test_net_value_and_orders_equal_the_solvers():
    drawn = [(0.005, k) for k in range(8)] + [(0.008, 100 + k) for k in range(56)]
    seen = [agrees(seed, step, both_sides=True) for step, seed in drawn]
    for kind in ("slabs", "use", "pair", "order"):
        assert sum(kind in made for made in seen) >= 2, kind


@pytest.mark.parametrize("seed", [1, 3, 7, 9, 11, 12])
def test_net_value_and_orders_equal_the_best_of_all_chains(seed):
    # A grid of 24 mm leaves some 15 lines and so few chains that all can be tried.
    job = case(seed, 0.024, both_sides=True, least_width=0.05).but(mill={"bar": 2.0})
    job = with_uses(job, uses(seed + 40, job))
    solution, found, caps, ordered = parts(job)
    pieces, net = by_trying_all(found, job.model.reach.kerf, caps, ordered)
    assert solution.slabs
    assert filled(solution, job) == pieces
    assert net == pytest.approx(solution.net, rel=1e-9, abs=1e-9)

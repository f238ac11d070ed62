"""The kernels against their plain twin: every table, and the best value.

The twin (`twin.py`) goes its own way from the log to the net value. Both reckon in
double precision, in another order: 1e-9 of the value leaves six digits for that.
"""

from __future__ import annotations

import numpy as np
import pytest

from pithline.log.zones import ZoneKind
from pithline.saw.aims import BarkWay, PithRule, SizeKind, ThicknessAim
from pithline.saw.solution import Solution, solve
from pithline.slab.tally import TallyRule, TallyUnit
from tests.saw.twin import Twin
from tests.strategies import Case, case

STEP = 0.006
SEEDS = range(30)
CLOSE = {"rtol": 1e-9, "atol": 1e-9}
FINISHED = ThicknessAim("50 mm finished", SizeKind.FINISHED, 0.05)


def both(job: Case) -> tuple[Solution, Twin]:
    solution = solve(job.model, job.roll, job.pitch, job.ground)
    return solution, Twin(job, solution.first, solution.tables.costs.size)


def agree(job: Case) -> Solution:
    """Compare everything that the kernels wrote with the twin's."""
    solution, twin = both(job)
    tables, lines = solution.tables, range(solution.tables.costs.size)
    np.testing.assert_allclose(tables.width, twin.width, **CLOSE)
    np.testing.assert_allclose(tables.figured, twin.figured, **CLOSE)
    # Where there is no wood the edges do not matter.
    wood = twin.width > 0
    np.testing.assert_allclose(np.where(wood, tables.left, 0), np.where(wood, twin.left, 0), **CLOSE)
    np.testing.assert_array_equal(tables.allowed, [twin.allowed(i) for i in lines])
    np.testing.assert_array_equal(tables.starts, [twin.start(i) for i in lines])
    costs = [twin.cost(i) if i >= twin.kerf else 0.0 for i in lines]
    np.testing.assert_allclose(tables.costs, costs, **CLOSE)
    values = [[twin.slab(f, o).value for f in lines] for o in range(len(twin.choices))]
    np.testing.assert_allclose(tables.values, values, **CLOSE)
    assert solution.net == pytest.approx(twin.best(), rel=1e-9)
    return solution


@pytest.mark.parametrize("seed", SEEDS)
def test_kernels_equal_their_twin(seed):
    agree(case(seed, STEP))


def test_the_seeds_try_every_rule():
    # Lest a change of the drawing leaves some branch of the kernels without a twin.
    jobs = [case(seed, STEP) for seed in SEEDS]
    for name, kinds in (("tally", TallyRule), ("unit", TallyUnit), ("pith", PithRule), ("bark", BarkWay)):
        assert {getattr(job.aims, name) for job in jobs} == set(kinds)
    assert {q.kind for job in jobs for q in job.shape.zones} == set(ZoneKind)
    assert {t.kind for job in jobs for t in job.aims.thicknesses} == set(SizeKind)
    assert any(job.shape.second_pith is not None for job in jobs)
    figured = [job for job in jobs if any(q.kind is ZoneKind.FIGURE for q in job.shape.zones)]
    assert any(job.rates.figure > 0 for job in figured)
    assert any(job.roll and job.pitch for job in jobs)
    assert any(not job.roll and not job.pitch for job in jobs)
    assert sum(bool(solve(job.model, job.roll, job.pitch, job.ground).slabs) for job in jobs) > len(jobs) / 2


@pytest.mark.parametrize("rule", list(PithRule))
@pytest.mark.parametrize("seed", [3, 9])
def test_finished_sizes_under_every_pith_rule(rule, seed):
    job = case(seed, STEP, pith=rule, thicknesses=(FINISHED,), both_sides=True, least_width=0.1)
    assert agree(job).slabs


@pytest.mark.parametrize("seed", [1, 4])
def test_a_wide_log_in_bays(seed):
    # Ribs as deep as a third of the radius: lines cross the outline four times and more.
    job = case(seed, STEP, both_sides=True)
    ring = job.shape.outlines.mean(axis=0)
    turn = np.linspace(0, 2 * np.pi, ring.shape[0], endpoint=False)
    star = (1 + 0.3 * np.cos(5 * turn + seed))[None, :, None] * job.shape.outlines
    lobed = job.but(shape={"outlines": star}, mill={"bar": 3.0})
    solution = agree(lobed)
    assert solution.slabs


@pytest.mark.parametrize("seed", [17, 23, 148])
@pytest.mark.parametrize("left_behind", [np.nan, np.inf, -1e300])
def test_what_lies_in_fresh_memory_does_not_matter(seed, left_behind):
    # Kernels take memory as they find it; once a slab's value hung on what lay there.
    job = case(seed, STEP)
    model, ground = job.model, job.ground
    expected = solve(model, job.roll, job.pitch, ground).tables.values
    for _ in range(3):
        sizes = (64, 256, 39 * 64, 39 * 256, 41 * 256, 5 * 256, expected.shape[1])
        dirt = [np.full(size, left_behind) for size in sizes for _ in range(20)]
        del dirt
        found = solve(model, job.roll, job.pitch, ground).tables.values
        np.testing.assert_array_equal(found, expected)


@pytest.mark.parametrize("seed", [1, 4, 7])
def test_no_slab_holds_a_plane_to_be_skipped(seed):
    job = case(seed, STEP, both_sides=True, least_width=0.1, skips=((0.03, 0.045), (-0.05, -0.04)))
    solution = agree(job)
    for line, choice in solution.slabs:
        upper, lower = line * STEP, (line - job.model.choices[choice].lines) * STEP
        assert (
            lower >= 0.045 - 1e-9 or (lower >= -0.04 - 1e-9 and upper <= 0.03 + 1e-9) or upper <= -0.05 + 1e-9
        )

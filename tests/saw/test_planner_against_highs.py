"""The planner's net value against a general solver, HiGHS, on the rows that it writes out itself.

The rows say: start once; each piece goes on from where another's cut ended; a chain
may stop anywhere. That is a flow of one unit, written here as 0/1 variables from the
rows' own words alone.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from collections.abc import Iterable

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, linprog, milp
from scipy.sparse import csr_array

from pithline.saw.aims import Following, PithRule, SizeKind, ThicknessAim
from pithline.saw.planning import plan
from pithline.saw.rows import Row, model_csv, rows
from pithline.saw.solution import solve
from tests.strategies import TIMBER, Case, case

Flow = tuple[np.ndarray, csr_array, np.ndarray]


def flow(found: Iterable[Row], kerf: int) -> Flow:
    """Gain of every row, and the rule that no face is left more often than it is reached."""
    found = list(found)
    # One number for every line at which a cut ends; line None is the whole log, reached once.
    nodes: dict[int | None, int] = {None: 0}
    for _, upper, lower, *_ in found:
        for at in (upper, lower - kerf):
            nodes.setdefault(at, len(nodes))
    gain = np.array([value - cost for *_, value, cost in found])
    count = len(found)
    leaves = csr_array(
        (np.ones(count), ([nodes[u] for _, u, *_ in found], range(count))), (len(nodes), count)
    )
    reach = [nodes[low - kerf] for _, _, low, *_ in found]
    reaches = csr_array((np.ones(count), (reach, range(count))), (len(nodes), count))
    most = np.zeros(len(nodes))
    most[0] = 1.0
    return gain, leaves - reaches, most


def by_milp(gain: np.ndarray, rule: csr_array, most: np.ndarray) -> float:
    if not gain.size:
        return 0.0
    answer = milp(
        -gain,
        integrality=np.ones(gain.size),
        bounds=(0, 1),
        constraints=LinearConstraint(rule, -np.inf, most),
        options={"mip_rel_gap": 0.0},
    )
    assert answer.status == 0, answer.message
    # The solver's own sum carries its tolerance; the chosen rows add up exactly.
    return float(gain[answer.x > 0.5].sum())


def by_lp(gain: np.ndarray, rule: csr_array, most: np.ndarray) -> float:
    answer = linprog(-gain, A_ub=rule, b_ub=most, bounds=(0, 1), method="highs-ds")
    assert answer.status == 0, answer.message
    return float(-answer.fun)


def by_trying_all(found: Iterable[Row], kerf: int) -> float:
    """Every chain, one after the other, without remembering anything."""
    after: dict[int | None, list[Row]] = defaultdict(list)
    for row in found:
        after[row[1]].append(row)
    best = 0.0

    def on(face: int | None, so_far: float) -> None:
        nonlocal best
        best = max(best, so_far)
        for _, _, lower, _, value, cost in after[face]:
            on(lower - kerf, so_far + value - cost)

    on(None, 0.0)
    return best


def agrees(job: Case) -> bool:
    """Compare with HiGHS; returns whether there was anything to saw."""
    model = job.model
    solution = solve(model, job.roll, job.pitch, job.ground)
    found = list(rows(solution, model))
    gain, rule, most = flow(found, model.reach.kerf)
    assert by_milp(gain, rule, most) == pytest.approx(solution.net, rel=1e-9, abs=1e-9)
    # The plan itself is a chain of these rows, and worth what it says.
    chosen: dict[tuple[int | None, int], float] = defaultdict(lambda: -np.inf)
    for _, upper, lower, _, value, cost in found:
        chosen[upper, lower] = max(chosen[upper, lower], value - cost)
    faces = [None, *(c - model.reach.kerf for c in solution.cuts)][: len(solution.cuts)]
    total = sum(chosen[f, c] for f, c in zip(faces, solution.cuts, strict=True))
    assert total == pytest.approx(solution.net, rel=1e-9, abs=1e-9)
    return bool(solution.slabs)


@pytest.mark.parametrize(("step", "logs"), [(0.003, 5), (0.004, 15), (0.005, 42)])
def test_net_value_equals_the_solvers(step, logs):
    sawn = sum(agrees(case(1000 * round(1000 * step) + k, step)) for k in range(logs))
    assert sawn >= logs / 3  # some drawn logs are worth nothing, and the solver must say so too


def test_net_value_equals_the_solvers_on_one_millimetre():
    menu = (
        ThicknessAim("12/4", SizeKind.ROUGH_DRY, 0.0762, 12),
        ThicknessAim("52 mm green", SizeKind.GREEN, 0.052),
    )
    job = case(29, 0.001, both_sides=True, least_width=0.1, pith=PithRule.FREE, thicknesses=menu)
    assert agrees(job)


def test_the_relaxed_rows_have_the_same_best():
    # The rows are an interval matrix, so the linear programme is exact without whole numbers.
    for seed in (4, 8, 24):
        job = case(seed, 0.004)
        model = job.model
        solution = solve(model, job.roll, job.pitch, job.ground)
        gain, rule, most = flow(rows(solution, model), model.reach.kerf)
        assert solution.net > 0
        assert by_lp(gain, rule, most) == pytest.approx(solution.net, rel=1e-7)  # the solver's tolerance


@pytest.mark.parametrize("seed", [1, 3, 5, 7, 11, 25, 28])
def test_net_value_equals_the_best_of_all_chains(seed):
    # A grid of 16 mm leaves some 25 lines and so few chains that all can be tried.
    job = case(seed, 0.016, both_sides=True, least_width=0.05, pith=PithRule.FREE).but(mill={"bar": 2.0})
    model = job.model
    solution = solve(model, job.roll, job.pitch, job.ground)
    found = list(rows(solution, model))
    assert len(found) < 400
    assert by_trying_all(found, model.reach.kerf) == pytest.approx(solution.net, rel=1e-12)


def read(text: str) -> tuple[list[Row], dict[str, str]]:
    """Rows and comments of the model's file, with nothing else known."""
    lines = text.splitlines()
    said = dict(line[2:].split(": ", 1) for line in lines if line.startswith("# ") and ": " in line)
    table = csv.DictReader(line for line in lines if not line.startswith("#"))
    found: list[Row] = [
        (
            r["kind"],
            int(r["upper_line"]) if r["upper_line"] else None,
            int(r["lower_line"]),
            float(r["thickness_m"]),
            float(r["value"]),
            float(r["cost"]),
        )
        for r in table
    ]
    return found, said


@pytest.mark.parametrize("seed", [8, 24, 29])
def test_the_models_file_suffices_by_itself(seed):
    job = case(seed, 0.004, both_sides=True)
    given = job.but(aims={"follow": Following.GIVEN, "pitch": job.pitch, "roll": job.roll})
    made = plan(given.shape, given.lie, given.mill, given.aims, given.rates, given.timber, compare=False)
    found, said = read(model_csv(made, TIMBER))
    gain, rule, most = flow(found, int(said["kerf_lines"]))
    best = by_milp(gain, rule, most)
    assert best == pytest.approx(float(said["net"]), rel=1e-9)
    assert best == pytest.approx(made.net, rel=1e-9)
    # Sizes in the file are lines times step.
    for kind, upper, lower, thickness, *_ in found:
        if kind != "start":
            assert thickness == pytest.approx((upper - lower) * float(said["step_m"]))

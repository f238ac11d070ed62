"""How fast the planner is: one setting against a general solver, and the full search.

The solver is HiGHS, through scipy, on the very rows of the planner's model; both of its
ways must find the same best. Says what else the machine was doing: times count only
where it was idle.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from pithline.log.shape import LogShape
from pithline.log.zones import Zone, ZoneKind
from pithline.saw import planner_kernel
from pithline.saw.aims import PithRule, SizeKind, ThicknessAim
from pithline.saw.model import Model, grounds, prepare
from pithline.saw.rates import Rates, Step
from pithline.saw.rows import rows
from pithline.saw.search import best_setting
from pithline.saw.solution import room, solve
from pithline.saw.tables import Setting
from pithline.slab.tally import TallyRule, TallyUnit

sys.path.insert(0, str(Path(__file__).parent.parent))  # for the drawn logs of the tests

from tests.saw.test_planner_against_highs import by_lp, by_milp, flow
from tests.strategies import Case, case

MENU = tuple(ThicknessAim(f"{t} mm green", SizeKind.GREEN, t / 1000) for t in (54, 66, 80))


def best_of(times: int, work: Callable[[], Any]) -> float:
    """Wall time of the fastest of several runs. [s]"""
    took = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        took.append(time.perf_counter() - began)
    return min(took)


def job(figure: bool) -> Case:
    """An invented log of some 80 cm, with premiums for width, length and figure."""
    drawn = case(29, 0.001, both_sides=True, least_width=0.2, pith=PithRule.FREE, thicknesses=MENU)
    turn = np.linspace(0, 2 * np.pi, 96, endpoint=False)
    ring = 0.4 * (1 + 0.03 * np.cos(2 * turn) + 0.02 * np.cos(3 * turn))[:, None]
    ring = ring * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    z = np.linspace(0, 4.2, 4)
    outlines = np.stack([ring * (1 - 0.04 * s) + (0.02 * s, 0.01) for s in z])
    zones = (Zone(ZoneKind.FIGURE, 2.4, 3.6, 0.1, 0.2, 0.12),) if figure else ()
    shape = LogShape.of(z, outlines, np.full(4, 0.015), None, zones)
    rates = Rates(
        "EUR",
        tuple((m.label, 700.0 + 100 * k) for k, m in enumerate(MENU)),
        width=(Step(0.4, 0.1), Step(0.6, 0.25)),
        length=(Step(2.0, 0.05), Step(3.0, 0.15)),
        figure=0.4,
        per_cut_area=6.0,
        per_slab=5.0,
    )
    return replace(drawn, shape=shape, rates=rates, roll=0.3, pitch=0.002).but(
        mill={"bar": 1.2, "kerf": 0.009, "depth_max": 0.33},
        aims={
            "tally": TallyRule.MEAN,
            "unit": TallyUnit.M3,
            "least_waste": None,
            "trim_butt": 0.05,
            "trim_top": 0.05,
            "least_length": 1.2,
        },
    )


def one_setting(made: Model, work: Case) -> list[tuple[str, float, float]]:
    """Ours, HiGHS's whole-number way and its linear way. [s], [ratio to ours]"""
    tables = room(made, edges=False, pitch=work.pitch)
    setting = Setting(
        float(np.sin(work.roll)),
        float(np.cos(work.roll)),
        work.pitch,
        float(work.ground[0]),
        float(work.ground[1]),
    )
    kernel = best_of(50, lambda: planner_kernel.solve(made.wood, made.reach, made.pay, setting, tables))
    whole = best_of(20, lambda: solve(made, work.roll, work.pitch, work.ground))
    solution = solve(made, work.roll, work.pitch, work.ground)
    gain, rule, most = flow(rows(solution, made), made.reach.kerf)
    found: dict[str, float] = {}

    def keep(name: str, how: Callable[..., float]) -> float:
        return best_of(2, lambda: found.__setitem__(name, how(gain, rule, most)))

    milp, lp = keep("milp", by_milp), keep("lp", by_lp)
    assert abs(found["milp"] - solution.net) <= 1e-9 * solution.net
    assert abs(found["lp"] - solution.net) <= 1e-7 * solution.net
    print(
        f"One roll and pitch: {solution.tables.costs.size} lines of 1 mm, {len(MENU)} thicknesses, "
        f"{made.wood.z.size} stations, {gain.size} rows; best {solution.net:.2f} by all three.\n"
    )
    return [
        ("planner, tables and best chain", kernel, 1.0),
        ("planner, with the slabs traced", whole, whole / kernel),
        ("HiGHS, linear (rows given)", lp, lp / kernel),
        ("HiGHS, whole numbers (rows given)", milp, milp / kernel),
    ]


def full_search(made: Model, work: Case) -> float:
    """180 rolls by 5 pitches on two threads. [s]"""
    rolls, pitches = np.radians(np.arange(0, 360, 2.0)), np.linspace(-0.01, 0.01, 5)
    ground = grounds(work.shape, work.lie, work.mill, work.aims, rolls)
    return best_of(7, lambda: best_setting(made, rolls, pitches, ground))


def show(heads: tuple[str, ...], lines: list[tuple[str, ...]]) -> None:
    """A markdown table."""
    for line in (heads, tuple("---" for _ in heads), *lines):
        print("| " + " | ".join(line) + " |")
    print()


if __name__ == "__main__":
    began = time.perf_counter()
    plain, figured = job(figure=False), job(figure=True)
    both = (("without figure", plain), ("with a figure zone", figured))
    models = [(name, w, prepare(w.shape, w.mill, w.aims, w.rates, w.timber)) for name, w in both]
    solve(models[0][2], 0.0, 0.0, plain.ground)
    print(f"First solve, with loading or compiling the kernels: {time.perf_counter() - began:.2f} s.\n")
    if hasattr(os, "getloadavg"):
        print(f"{os.cpu_count()} processors, load before: {os.getloadavg()[0]:.2f}.\n")
    lines = one_setting(models[1][2], figured)
    show(("one setting", "ms", "times ours"), [(n, f"{1000 * t:.2f}", f"{r:,.0f}") for n, t, r in lines])
    show(
        ("full search, 180 rolls × 5 pitches, 2 threads", "ms"),
        [(name, f"{1000 * full_search(made, work):.0f}") for name, work, made in models],
    )

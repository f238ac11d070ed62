"""How fast the drying forecast is: one slab, a yard of 2,000, and against a general integrator.

The integrator is scipy's BDF on the very same equations, restarted at each change of the air as ours is,
with its tolerances loosened until its error is no smaller than ours. Errors are against
both ways run far more exactly. Times count only where the machine was idle; says what else it was doing.

    python -m benchmarks.drying          # everything, about two minutes
    python -m benchmarks.drying 200      # a yard of so many slabs
"""

from __future__ import annotations

import datetime
import os
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from pithline.dry.air import Air
from pithline.dry.coefficient import spread_of, wood_of
from pithline.dry.diffusion import DAY, course, courses
from pithline.dry.diffusivity import Diffusivity
from pithline.dry.forecast import many
from pithline.dry.months import place
from pithline.dry.phases import Phase, air_through, drawn_air
from pithline.dry.profile import Mesh
from pithline.wood.density import green_moisture
from pithline.wood.species import species

BEGIN = datetime.date(2026, 4, 1)
STAYS = [Phase("yard", 540, place("Pittsburgh")), Phase("shop", 190, temperature=20, emc=0.075)]
WEEKS = np.arange(0.0, 728, 7)


def best_of(times: int, work: Callable[[], Any]) -> float:
    """Wall time of the fastest of several runs. [s]"""
    took = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        took.append(time.perf_counter() - began)
    return min(took)


def integrated(thickness: float, air: Air, start: float, wood: Diffusivity, cells: int, rtol: float) -> Any:
    """Mean at `WEEKS` by scipy's BDF with the tridiagonal Jacobian's pattern; and its evaluations."""
    from scipy.sparse import diags

    mesh = Mesh.of(thickness, cells)
    between = -np.diff(mesh.depths)
    pattern = diags([np.ones(cells - 1), np.ones(cells), np.ones(cells - 1)], [-1, 0, 1])
    top, wet = (np.exp(wood.rise * wood.full) - 1) / wood.rise, np.exp(wood.rise * wood.full)

    def potential(m: Any) -> Any:
        low = (np.exp(wood.rise * np.minimum(m, wood.full)) - 1) / wood.rise
        return low + wet * np.maximum(m - wood.full, 0)

    m, at, begin, means = np.full(cells, start), 0.0, 0.0, np.empty(len(WEEKS))
    calls = 0
    for i in range(len(air.ends)):
        if i and air.phases[i] != air.phases[i - 1]:
            begin = at
        diff = float(wood.dry(air.temperature[i])) * air.pace[i]
        film = float(wood.exchange(air.temperature[i])) * air.film[i]
        near, rest = diff / mesh.depths[-1], air.emc[i]

        def rates(_: float, y: Any, diff=diff, film=film, near=near, rest=rest) -> Any:
            phi = potential(y)
            if film * (wood.full - rest) <= near * (phi[-1] - top):
                out = film * (wood.full - rest)
            else:
                face = min(float(y[-1]), wood.full)
                for _ in range(4):  # Newton, as the kernel: two would do
                    grow = np.exp(wood.rise * face)
                    off = film * (face - rest) - near * (phi[-1] - (grow - 1) / wood.rise)
                    face -= off / (film + near * grow)
                out = film * (face - rest)
            flux = -diff * np.diff(phi) / between
            return np.diff(np.concatenate([[0.0], -flux, [-out]])) / mesh.widths

        upto = begin + air.ends[i]
        asked = np.flatnonzero((at <= WEEKS) & (upto > WEEKS))
        found = solve_ivp(
            rates, (at * DAY, upto * DAY), m, "BDF", np.append(WEEKS[asked], upto) * DAY,
            rtol=rtol, atol=rtol * 0.1, jac_sparsity=pattern if cells > 40 else None,
        )  # fmt: skip
        calls += found.nfev
        means[asked] = found.y[:, :-1].T @ mesh.widths / mesh.half
        m, at = found.y[:, -1], upto
    return means, calls


def one_slab() -> None:
    oak = species("northern red oak")
    wood, air = wood_of(oak), air_through(STAYS, BEGIN)
    start = green_moisture(oak).mid
    for thickness in (0.027, 0.054, 0.081):
        exact = course(thickness, air, WEEKS, start, wood=wood, error=1e-6).mean
        told = course(thickness, air, WEEKS, start, wood=wood)
        took = best_of(20, lambda t=thickness: course(t, air, WEEKS, start, wood=wood))
        wrong = np.abs(told.mean - exact).max()
        print(
            f"one slab of {thickness * 1000:.0f} mm, two years: {took * 1e3:.2f} ms (target 10), "
            f"error {wrong * 100:.3f} % moisture (says of itself {told.error * 100:.3f})"
        )


def against_integrator() -> None:
    oak = species("northern red oak")
    wood, air = wood_of(oak), air_through(STAYS, BEGIN)
    start, thickness = green_moisture(oak).mid, 0.081
    exact = course(thickness, air, WEEKS, start, wood=wood, error=1e-6).mean
    for cells in (12, 24, 48):
        ours = courses(thickness, air, WEEKS, [start], [1.0], wood=wood, cells=cells).mean[0]
        wrong = np.abs(ours - exact).max()
        took = best_of(30, lambda c=cells: courses(thickness, air, WEEKS, [start], [1.0], wood=wood, cells=c))
        # Equal error: the loosest tolerance with which the same cells are as exact as ours, to a fifth.
        for rtol in (3e-2, 1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5):
            theirs, calls = integrated(thickness, air, start, wood, cells, rtol)
            error = np.abs(theirs - exact).max()
            if error <= 1.2 * wrong:
                break
        other = best_of(2, lambda c=cells, r=rtol: integrated(thickness, air, start, wood, c, r))
        print(
            f"{cells} cells: ours {took * 1e3:.2f} ms, error {wrong * 100:.3f} %; scipy BDF (rtol {rtol:g}, "
            f"{calls} evaluations) {other * 1e3:.0f} ms, error {error * 100:.3f} %: {other / took:.0f} times "
            "faster (target 20)"
        )


def a_yard(count: int, draws: int) -> None:
    rng = np.random.default_rng(11)
    names = ("northern red oak", "black walnut", "sugar maple", "white ash", "black cherry")
    woods = [species(name) for name in names]
    slabs = []
    for i in range(count):
        wood, thickness = woods[i % len(woods)], float(rng.uniform(0.027, 0.110))
        slabs.append((thickness, wood_of(wood), spread_of(wood, thickness)[0], green_moisture(wood)))
    airs = drawn_air(STAYS, BEGIN, draws, rng)
    targets = [0.25, 0.20, 0.10]
    many(slabs[:4], airs, WEEKS[::4], targets, rng)  # compiled and warm
    began, cpu = time.perf_counter(), time.process_time()
    many(slabs, airs, WEEKS[::4], targets, rng)
    took, cpu = time.perf_counter() - began, time.process_time() - cpu
    wrong, late = 0.0, 0.0
    for thickness, wood_made, sigma, start in slabs[:: max(1, count // 40)]:
        starts = rng.normal(start.mid, 0.05, 5)
        factors = rng.lognormal(0, sigma, 5)
        some = airs[:5]
        coarse = courses(thickness, some, WEEKS, starts, factors, wood=wood_made, targets=targets)
        fine = courses(thickness, some, WEEKS, starts, factors, wood=wood_made, targets=targets, cells=96)
        wrong = max(wrong, float(np.abs(coarse.mean - fine.mean).max()))
        both = np.isfinite(coarse.reached) & np.isfinite(fine.reached)
        late = max(late, float(np.abs(coarse.reached[both] / fine.reached[both] - 1).max(initial=0)))
    print(
        f"{count} slabs x {draws} draws, two years: {took:.1f} s on two threads, {cpu:.1f} s of processor "
        f"({cpu / count / draws * 1e3:.3f} ms each); target 60 s for 2,000 x 200.\n"
        f"    largest error of the mean {wrong * 100:.2f} % moisture (target 0.2), "
        f"of the day of a target {late * 100:.1f} %"
    )


if __name__ == "__main__":
    print(f"load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    one_slab()
    against_integrator()
    a_yard(int(sys.argv[1]) if len(sys.argv) > 1 else 2000, 200)

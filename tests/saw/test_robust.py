"""Cuts that are best on average over drawn logs, against plain enumeration and properties."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pithline.log.shape import LogShape
from pithline.saw.model import Model, grounds, prepare, wood_of
from pithline.saw.robust import Robust, robust
from pithline.saw.solution import Solution, solve
from pithline.saw.spread import spreads
from tests.saw.beam import AIMS, LENGTH, LIE, MILL, RATES, TIMBER, beam, green
from tests.saw.wishes import uses, with_uses
from tests.strategies import case

MENU = replace(AIMS, thicknesses=(green(100), green(75)))
TALL = 0.421  # [m]


def block(tall: float, lift: float = 0.0) -> LogShape:
    """The beam, but of another height and off its pith marks. [m]"""
    half = 0.5 * tall
    square = np.array([[-0.2, lift - half], [0.2, lift - half], [0.2, lift + half], [-0.2, lift + half]])
    return LogShape.of(np.array([0.0, LENGTH]), np.stack([square, square]), np.zeros(2))


def ready(shape: LogShape) -> tuple[Solution, Model, np.ndarray]:
    model = prepare(shape, MILL, MENU, RATES, TIMBER)
    ground = grounds(shape, LIE, MILL, MENU, np.array([0.0]))[0]
    return solve(model, 0.0, 0.0, ground), model, ground


def sought(nominal: LogShape, trials: list[LogShape], shapes: list[LogShape]) -> Robust:
    solution, model, ground = ready(nominal)
    return robust(solution, model, trials, shapes, MENU, roll=0.0, ground=ground)


def drawn(seed: int, n: int, tall: float = TALL) -> list[LogShape]:
    rng = np.random.default_rng(seed)
    return [block(tall + 0.008 * rng.standard_normal(), 0.004 * rng.standard_normal()) for _ in range(n)]


def test_without_error_nothing_beats_the_plan_and_nothing_is_lost():
    same = [beam()] * 4
    found = sought(beam(), same, same)
    assert found.best is found.nominal
    assert (found.gain, found.nominal.loss, found.moved) == pytest.approx((0, 0, 0), abs=1e-9)
    assert found.known == pytest.approx(found.nominal.mean)


def test_the_best_on_average_is_worth_at_least_the_nominal_plan_and_at_most_knowing():
    found = sought(block(TALL), drawn(1, 12), drawn(2, 40))
    assert found.candidates > 1
    assert found.nominal.mean < found.best.mean < found.known  # this beam is chosen so that it matters
    assert found.gain == pytest.approx(found.best.mean - found.nominal.mean)
    assert found.best.loss == pytest.approx(found.known - found.best.mean)
    assert found.best.spread.p10 <= found.best.spread.p50 <= found.best.spread.p90


def test_each_draws_net_is_what_its_cuts_bring_by_hand():
    # A slab is 0.1 or 0.075 x 0.4 x 1.9 m at 1000 a cubic metre (76 or 57) where both its faces are in the
    # wood along the whole log, else nothing: sides of the blocks are upright. Cuts cost nothing here.
    shapes = drawn(2, 40)
    found = sought(block(TALL), drawn(1, 12), shapes)
    for candidate in (found.nominal, found.best):
        for shape, net in zip(shapes, candidate.nets, strict=True):
            low, high = shape.outlines[0, :, 1].min(), shape.outlines[0, :, 1].max()
            inside = [
                1000 * (0.1, 0.075)[o] * 0.4 * 1.9
                for face, o in candidate.slabs
                if face <= high and face - (0.1, 0.075)[o] >= low
            ]
            assert net == pytest.approx(sum(inside))


def test_the_best_plan_of_every_draw_is_never_below_a_candidate():
    solution, model, ground = ready(block(TALL))
    shapes = drawn(3, 30)
    found = robust(solution, model, drawn(1, 12), shapes, MENU, roll=0.0, ground=ground)
    own = [solve(replace(model, wood=wood_of(s, MENU)), 0.0, 0.0, ground).net for s in shapes]
    # Nothing stops a cut here: the planner alone must be above them, with no help from the candidates.
    assert found.best.stopped == found.nominal.stopped == 0
    assert (np.array(own) >= found.best.nets - 1e-9).all()
    assert (np.array(own) >= found.nominal.nets - 1e-9).all()


@pytest.mark.parametrize("seed", range(12))
def test_the_very_log_revalued_keeps_its_orders_though_the_tally_pays_more(seed):
    job = case(seed, 0.004, both_sides=True)
    wanted = [replace(u, ordered=True, at_most=u.at_most or 1) for u in uses(seed, job)]
    # A fifth of the price: by itself nobody would cut it.
    job = with_uses(job, tuple(replace(u, price=0.2 * (u.price or 1.0)) for u in wanted))
    solution = solve(job.model, job.roll, job.pitch, job.ground)
    net, _ = spreads(solution, job.model, [job.shape] * 3, job.aims)
    assert (net.p10, net.p90) == pytest.approx((solution.net,) * 2, rel=1e-9, abs=1e-9)

"""Yields read off a few plans against plans of the very logs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pithline.log.shape import LogShape
from pithline.log.volume import volume_by_integration
from pithline.money.offered.log import OfferedLog
from pithline.money.offered.log_guess import LogGuess
from pithline.money.offered.ways import _half
from pithline.money.offered.yields import planned_yield
from pithline.saw.planning import plan
from tests.money.offers_at_hand import call_of, planner_of

PLANNER = planner_of()
WITH = (PLANNER.mill, PLANNER.aims, PLANNER.rates, PLANNER.timber)


def told() -> OfferedLog:
    guess = call_of().guess
    assert guess is not None
    return OfferedLog.told(guess)


def drawn(log: OfferedLog, count: int, seed: int) -> dict[str, np.ndarray]:
    rng = np.random.default_rng(seed)
    return {name: figure.at(rng.standard_normal(count)) for name, figure in log.sizes.items()}


def test_the_short_plan_is_the_whole_plan():
    record = told().middle
    short = planned_yield(record.to_shape(), record.lie(), *WITH)
    whole = plan(record.to_shape(), record.lie(), *WITH, compare=False)
    assert short.value == pytest.approx(whole.value)
    assert short.tally == pytest.approx(whole.tally)
    assert (short.slabs, short.cuts) == (len(whole.slabs), len(whole.cuts))
    assert short.area == pytest.approx(whole.area)
    assert short.solid == pytest.approx(sum(slab.solid for slab in whole.slabs))
    assert short.heaviest == pytest.approx(max(slab.solid for slab in whole.slabs))
    lines = {line.name: line.volume for line in whole.ledger.lines}
    assert short.opening == pytest.approx(lines["opening piece"])
    assert short.log == pytest.approx(whole.ledger.log)


def test_a_planned_size_is_read_off_exactly():
    log = told()
    x = drawn(log, 500, 1)
    grid = log.grid(x, PLANNER)
    at = (grid.middles[[3]], grid.falls[[1]], np.array([log.middle.length]))
    exact = planned_yield(*log.shape(float(at[0][0]), float(at[1][0])), *WITH)
    read = grid.read(*at)
    for name in type(exact).__slots__:
        assert getattr(read, name)[0] == pytest.approx(getattr(exact, name), rel=1e-9), name


def test_between_the_planned_sizes_the_ranges_are_those_of_exact_plans():
    # 40 logs planned one by one. Measured with 300: 10, 50 and 90 % differ by up to 1.7 %, half of
    # all single logs by no more than 1.0 %; one that outgrows the bar by up to 16 %.
    log = told()
    x = drawn(log, 40, 7)
    read = log.yields(log.grid(x, PLANNER), x)
    guess = log.guess
    assert isinstance(guess, LogGuess)
    size, fall, length = log.places(x)
    exact = []
    for one in zip(size, fall, length, strict=True):
        record = guess.record(*(float(each) for each in one))
        exact.append(planned_yield(record.to_shape(), record.lie(), *WITH))
    for name in ("value", "tally", "area", "solid"):
        ours, theirs = getattr(read, name), np.array([getattr(each, name) for each in exact])
        ranges = [np.quantile(values, [0.1, 0.5, 0.9]) for values in (ours, theirs)]
        assert ranges[0] == pytest.approx(ranges[1], rel=0.02), name
        assert np.median(np.abs(ours / theirs - 1)) < 0.015, name


def test_a_longer_log_of_the_same_ends_is_the_shorter_one_stretched():
    # Exact but for what the plan asks of lengths: 41 stations lie elsewhere, hence 0.5 %.
    log = told()
    x = drawn(log, 200, 2)
    grid = log.grid(x, PLANNER)
    size, fall = float(grid.middles[4]), float(grid.falls[1])
    guess = log.guess
    assert isinstance(guess, LogGuess)
    longer = guess.record(size, fall, 5.4)
    exact = planned_yield(longer.to_shape(), longer.lie(), *WITH)
    read = grid.read(np.array([size]), np.array([fall]), np.array([5.4]))
    assert read.value[0] == pytest.approx(exact.value, rel=0.01)
    assert read.area[0] == pytest.approx(exact.area, rel=0.01)


def test_a_log_that_is_too_small_yields_nothing_and_is_no_error():
    guess = call_of(girth="45 cm").guess
    assert guess is not None
    small = OfferedLog.told(guess)
    made = planned_yield(small.middle.to_shape(), small.middle.lie(), *WITH)
    assert (made.value, made.slabs, made.cuts, made.area) == (0, 0, 0, 0)
    assert made.log > 0


def test_a_girth_at_breast_height_makes_a_log_that_has_it():
    guess = call_of(girth="2.5 m", length="4.2 m", taper="10 mm/m").guess
    assert guess is not None
    at = guess.shapes(np.array([2.5]), np.array([4.2]), np.array([0.010]))
    record = guess.record(float(at.middle[0]), float(at.fall[0]), 4.2)
    butt, top = record.butt.mean, record.top.mean
    assert butt + (top - butt) * 1.3 / 4.2 == pytest.approx(2.5 / np.pi, abs=2e-4)
    assert (butt - top) / 4.2 == pytest.approx(0.010, abs=1e-4)


def test_two_halves_and_the_parting_cut_are_the_log():
    shape = told().middle.to_shape()
    kerf = 0.009
    right = volume_by_integration(_half(shape, kerf))
    mirrored = LogShape(
        shape.z, np.ascontiguousarray(shape.outlines[:, ::-1] * [-1.0, 1.0]), shape.bark, None, ()
    )
    left = volume_by_integration(_half(mirrored, kerf))
    tall = np.array([np.ptp(outline[:, 1]) for outline in shape.outlines])
    cut = kerf * float(np.trapezoid(tall, shape.z))
    assert right + left + cut == pytest.approx(volume_by_integration(shape), rel=2e-4)


def test_a_measured_log_is_surer_than_one_told_of():
    record = told().middle
    measured = OfferedLog.measured(record, np.random.default_rng(1))
    size = measured.sizes["size"]
    girth = call_of(girth="2.5 m").guess.girth
    assert size.low < 1 < size.high
    assert (size.high - size.low) / size.mid < (girth.high - girth.low) / girth.mid
    x = {"size": np.array([1.0])}
    grid = measured.grid({"size": np.array([0.99, 1.0, 1.01])}, PLANNER)
    exact = planned_yield(record.to_shape(), record.lie(), *WITH)
    assert measured.yields(grid, x).value[0] == pytest.approx(exact.value, rel=1e-9)


def test_more_wood_is_planned_as_more():
    record = told().middle
    bigger = replace(record, length=record.length * 1.2)
    small = planned_yield(record.to_shape(), record.lie(), *WITH)
    large = planned_yield(bigger.to_shape(), bigger.lie(), *WITH)
    assert large.value > small.value
    assert large.area > small.area

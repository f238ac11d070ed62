"""Cuts that a person moves are valued by the planner's own tables."""

from __future__ import annotations

import math
import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from pithline.errors import NoPlan
from pithline.log.written import from_table
from pithline.saw.aims import PithRule
from pithline.saw.given import lines_near, value_of_cuts
from pithline.saw.model import Model, grounds, prepare
from pithline.saw.solution import Solution, solve
from pithline.saw.through import best_through, worth_through
from pithline.saw.timber import Timber
from pithline.saw.written.inputs import read_aims, read_mill, read_rates

RULES = (PithRule.FREE, PithRule.THROUGH, PithRule.BOX)


@cache
def solved(rule: PithRule, pitch: float = 0.0, lowest: float | None = None) -> tuple[Model, Solution]:
    said = tomllib.loads((Path(__file__).parents[2] / "demo" / "hollow-oak.toml").read_text())
    record = from_table({name: said[name] for name in ("log", "lie")})
    mill = read_mill(said["mill"]).value
    aims = replace(read_aims(said["aims"]).value, pith=rule)
    rates = read_rates(said["rates"], aims, record.species.name).value
    shape = record.to_shape()
    model = prepare(shape, mill, aims, rates, Timber.of(record.species, aims.moisture))
    ground = grounds(shape, record.lie(), mill, aims, np.array([0.3]))[0]
    return model, solve(model, 0.3, pitch, ground if lowest is None else np.array([lowest, lowest]))


@pytest.mark.parametrize("pitch", [0.0, 0.006])
@pytest.mark.parametrize("rule", RULES)
def test_the_plans_own_cuts_are_worth_the_plan(rule: PithRule, pitch: float) -> None:
    model, best = solved(rule, pitch)
    given = value_of_cuts(best, model, best.cuts, rule)
    assert given.faults == ()
    assert given.net == pytest.approx(best.net, rel=1e-12)
    assert [line for line, _ in given.solution.slabs] == [line for line, _ in best.slabs]


@pytest.mark.parametrize("rule", RULES)
def test_no_moved_cut_is_worth_more_than_the_plan(rule: PithRule) -> None:
    model, best = solved(rule)
    for at in range(len(best.cuts)):
        for by in (-60, -10, -3, -1, 1, 2, 7, 25, 80):
            cuts = list(best.cuts)
            cuts[at] += by
            if sorted(set(cuts), reverse=True) != cuts:
                continue
            given = value_of_cuts(best, model, tuple(cuts), rule)
            assert given.net <= best.net + 1e-9
            assert (given.net == -math.inf) == bool(given.faults)


@pytest.mark.parametrize("rule", RULES)
def test_without_a_wish_the_best_through_nothing_is_the_plan(rule: PithRule) -> None:
    # A second way to the same number: this recursion is plain Python over cuts, the kernel's is over faces.
    model, best = solved(rule)
    found = best_through(best, model, (), rule)
    assert found.net == pytest.approx(best.net, rel=1e-12)
    assert value_of_cuts(best, model, found.cuts, rule).net == pytest.approx(best.net, rel=1e-12)


@pytest.mark.parametrize("rule", RULES)
def test_a_wished_cut_is_there_and_the_rest_makes_the_best_of_it(rule: PithRule) -> None:
    model, best = solved(rule)
    for pin in (best.cuts[1] + 4, best.cuts[3] - 11, best.cuts[-1] + 30):
        found = best_through(best, model, (pin,), rule)
        assert pin in found.cuts
        assert found.net <= best.net + 1e-9
        told = value_of_cuts(best, model, found.cuts, rule)
        assert told.faults == ()
        assert told.net == pytest.approx(found.net, rel=1e-12)
        # The others staying where they are is one of the plans that it was chosen from.
        stay = [pin if abs(pin - c) == min(abs(pin - d) for d in best.cuts) else c for c in best.cuts]
        assert value_of_cuts(best, model, tuple(stay), rule).net <= found.net + 1e-9


def test_two_wishes_are_never_worth_more_than_one() -> None:
    model, best = solved(PithRule.FREE)
    one, other = best.cuts[1] + 4, best.cuts[3] - 11
    both = best_through(best, model, (one, other), PithRule.FREE)
    assert {one, other} <= set(both.cuts)
    assert both.net <= min(best_through(best, model, (p,), PithRule.FREE).net for p in (one, other)) + 1e-9


def test_two_cuts_closer_than_a_kerf_and_a_waste_piece_are_refused() -> None:
    model, best = solved(PithRule.FREE)
    with pytest.raises(NoPlan, match="passes through"):
        best_through(best, model, (best.cuts[1], best.cuts[1] - 2), PithRule.FREE)
    cuts = (*best.cuts[:2], best.cuts[1] - model.reach.kerf - 2, *best.cuts[2:])
    given = value_of_cuts(best, model, cuts, PithRule.FREE)
    assert "2 mm is left below the cut above" in given.faults[0][1]


def test_a_cut_through_the_ground_or_above_the_log_says_so() -> None:
    model, best = solved(PithRule.FREE, lowest=-0.2)
    low, high = best.first + model.reach.kerf, best.first + best.tables.costs.size - 1
    assert lines_near(best, model, np.array([9.0, -9.0])) == (high, low)
    given = value_of_cuts(best, model, (*best.cuts, low), PithRule.FREE)
    assert any("ground" in told for line, told in given.faults if line == low)


def test_a_boxed_pith_refuses_a_cut_through_it() -> None:
    model, best = solved(PithRule.BOX)
    given = value_of_cuts(best, model, (*best.cuts[:2], 4), PithRule.BOX)
    assert any("pith" in told for _, told in given.faults)


@pytest.mark.parametrize("rule", RULES)
def test_the_worth_of_a_cut_at_every_height_is_that_of_the_best_plan_through_it(rule: PithRule) -> None:
    model, best = solved(rule)
    worth = worth_through(best, model, rule)
    assert worth.max() == pytest.approx(best.net, rel=1e-12)
    assert worth[[c - best.first for c in best.cuts]] == pytest.approx(best.net, rel=1e-12)
    for row in range(0, worth.size, 13):
        try:
            found = best_through(best, model, (best.first + row,), rule).net
        except NoPlan:
            found = -math.inf
        assert worth[row] == pytest.approx(found, rel=1e-12)

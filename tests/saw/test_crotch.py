"""A forked log is turned till both its piths lie level, unless a roll is given or freed."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from pithline.saw.model import grounds, prepare
from pithline.saw.planning import choose_setting, crotch_roll, plan
from pithline.saw.solution import solve
from pithline.saw.written.back import aims_table
from pithline.saw.written.inputs import read_aims
from tests.strategies import Case, case, log


def forked(seed: int) -> Case:
    rng = np.random.default_rng(seed)
    job = replace(case(seed, both_sides=True), shape=log(rng, 0.04, 0, forked=True))
    return job.but(aims={"crotch_plane": True}, mill={"bar": 2.0})


@pytest.mark.parametrize("seed", range(6))
def test_both_piths_lie_level_at_the_top(seed):
    job = forked(seed)
    x, y = job.shape.second_pith[-1]
    roll = crotch_roll(job.shape)
    assert -math.pi / 2 <= roll < math.pi / 2
    assert x * math.sin(roll) + y * math.cos(roll) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("seed", [1, 4])
def test_the_better_of_both_level_ways_is_taken(seed):
    job = forked(seed)
    model = prepare(job.shape, job.mill, job.aims, job.rates, job.timber)
    roll, pitch = choose_setting(model, job.shape, job.lie, job.mill, job.aims)
    level = crotch_roll(job.shape)
    assert min(abs(roll - level), abs(roll - level - math.pi)) < 1e-12

    def net(turn: float) -> float:
        ground = grounds(job.shape, job.lie, job.mill, job.aims, np.array([turn]))[0]
        return solve(model, turn, pitch, ground).net

    assert net(roll) == pytest.approx(max(net(level), net(level + math.pi)), rel=1e-9)


def test_a_given_roll_is_kept_and_the_table_says_so_again():
    said = read_aims({"roll": "30 deg"}).value
    assert not said.crotch_plane
    silent = read_aims({}).value
    assert silent.crotch_plane
    assert "roll" not in aims_table(silent)
    assert read_aims(aims_table(silent)).value == silent
    assert read_aims(aims_table(said)).value == said


def test_a_given_roll_wins_over_the_crotch():
    job = forked(4).but(aims={"crotch_plane": False, "roll": 0.4})
    made = plan(job.shape, job.lie, job.mill, job.aims, job.rates, job.timber, compare=False)
    assert made.roll == 0.4

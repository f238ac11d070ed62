"""What readings teach: against a grid, in simple cases, and on invented stacks with a known truth."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from pithline.dry.air import constant
from pithline.dry.diffusion import courses
from pithline.dry.diffusivity import RED_OAK
from pithline.dry.learning.importance import quantiles
from pithline.dry.learning.likelihood import log_likelihood, predicted
from pithline.dry.learning.meters import Meter, Scale, corrected
from pithline.dry.learning.readings import Beyond, Reading, Sees, from_meter, from_weights
from pithline.dry.learning.update import Prior, Slab, learn
from pithline.dry.learning.weighing import Weights
from pithline.errors import BadValue
from pithline.wood.species import species
from tests.dry.simulated_stacks import study

AIR = constant("shed", 20, 1000, emc=0.13)
SLAB = Slab(0.053, RED_OAK, lambda rng, draws: [AIR] * draws)
PRIOR = Prior(0.3, 0.8, 0.12)


def learnt(readings, seed=1, draws=400, targets=(0.20,), **more):
    rng = np.random.default_rng(seed)
    return learn(SLAB, PRIOR, readings, [0.0, 100.0], targets, rng, draws=draws, **more)


def pin(day, value, depth=0.010, source="meter", beyond=Beyond.NO):
    return Reading(day, Sees.DEPTH, value, 0.016, 0.018, source, depth, beyond)


def test_posterior_against_a_grid():
    readings = [pin(40, 0.27), pin(80, 0.21), Reading(80, Sees.SHARE, 0.70, 0.008, 0.02, "block")]
    rates, starts = np.linspace(-1.0, 1.0, 81), np.linspace(math.log(0.55), math.log(1.2), 41)
    a, b = (each.ravel() for each in np.meshgrid(rates, starts, indexing="ij"))
    made = courses(0.053, AIR, [40.0, 80.0], np.exp(b), np.exp(a), profiles=True)
    logs = log_likelihood(predicted(made, np.exp(b), readings), readings)
    logs -= (a / 0.3) ** 2 / 2 + ((b - math.log(0.8)) / 0.12) ** 2 / 2
    weights = np.exp(logs - logs.max())
    found = learnt(readings, draws=800)
    for known, values in ((found.rate[1], np.exp(a)), (found.start[1], np.exp(b))):
        grid = quantiles(values, weights, (0.1, 0.5, 0.9))
        # 2,400 draws: quantiles scatter by about 3 % of the range between them; the grid is 2.5 % apart.
        off = 0.08 * (grid[2] - grid[0]) + 0.02 * grid[1]
        assert [known.low, known.mid, known.high] == pytest.approx(grid, abs=off)


def test_without_readings_nothing_is_learnt():
    found = learnt([])
    assert found.rate[0] == found.rate[1]
    assert found.days[0][0].mid == pytest.approx(found.days[1][0].mid, rel=0.05)
    # The prior as given: log-normal, 1.2816 deviations to one in ten; drawn evenly, so hardly any scatter.
    assert math.log(found.rate[0].high) == pytest.approx(1.2816 * 0.3, abs=0.01)
    assert found.start[0].mid == pytest.approx(0.8, rel=0.01)


def test_a_slab_that_reads_dry_is_quicker_and_better_known():
    there = courses(0.053, AIR, [60.0, 90.0], np.array([0.8]), np.ones(1), profiles=True)
    middle = predicted(there, np.array([0.8]), [pin(60, 0.0), pin(90, 0.0)]).values[0]
    quick, slow = (learnt([pin(60, middle[0] + off), pin(90, middle[1] + off)]) for off in (-0.04, 0.04))
    assert quick.rate[1].mid > 1 > slow.rate[1].mid
    assert quick.days[1][0].mid < quick.days[0][0].mid
    for found in (quick, slow):
        before, after = found.days[0][0], found.days[1][0]
        assert after.high - after.low < before.high - before.low
        assert found.effective > 100


def test_wet_says_slow_but_not_how_slow():
    found = learnt([pin(120, 0.30, beyond=Beyond.WETTER)])
    assert found.rate[1].mid < found.rate[0].mid
    assert found.rate[1].low == pytest.approx(found.rate[0].low, rel=0.2)


def test_the_oven_tells_the_start():
    whole = [
        Reading(0.0, Sees.MEAN, 0.95, 0.01, 0.01, "block"),
        Reading(60, Sees.MEAN, 0.45, 0.01, 0.01, "block"),
    ]
    found = learnt(whole)
    assert found.start[1].mid == pytest.approx(0.94, abs=0.02)
    assert found.start[1].high - found.start[1].low < 0.4 * (found.start[0].high - found.start[0].low)


def test_a_slip_is_named_and_not_followed():
    good = [pin(40, 0.26), pin(60, 0.235), pin(80, 0.215)]
    found = learnt([*good, pin(70, 0.07, source="other")])
    assert [fit.odd for fit in found.fits] == [False, False, False, True]
    assert "read it again" in found.remarks[0]
    assert found.rate[1].mid == pytest.approx(learnt(good).rate[1].mid, rel=0.1)


def test_one_shallow_reading_does_not_outvote_a_block():
    # A block of an 80 mm slab weighed five times, as the model has it, and one meter reading at 8 mm that is
    # 6 % drier than the model there: the mean follows it by less than a third of that; it followed by half
    # while the depth and the profile's shape were taken for known.
    slab = Slab(0.080, RED_OAK, lambda rng, draws: [constant("shed", 12, 800, emc=0.14)] * draws)
    days = (30.0, 90.0, 150.0, 210.0)
    true = courses(0.080, slab.air(None, 1)[0], days, np.array([0.82]), np.ones(1), profiles=True)
    dry = 6.15
    weights = tuple(dry * (1 + float(mean)) for mean in true.mean[0])
    block = from_weights(Weights("block", dry * 1.82, days, weights, dry, 0.02))
    found = corrected(0.20, Meter(scale=Scale.OWN, warm_itself=True), 20.0, species("northern red oak"))
    pins = from_meter(210.0, found, Meter(scale=Scale.OWN), 0.008)
    there = float(predicted(true, np.array([0.82]), [pins]).values[0, 0])
    pins = replace(pins, value=there - 0.06)

    def mean_with(readings):
        rng = np.random.default_rng(1)
        return learn(slab, PRIOR, readings, [210.0], (0.20,), rng, draws=300).means[1][0, 1]

    alone, both = mean_with(block), mean_with([*block, pins])
    assert alone == pytest.approx(float(true.mean[0, -1]), abs=0.012)
    assert 0 < alone - both < 0.02


def test_drift_widens_what_lies_ahead_only():
    narrow, wide = (learnt([pin(60, 0.24)], drift=d) for d in (0.0, 0.3))
    assert wide.days[1][0].high - wide.days[1][0].low > narrow.days[1][0].high - narrow.days[1][0].low
    assert wide.days[1][0].low > 60


def test_the_same_seed_says_the_same():
    assert learnt([pin(60, 0.24)], draws=50).days == learnt([pin(60, 0.24)], draws=50).days


def test_ranges_hold_the_truth_about_as_often_as_they_claim():
    """A short run of benchmarks/range_coverage.py, whose 400 stacks must lie between 75 and 85 %."""
    made = study(30, seed=3, draws=40)
    share = np.nanmean(made.held)
    # About 45 targets of 30 stacks: one standard deviation is 7 %, as those of a stack go together.
    assert 0.65 <= share <= 0.95
    # 67 % in the middle of 400 stacks.
    assert np.nanmedian(made.narrower) < 0.85


def test_weighted_quantiles_by_hand():
    values, weights = np.array([3.0, 1.0, np.inf]), np.array([0.5, 0.3, 0.2])
    assert list(quantiles(values, weights, (0.1, 0.5, 0.9))) == [1.0, 3.0, np.inf]


def test_a_wood_full_of_water_can_be_learnt_too():
    # Sapwood of western softwoods is printed up to 250 %: draws beyond what any wood holds are held back.
    wet = learn(
        SLAB, Prior(0.3, 2.4, 0.3), [pin(60, 0.3)], [0.0], (0.2,), np.random.default_rng(1), draws=100
    )
    assert wet.start[0].high <= 3


@pytest.mark.parametrize(
    ("prior", "day", "told"),
    [
        (Prior(0.0, 0.8, 0.1), 60, "spread of the rate"),
        (Prior(0.3, 80, 0.1), 60, 'Write "80 %"'),
        (Prior(0.3, 0.8, float("nan")), 60, "spread of the start"),
        (PRIOR, 2000, "last beyond it"),
    ],
)
def test_refused(prior, day, told):
    with pytest.raises(BadValue, match=told):
        learn(SLAB, prior, [pin(day, 0.2)], [0.0], (0.2,), np.random.default_rng(1), draws=10)

"""Readings against the model: each where it looked, and how likely it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from pithline.dry.air import constant
from pithline.dry.diffusion import courses
from pithline.dry.learning.likelihood import SHAPE, SLIP, Predicted, log_likelihood, predicted
from pithline.dry.learning.meters import Meter, Pins, Scale, corrected
from pithline.dry.learning.readings import Beyond, Reading, Sees, from_meter, from_weights
from pithline.dry.learning.weighing import Weights
from pithline.errors import BadValue
from pithline.wood.species import species

OAK = species("northern red oak")
OWN = Meter(scale=Scale.OWN, warm_itself=True)


def run(thickness=0.076, starts=(0.80,), days=(0.0, 183.0), rates=(1.0,), emc=0.135):
    air = constant("shed", 15, 400, emc=emc)
    return courses(thickness, air, days, np.array(starts), np.array(rates), profiles=True, cells=24)


def plainly(values):
    """Weights: nothing hangs on depth or profile."""
    values = np.array(values, dtype=float)
    return Predicted(values, np.zeros_like(values), np.zeros_like(values))


def at(day, sees, depth=0.0):
    return Reading(day, sees, 0.2, 0.01, depth=depth)


def test_a_pin_is_set_against_its_depth_and_never_against_the_mean():
    # By another program (finite differences): 76 mm red oak after half a year in the air may have a mean of
    # 33 %, with 43 % in the core and 24 % at 8 mm. We look where our mean is 33 % and compare the other two.
    days = np.arange(0.0, 400, 2)
    made = run(days=days, rates=(1.35,))
    day = float(days[np.argmin(np.abs(made.mean[0] - 0.33))])
    readings = [at(day, Sees.MEAN), at(day, Sees.DEPTH, 0.038), at(day, Sees.DEPTH, 0.008)]
    mean, core, shallow = predicted(made, np.array([0.80]), readings).values[0]
    assert mean == pytest.approx(0.33, abs=0.003)
    # Its coefficient and air are not told: within 3 % moisture.
    assert core == pytest.approx(0.43, abs=0.03)
    assert shallow == pytest.approx(0.24, abs=0.03)


def test_what_each_kind_sees():
    made = run()
    day = 183.0
    kinds = [
        at(day, Sees.DEPTH, 0.010), at(day, Sees.WETTEST, 0.010), at(day, Sees.OUTER, 0.020),
        at(day, Sees.MEAN), at(day, Sees.SHARE), at(day, Sees.DEPTH, 0.038),
    ]  # fmt: skip
    tip, wettest, outer, mean, share, core = predicted(made, np.array([0.80]), kinds).values[0]
    assert tip == pytest.approx(wettest)  # drying from the face: the tips are where it is wettest
    assert outer < mean < core
    assert share == pytest.approx((1 + mean) / 1.80)


def test_bare_pins_feel_a_wet_face():
    # A stack that dried and then stood in damp air: its face is wetter than its inside.
    air = constant("damp", 20, 60, emc=0.28)
    made = courses(0.05, air, [30.0], np.array([0.10]), np.ones(1), profiles=True)
    kinds = [at(30, Sees.DEPTH, 0.02), at(30, Sees.WETTEST, 0.02)]
    tip, wettest = predicted(made, np.array([0.1]), kinds).values[0]
    assert wettest > tip + 0.05


def test_shared_doubts_against_a_general_library():
    # Readings of one meter are jointly normal; those of two meters are not tied. Slips are left out by
    # comparing draws close enough for them to weigh nothing.
    noise, bias = np.array([0.010, 0.014, 0.012]), np.array([0.02, 0.015, 0.018])
    values = np.array([0.24, 0.21, 0.18])
    readings = [
        Reading(i, Sees.MEAN, v, n, b, "one" if i < 2 else "two")
        for i, (v, n, b) in enumerate(zip(values, noise, bias, strict=True))
    ]
    expected = values + np.array([[0, 0, 0], [0.02, 0.02, -0.01], [0.02, -0.01, 0.02], [-0.03, -0.02, 0.01]])
    tied = np.diag(noise**2) + np.outer(bias, bias)
    tied[2, :2] = tied[:2, 2] = 0
    theirs = multivariate_normal(values, tied).logpdf(expected)
    ours = log_likelihood(plainly(expected), readings)
    # One in thirty slips and a sum over 25 steps: a fiftieth of the likelihood.
    assert ours - ours[0] == pytest.approx(theirs - theirs[0], abs=0.02)


def test_a_flatter_profile_is_a_doubt_that_depths_share_against_a_general_library():
    # Two depths read by two meters: wetter near the face goes with drier in the core, and a doubtful depth
    # adds to the noise of its own reading alone.
    noise, values = np.array([0.012, 0.010]), np.array([0.24, 0.42])
    apart, stray = np.array([-0.11, 0.09]), np.array([0.02, 0.0])
    readings = [Reading(0, Sees.DEPTH, v, n, 0.0, m) for v, n, m in zip(values, noise, "ab", strict=True)]
    expected = values + np.array([[0, 0], [-0.03, 0.025], [-0.03, -0.025], [0.02, 0.0]])
    tied = np.diag(noise**2 + stray**2) + np.outer(SHAPE * apart, SHAPE * apart)
    theirs = multivariate_normal(values, tied).logpdf(expected)
    ours = log_likelihood(Predicted(expected, *(np.tile(x, (4, 1)) for x in (apart, stray))), readings)
    assert ours - ours[0] == pytest.approx(theirs - theirs[0], abs=0.05)  # slips and steps, as above
    assert ours[1] > ours[2] + 1.5  # a flatter profile explains the one, nothing the other


def test_a_doubtful_depth_counts_where_the_moisture_is_steep():
    made = run()
    pins = [at(183.0, Sees.DEPTH, depth) for depth in (0.004, 0.015, 0.038)]
    doubtful = [replace(each, depth_doubt=0.0015) for each in pins]
    shallow, fifth, core = predicted(made, np.array([0.80]), doubtful).stray[0]
    assert shallow > fifth > core == pytest.approx(0, abs=1e-3)
    inner, outer = (
        predicted(made, np.array([0.80]), [at(183.0, Sees.DEPTH, d)]).values[0, 0] for d in (0.0055, 0.0025)
    )
    assert shallow == pytest.approx((inner - outer) / 2)
    assert not predicted(made, np.array([0.80]), pins).stray.any()
    # At a fifth of the thickness the profile crosses its mean: its shape matters least there.
    apart = predicted(made, np.array([0.80]), pins).apart[0]
    assert apart[0] < -0.05 < apart[1] < 0.05 < apart[2]


def test_ten_readings_of_one_meter_are_no_ten_proofs():
    same, each = (
        [Reading(i, Sees.MEAN, 0.20, 0.01, 0.02, source.format(i)) for i in range(10)]
        for source in ("m", "m{}")
    )
    near = np.array([[0.20] * 10, [0.215] * 10])

    def proof(readings):
        found = log_likelihood(plainly(near), readings)
        return found[0] - found[1]

    assert proof(same) < 0.4 < proof(each)


def test_wet_is_a_bound():
    wet = [Reading(1, Sees.MEAN, 0.30, 0.015, beyond=Beyond.WETTER)]
    found = np.exp(log_likelihood(plainly([[0.25], [0.30], [0.35], [0.80]]), wet))
    assert found[3] == pytest.approx(found[2], rel=0.01)  # 35 or 80 %: it cannot tell
    share = found[1] / found[3]
    slip = SLIP
    assert share == pytest.approx(0.5 / (1 - slip / 2), rel=1e-6)
    chance = (1 - slip) * norm.cdf(-0.05 / 0.015) + slip / 2
    assert found[0] / found[3] == pytest.approx(chance / (1 - slip / 2), rel=1e-6)


def test_from_a_meter():
    found = corrected(0.24, OWN, 15, OAK)
    insulated = from_meter(90, found, OWN, 0.015)
    assert (insulated.sees, insulated.depth, insulated.value) == (Sees.DEPTH, 0.015, 0.24)
    assert from_meter(90, found, Meter(Pins.BARE), 0.015).sees is Sees.WETTEST
    pinless = from_meter(90, found, Meter(Pins.PINLESS), 0.0)
    assert (pinless.sees, pinless.depth) == (Sees.OUTER, 0.020)
    assert from_meter(90, corrected(0.5, OWN, 15, OAK), OWN, 0.015).beyond is Beyond.WETTER
    with pytest.raises(BadValue, match="how deep the tips were"):
        from_meter(90, found, OWN, 0.0)


def test_from_weights():
    (share,) = from_weights(Weights("block", 8.0, (60,), (6.0,)))
    start, moisture = from_weights(Weights("block", 8.0, (60,), (6.0,), dry=5.0))
    assert (share.sees, share.value) == (Sees.SHARE, 0.75)
    assert (moisture.sees, moisture.value) == (Sees.MEAN, pytest.approx(0.2))
    assert (start.day, start.value) == (0, pytest.approx(0.6))  # the oven tells what it began with
    # Green and oven-dry alone: 8.0 / 5.0 kg is a start of 60 %, though it was never weighed again.
    (alone,) = from_weights(Weights("block", 8.0, (), (), dry=5.0))
    assert alone == start
    with pytest.raises(BadValue, match="one weight for each day"):
        from_weights(Weights("block", 8.0, (), ()))


def test_a_day_or_depth_that_is_not_there():
    with pytest.raises(BadValue, match="day of the course"):
        predicted(run(), np.array([0.8]), [at(100, Sees.MEAN)])
    with pytest.raises(BadValue, match="Measure from the face"):
        predicted(run(), np.array([0.8]), [at(183, Sees.DEPTH, 0.09)])

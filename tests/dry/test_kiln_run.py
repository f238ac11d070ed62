"""A kiln's reach, sample boards, the end of a run."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import settings as tried
from hypothesis import strategies as st

from pithline.dry.kiln.days import red_oak_constant
from pithline.dry.kiln.equalise import finish, stage
from pithline.dry.kiln.load import Piece, check_water, lead
from pithline.dry.kiln.run import kiln_run
from pithline.dry.kiln.sample_boards import daily_loss, estimated_dry_weight, read_boards, wettest_half
from pithline.dry.kiln.schedules import fahrenheit, schedule
from pithline.dry.kiln.steps import settings, step_for
from pithline.dry.kiln.warm_up import heat_capacity
from pithline.dry.kiln.water import dry_wood
from pithline.dry.kiln.written import energy_price, power, read_kiln
from pithline.dry.psychrometrics import humidity
from pithline.errors import BadValue
from pithline.wood.estimate import Estimate
from pithline.wood.moisture import emc, moisture_from_weights
from pithline.wood.species import species

RED_OAK = species("northern red oak")
SMALL = read_kiln({"like": "small dehumidifier"}).value
CONTAINER = read_kiln({"like": "container"}).value
SOLAR = read_kiln({"like": "solar"}).value


# --- the kiln's reach ----------------------------------------------------------------------------


@given(
    code=st.builds(
        lambda t, c, n: f"T{t}-{c}{n}", st.integers(1, 14), st.sampled_from("ABCDEF"), st.integers(1, 8)
    ),
    start=st.floats(0.1, 1.2),
    kiln=st.sampled_from([SMALL, CONTAINER, SOLAR]),
)
@tried(max_examples=30)
def test_settings_lie_within_the_kiln_and_are_never_harsher_than_printed(code, start, kiln):
    held = settings(schedule(code), kiln, start, 0.08)
    assert held[0].upper == pytest.approx(start)
    assert held[-1].lower == pytest.approx(0.08)
    for each in held:
        assert each.temperature <= kiln.top
        assert each.humidity >= kiln.driest - 1e-9
        # Where the thermostat's half degree is passed over, the air is as damp and no hotter.
        assert each.emc >= each.published.emc - 0.0015
        assert each.temperature <= each.published.dry_bulb + 1e-9
        assert float(emc(each.temperature, each.humidity)) == pytest.approx(each.emc)
        assert float(humidity(each.temperature, each.wet_bulb)) == pytest.approx(each.humidity, abs=1e-6)
        assert each.within or each.remarks


def test_a_step_too_hot_keeps_its_equilibrium_moisture():
    step = step_for(schedule("T3-C1"), 0.24)
    held = settings(schedule("T3-C1"), SMALL, 0.24, 0.08)[0]
    assert step.dry_bulb == pytest.approx(fahrenheit(130))
    assert not held.within
    assert (held.temperature, held.emc) == (49, pytest.approx(step.emc, abs=1e-6))


def test_air_dried_stock_starts_at_the_step_for_its_moisture():
    # AH-188, Ch. 7 (from memory).
    plan = schedule("T4-D2")
    assert step_for(plan, 0.22).dry_bulb == pytest.approx(fahrenheit(130))
    assert step_for(plan, 0.20).dry_bulb == pytest.approx(fahrenheit(140))  # the end belongs to the next
    assert step_for(plan, 0.80) is plan.steps[0]
    run = kiln_run([Piece("1", RED_OAK, 0.054, 0.07, 0.22)], CONTAINER, 0.08)
    assert run.rest_hours == (12, 24)
    assert kiln_run([Piece("1", RED_OAK, 0.054, 0.07, 0.60)], CONTAINER, 0.08).rest_hours is None


def test_what_a_kiln_is_taken_from_is_named_with_its_range():
    written = read_kiln({"like": "solar", "water_per_day": "12 kg"})
    assert written.value.water == Estimate(12, 12, 12, False, ("as written",))
    told = {each.field: each.why for each in written.assumed}
    assert "kiln.water_per_day" not in told
    assert told["kiln.top"] == "35 C to 60 C; a guess"
    assert not written.value.steady


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        ({"topp": "49 C"}, "Did you mean top"),
        ({"top": 49}, "A number alone could be any unit"),
        ({"top": "149 C"}, "at most 100 C"),
        ({"water_per_day": "9 t"}, "at most 5 t"),
        ({"heat": "12 horses"}, "W, kW, Btu/h"),
        ({"controls": "humidty"}, 'Did you mean "humidity"'),
        ({"energy_wet": "0.6"}, "0.6 kWh per kg"),
        ({"energy_wet": "2 kWh per kg", "energy_dry": "1 kWh per kg"}, "Swap the two"),
        ({"like": "steam"}, "small dehumidifier"),
    ],
)
def test_a_kiln_that_cannot_be_meant_is_refused(raw, says):
    with pytest.raises(BadValue, match=says):
        read_kiln(raw)


def test_powers_and_prices():
    assert power("12 kW", "heat") == 12000
    assert power("5000 Btu/h", "heat") == pytest.approx(1465.4, abs=0.1)  # 1 Btu/h = 0.29307 W
    assert energy_price("0.30 EUR per kWh", "price") == (0.30, "EUR")
    with pytest.raises(BadValue, match="per kWh"):
        energy_price("0.30", "price")


# --- sample boards -------------------------------------------------------------------------------


def test_sample_board_of_the_manual():
    # AH-188, Ch. 6 (from memory): section 98.55 g green and 59.20 g oven-dry; board 4.46 lb, later 4.14 lb.
    section = moisture_from_weights(98.55, 59.20)
    assert section == pytest.approx(0.665, abs=5e-4)
    dry = estimated_dry_weight(4.46, section)
    assert dry == pytest.approx(2.68, abs=5e-3)
    assert moisture_from_weights(4.14, round(dry, 2)) == pytest.approx(0.545, abs=5e-4)


def test_sample_slab_reckoned_elsewhere():
    # Computed apart from our code: sections 82.0 and 78.6 %, slab 5.240 kg, later 3.560 kg.
    dry = estimated_dry_weight(5.240, 0.803)
    assert dry == pytest.approx(2.906, abs=5e-4)
    assert moisture_from_weights(3.560, dry) == pytest.approx(0.225, abs=5e-4)


def test_the_schedule_steps_on_the_wettest_half():
    # E. M. Wengert, Hardwood lumber kiln schedules, article (read).
    assert wettest_half([0.26, 0.34, 0.29, 0.31]) == pytest.approx(0.325)
    assert wettest_half([0.26, 0.34, 0.31]) == 0.34  # the middle board left out: slower
    assert wettest_half([0.3]) == 0.3
    assert read_boards([0.3, 0.3]).remarks[0].startswith("2 of at least 4 boards")
    assert read_boards([0.3] * 4).remarks == ()


@given(st.lists(st.floats(0.05, 1.5), min_size=1, max_size=12))
def test_the_wettest_half_is_never_drier_than_the_mean(moistures):
    boards = read_boards(moistures)
    assert boards.mean - 1e-12 <= boards.controlling <= boards.wettest + 1e-12


def test_sample_refusals():
    with pytest.raises(BadValue, match="one board or more"):
        wettest_half([])
    with pytest.raises(BadValue, match="above 0 % and under 400 %"):
        wettest_half([float("nan")])
    with pytest.raises(BadValue, match="more than 0"):
        estimated_dry_weight(float("inf"), 0.5)
    with pytest.raises(BadValue, match="more than 0"):
        daily_loss(0.5, 0.4, 0)
    with pytest.raises(BadValue, match="from 0 up"):
        estimated_dry_weight(4.0, -0.5)
    assert daily_loss(0.50, 0.47, 2) == pytest.approx(0.015)


# --- the end of a run ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("target", "begin", "air", "stop"), [(0.07, 0.05, 0.05, 0.07), (0.08, 0.06, 0.06, 0.08)]
)
def test_equalising(target, begin, air, stop):
    # E. M. Wengert, Drying oak lumber, step 6C: the 7 % case (read); the 8 % case by the same rule.
    end = finish(target, CONTAINER, fahrenheit(160), thick=False)
    assert (end.begin, end.stop) == (pytest.approx(begin), pytest.approx(stop))
    assert end.equalise.emc == pytest.approx(air, abs=1e-6)
    assert end.condition.emc == pytest.approx(target + 0.04, abs=1e-6)
    assert finish(target, CONTAINER, 70, False, hardwood=False).begin == pytest.approx(target - 0.03)


def test_equalising_is_ten_degrees_warmer_where_the_kiln_can():
    assert finish(0.08, CONTAINER, 60, False).equalise.temperature == pytest.approx(60 + 10 / 1.8)
    assert finish(0.08, CONTAINER, 70, False).equalise.temperature == CONTAINER.top


def test_conditioning_air_at_180_f():
    # Computed with the handbook's equation: about 9 °F of depression hold 12.2 % at 180 °F.
    hot = read_kiln({"like": "container", "top": "82.3 C"}).value
    end = finish(0.082, hot, fahrenheit(180), thick=True)
    assert (end.condition.temperature - end.condition.wet_bulb) * 1.8 == pytest.approx(9, abs=0.5)
    assert end.hours == (16, 48)
    assert end.remarks == ()


def test_no_spray_no_conditioning_and_the_slab_says_so():
    end = finish(0.08, SMALL, 49, thick=True)
    assert end.condition is None
    assert end.on_the_slab[0].startswith("not conditioned")


@pytest.mark.parametrize(
    ("moistures", "now"),
    [
        ((0.12, 0.11, 0.10, 0.09), "dry"),
        ((0.09, 0.08, 0.07, 0.065), "dry"),
        ((0.09, 0.08, 0.07, 0.06), "equalise"),
        ((0.08, 0.075, 0.07, 0.06), "condition"),
        ((0.08, 0.08, 0.08, 0.08), "condition"),
    ],
)
def test_what_comes_next(moistures, now):
    end = finish(0.08, CONTAINER, 70, thick=True)
    assert stage(read_boards(moistures), end) == now
    if now == "condition":
        assert stage(read_boards(moistures), end, conditioned=True) == "done"
        assert stage(read_boards(moistures), finish(0.08, SMALL, 49, True)) == "done"


def test_a_target_that_no_kiln_is_run_to_is_refused():
    with pytest.raises(BadValue, match="from 5 % to 15 %"):
        finish(0.03, CONTAINER, 70, True)
    with pytest.raises(BadValue, match="below the load's"):
        settings(schedule("T4-D2"), CONTAINER, 0.07, 0.08)


# --- corners -------------------------------------------------------------------------------------


def test_what_a_kiln_cannot_do_is_said():
    hot = read_kiln({"like": "container", "top": "80 C", "heat": "3 kW"}).value
    slab = [Piece("1", RED_OAK, 0.081, 0.5, 0.27)]
    run = kiln_run(slab, hot, 0.08)
    assert any("the heater has 6.0 kW for each cubic metre" in told for told in run.remarks)
    assert run.warm_up_hours > 0
    cold = read_kiln({"like": "solar", "top": "38 C", "driest": "55 %"}).value
    run = kiln_run(slab, cold, 0.08)
    assert any("humidity rules, not heat" in told for told in run.remarks)
    assert any("driest air stops at" in told for told in run.remarks)
    dull = read_kiln({"controls": "temperature"}).value
    told = settings(schedule("T4-D2"), dull, 0.3, 0.08)[0].remarks
    assert any("move the vents" in each for each in told)
    near = [Piece(str(n), RED_OAK, 0.027, 0.1, 0.6) for n in range(12)]
    assert "near its limit" in check_water(near, SMALL, lead(near))[1][0]


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: step_for(schedule("T4-D2"), float("nan")), "a fraction above 0"),
        (lambda: red_oak_constant(-1, 50), "under 1 m"),
        (lambda: Piece.weighed("1", RED_OAK, 2.0, 0.1, 0.3), "under 1"),
        (lambda: lead([]), "one slab or more"),
        (lambda: power("2000 kW", "heat"), "at most 1000 kW"),
        (lambda: heat_capacity(-0.1, 20), "from 0 up"),
        (lambda: dry_wood(replace(RED_OAK, sg_basic=None), 1.0), "gravity is known"),
    ],
)
def test_numbers_that_cannot_be_are_refused(call, says):
    with pytest.raises(BadValue, match=says):
        call()

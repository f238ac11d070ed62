"""A kiln's reach, sample boards, the end of a run, days, water and energy."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import settings as tried
from hypothesis import strategies as st

from pithline.dry.kiln.codes import choose
from pithline.dry.kiln.days import red_oak_constant, red_oak_days, run_days, time_factor
from pithline.dry.kiln.energy import boil_off, run_energy, running
from pithline.dry.kiln.equalise import finish, stage
from pithline.dry.kiln.load import LOAD, Piece, check_water, lead, read_load, water_of
from pithline.dry.kiln.run import kiln_run
from pithline.dry.kiln.sample_boards import daily_loss, estimated_dry_weight, pace, read_boards, wettest_half
from pithline.dry.kiln.schedules import fahrenheit, schedule
from pithline.dry.kiln.steps import settings, step_for
from pithline.dry.kiln.warm_up import heat_capacity
from pithline.dry.kiln.water import dry_wood, water_out
from pithline.dry.kiln.written import KILN, energy_price, power, read_kiln
from pithline.dry.psychrometrics import humidity
from pithline.dry.safe_loss import safe_loss
from pithline.errors import BadValue
from pithline.field_schema import schema
from pithline.fields import Table
from pithline.units import BOARD_FOOT, INCH, length
from pithline.wood.estimate import Estimate
from pithline.wood.moisture import emc, moisture_from_weights
from pithline.wood.species import species

RED_OAK = species("northern red oak")
SMALL = read_kiln({"like": "small dehumidifier"}).value
CONTAINER = read_kiln({"like": "container"}).value
SOLAR = read_kiln({"like": "solar"}).value


SLAB = {"species": "red oak", "thickness": "12/4", "volume": "0.1 m3", "moisture": "27 %"}


def total(name, thickness, start, end, kiln, volume, code=None):
    wood, thick = species(name), length(thickness)
    held = settings(schedule(code or choose(wood, thick).code), kiln, start, end)
    steps = run_days(held, wood, thick, dry_wood(wood, volume), kiln.water, safe_loss(wood, thick))
    return [sum(getattr(step.days, bound) for step in steps) for bound in ("low", "mid", "high")]


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


# --- days ----------------------------------------------------------------------------------------


def test_red_oak_time_constant():
    # Simpson and Tschernitz 1979 as quoted: 191.82 mmHg at 150 °F gives 3.031 days for 1 in. (read).
    # Our saturation pressure there is 192.52, as in steam tables: 0.4 % more, and the time 0.3 % less.
    assert red_oak_constant(INCH, fahrenheit(150)) == pytest.approx(3.031, rel=4e-3)
    assert pytest.approx(3.031, abs=1e-3) == 1 / (0.0575 + 0.00142 * 191.82)
    # 100 to 14 % in air of 72 °F and 72 % humidity, 1.5 in.: 113.35 days (read). The moisture at
    # rest, 13.55 %, lies so close to 14 % that 0.01 % of it moves the time by 2 %.
    rest = float(emc(fahrenheit(72), 0.72))
    assert rest == pytest.approx(0.1355, abs=2e-4)
    assert red_oak_days(1.5 * INCH, fahrenheit(72), 0.1355, 1.0, 0.14) == pytest.approx(113.35, rel=0.01)
    assert red_oak_days(INCH, 40, 0.10, 0.30, 0.09) == float("inf")
    assert red_oak_days(INCH, 40, 0.10, 0.30, 0.30) == 0


@pytest.mark.parametrize(
    ("inches", "more"), [(1.0, (0.10, 0.15)), (1.125, (0.10, 0.15)), (2.25, (0.055, 0.07))]
)
def test_a_little_more_thickness_costs_as_much_time_as_published(inches, more):
    # Simpson and Tschernitz 1979, abstract (read): 3/32 in. more costs 10 to 15 %, about 6 % on thick stock.
    ratio = red_oak_constant((inches + 3 / 32) * INCH, 60) / red_oak_constant(inches * INCH, 60)
    assert more[0] <= ratio - 1 <= more[1]


@pytest.mark.parametrize(
    ("name", "thickness", "start", "end", "volume", "measured"),
    [
        ("red oak", "4/4", 0.829, 0.061, 1.5, 45),
        ("black cherry", "5/4", 0.475, 0.068, 1.5, 27),
        ("red oak", "4/4", 0.184, 0.073, 1.5, 15),  # mixed air-dried hardwoods, taken as red oak
    ],
)
def test_runs_of_a_small_dehumidification_kiln(name, thickness, start, end, volume, measured):
    # R. Bergman 2008, FPL-RN-0310: a first-time operator, 600 to 700 bf (read).
    low, mid, high = total(name, thickness, start, end, SMALL, volume)
    # Whole runs, equalising included, which ours are not: they took 1.1 to 1.65 times our middle.
    assert low < mid < measured < high


def test_air_dried_white_oak_takes_one_to_two_weeks():
    # Reeb and Brown, OSU EM 8612 (read): 4/4 white oak, air-dried, 1 to 2 weeks; green over a month.
    assert 7 <= total("white oak", "4/4", 0.22, 0.08, SMALL, 1.0)[1] <= 14
    assert total("white oak", "4/4", 0.70, 0.08, SMALL, 1.5)[1] > 30


def test_white_ash_takes_about_ten_days():
    # E. M. Wengert, 2010 (read): 4/4 by T5-B5, green to 8 %, equalising and conditioning included.
    assert 6 < total("white ash", "4/4", 0.45, 0.08, CONTAINER, 0.5, "T5-B5")[1] < 10


@pytest.mark.parametrize(("thickness", "printed"), [("6/4", 1.7), ("8/4", 2.5), ("12/4", 4.38)])
def test_thickness_factors_under_the_schedules_they_belong_to(thickness, printed):
    # E. M. Wengert, 2012, and FPL-GTR-118 as he quotes it (read): time against 4/4. Ours stand 5 to
    # 25 % higher: the relation's own exponent is 1.52, the factors' about 1.3.
    kiln = read_kiln({"like": "container", "top": "82.3 C"}).value
    ratio = (
        total("red oak", thickness, 0.8, 0.07, kiln, 0.01)[1]
        / total("red oak", "4/4", 0.8, 0.07, kiln, 0.01)[1]
    )
    assert 1.0 < ratio / printed < 1.27


def test_the_slowest_limit_rules_and_is_named():
    held = settings(schedule("T4-D2"), SMALL, 0.80, 0.08)
    mass = dry_wood(RED_OAK, 1.5)
    strong, weak = Estimate(1000, 1000, 1000, False), Estimate(1, 1, 1, False)
    safe = safe_loss(RED_OAK, INCH)
    free = run_days(held, RED_OAK, INCH, mass, strong)
    assert {step.limit for step in free} == {"the wood"}
    assert {step.limit for step in run_days(held, RED_OAK, INCH, mass, weak)} == {"the water"}
    careful = run_days(held, RED_OAK, INCH, mass, strong, safe)
    assert careful[0].limit == "the safe loss"
    assert careful[-1].limit == "the wood"
    for a, b in zip(free, careful, strict=True):
        assert b.days.mid >= a.days.mid
        assert b.days.low <= b.days.mid <= b.days.high


def test_a_drying_model_takes_the_place_of_the_relation():
    held = settings(schedule("T4-D2"), CONTAINER, 0.30, 0.08)
    given = [3.0] * len(held)
    steps = run_days(held, RED_OAK, INCH, dry_wood(RED_OAK, 0.01), CONTAINER.water, by_wood=given)
    assert [step.days.mid for step in steps] == given
    assert "diffusion through the thickest slab" in steps[0].days.basis[0]


def test_a_step_that_never_ends_shows_ten_years():
    damp = read_kiln({"like": "small dehumidifier", "driest": "70 %"}).value
    held = settings(schedule("T4-D2"), damp, 0.20, 0.08)
    assert any("does not end" in told for told in held[-1].remarks)
    steps = run_days(held, RED_OAK, INCH, dry_wood(RED_OAK, 0.1), damp.water)
    assert steps[-1].days.mid == 3650


def test_denser_woods_are_taken_to_dry_slower():
    assert time_factor(RED_OAK) == pytest.approx(1.0)
    # J. F. Siau 1984 (from memory), diffusion at 20 °C and 10 %: 6.18 at 0.40, 2.18 at 0.65 (1e-11 m2/s).
    assert pytest.approx(6.18 / 2.18, rel=0.02) == (0.65 / 0.40) ** 2.15


# --- safe loss, water, energy --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "thickness", "printed"),
    [
        ("northern red oak", "4/4", 3.8),
        ("northern red oak", "8/4", 1.5),
        ("black walnut", "8/4", 3.3),
        ("white oak", "8/4", 1.0),
    ],
)
def test_safe_loss_as_printed(name, thickness, printed):
    # FPL-GTR-118, 2000 (from memory).
    loss = safe_loss(species(name), length(thickness))
    assert loss.mid * 100 == pytest.approx(printed)
    assert "[from memory]" in loss.basis[0]


def test_safe_loss_of_a_wood_that_is_not_printed_is_a_guess_on_the_safe_side():
    loss = safe_loss(species("pedunculate oak"), INCH)
    assert loss.guess
    assert loss.mid == pytest.approx(0.025)  # white oak's, the least of the dense woods
    assert safe_loss(species("norway spruce"), INCH).guess
    thick = safe_loss(RED_OAK, length("12/4"))
    assert thick.guess
    assert any("extrapolated" in told for told in thick.basis)
    with pytest.raises(BadValue):
        safe_loss(RED_OAK, float("nan"))


def test_water_of_a_slab():
    # 0.56 t of dry wood in a green cubic metre of red oak (Wood Handbook): 80 to 8 % gives off 403 kg.
    assert water_out(RED_OAK, 1.0, 0.80, 0.08).mid == pytest.approx(560 * 0.72)
    pieces = [Piece("a", RED_OAK, 0.05, 1.0, 0.30), Piece("b", RED_OAK, 0.05, 1.0, 0.07)]
    assert water_of(pieces, 0.08).mid == pytest.approx(560 * 0.22)
    assert water_of(pieces, 0.08, above=0.20).mid == pytest.approx(560 * 0.10)
    with pytest.raises(BadValue):
        water_out(RED_OAK, 1.0, 0.07, 0.08)
    with pytest.raises(BadValue):
        dry_wood(RED_OAK, -1.0)


def test_a_shed_kiln_of_a_magazine():
    # May 2017 (inputs read, sums reckoned by hand): 650 W, four fans of 133 W, a heater of 1300 W a
    # quarter of the time: 36 kWh a day; three weeks of 540 bf: 760 kWh, 1.4 kWh a board foot.
    machines = [(650, 1.0), (4 * 133, 1.0), (1300, 0.25)]
    assert running(machines, 1) == pytest.approx(36, abs=0.3)
    assert running(machines, 21) == pytest.approx(760, abs=5)
    assert running(machines, 21) / 540 == pytest.approx(1.4, abs=0.05)
    # Our range for such a kiln and load holds it.
    volume = 540 * BOARD_FOOT
    white = species("white oak")
    wet, dry = water_out(white, volume, 0.25, 0.20), water_out(white, volume, 0.20, 0.08)
    found = run_energy(SMALL, wet, dry, Estimate(18, 21, 24, False))
    assert found.low < 760 * 0.6
    assert found.high > 760 * 0.8


def test_heat_of_evaporation():
    # Wengert and Oliveira (read): about 1000 Btu/lb, 0.65 kWh/kg.
    assert boil_off(1.0) == pytest.approx(0.65, abs=0.005)
    with pytest.raises(BadValue):
        running([(100, 1.2)], 1)
    with pytest.raises(BadValue):
        running([], -1)


# --- a load --------------------------------------------------------------------------------------


def test_the_wettest_and_the_thickest_piece_rule():
    pieces = [
        Piece("thin", species("yellow-poplar"), 0.033, 0.05, 0.25),
        Piece("thick", RED_OAK, 0.081, 0.13, 0.22),
        Piece("wet", RED_OAK, 0.054, 0.07, 0.45),
    ]
    led = lead(pieces)
    assert led.slowest.name == "thick"
    assert led.thickest.name == "thick"
    assert led.wettest.name == "wet"
    assert led.choice.code == "T3-C1"
    assert led.start == 0.45
    assert led.safe.mid == pytest.approx(safe_loss(RED_OAK, 0.081).mid)
    told = " ".join(led.remarks)
    assert "mixed thicknesses, 5/4 to 12/4" in told
    assert "mixed woods" in told
    assert "moistures lie 23 % apart" in told


def test_water_against_what_the_kiln_takes():
    small = [Piece("1", RED_OAK, 0.027, 0.05, 0.6)]
    many = [Piece(str(n), RED_OAK, 0.027, 0.1, 0.6) for n in range(30)]
    assert check_water(small, SMALL, lead(small))[1] == ()
    per_day, told = check_water(many, SMALL, lead(many))
    assert per_day == pytest.approx(3.0 * 560 * lead(many).safe.mid)
    assert "dries slower than it could" in told[0]
    assert "nothing holds the humidity" in check_water(small, SOLAR, lead(small))[1][0]


def test_a_run_adds_up_and_says_what_belongs_on_the_slab():
    pieces = read_load(
        [
            {
                "name": "2",
                "species": "red oak",
                "thickness": "12/4",
                "volume": "0.13 m3",
                "moisture": "27 %",
                "count": 4,
            }
        ]
    )
    assert [piece.name for piece in pieces] == ["2 #1", "2 #2", "2 #3", "2 #4"]
    run = kiln_run(pieces, SMALL, 0.08)
    assert run.water.mid == pytest.approx(0.13 * 4 * 560 * 0.19)
    assert run.days.mid > sum(step.days.mid for step in run.steps)
    assert [told.split(":")[0] for told in run.on_the_slab] == ["not conditioned", "not sterilised"]
    assert kiln_run(pieces, CONTAINER, 0.08).on_the_slab == ()
    by_hand = kiln_run(pieces, SMALL, 0.08, code="T3-A1")
    assert "T3-A1 was chosen by hand" in by_hand.remarks
    assert by_hand.days.mid > run.days.mid


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ([], "one slab or more"),
        ([{**SLAB, "moisture": "27"}], "could be any unit"),
        ([{**SLAB, "moistur": "27 %"}], "Did you mean moisture"),
        ([{**SLAB, "species": "red okk"}], "Did you mean"),
    ],
)
def test_a_load_that_cannot_be_meant_is_refused(rows, says):
    with pytest.raises(BadValue, match=says):
        read_load(rows)


# --- too fast ------------------------------------------------------------------------------------


def test_a_load_that_loses_more_than_is_safe_is_told():
    # FPL-GTR-118 (from memory): 8/4 red oak 1.5 % a day; our low end is 20 % under it.
    safe = safe_loss(RED_OAK, length("8/4"))
    fast = pace([0.56, 0.50], [0.52, 0.48], 2, safe)
    assert fast.fastest == pytest.approx(0.02)
    assert fast.too_fast
    assert fast.told.startswith("too fast")
    assert pace([0.56], [0.533], 2, safe).told.startswith("near the limit")
    assert not pace([0.56], [0.54], 2, safe).too_fast
    dry = pace([0.29], [0.20], 1, safe)
    assert not dry.too_fast
    assert "below 30 %" in dry.told
    with pytest.raises(BadValue, match="as many as now"):
        pace([0.5], [0.4, 0.4], 1, safe)


def test_the_tables_make_schemas_for_forms():
    made = schema(KILN, "kiln")
    assert set(made["properties"]) == {field.name for field in KILN.fields}
    assert schema(Table("", "", (LOAD,)), "load")["properties"]["load"]["type"] == "array"


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

"""Tally of slabs against published board measure and a worked slab."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pithline.errors import BadValue
from pithline.slab.outline import SlabOutline
from pithline.slab.recovery import recovery
from pithline.slab.tally import TallyRule, TallyUnit
from pithline.slab.tallying import (
    board_feet,
    face_area,
    nominal_board_feet,
    rule_text,
    surface_measure,
    tallied_inches,
    tally,
    tally_volume,
    tally_width,
    volume_unit,
)

INCH, FOOT = 0.0254, 0.3048


def slab(narrow: list[float], wide: list[float], thickness: float) -> SlabOutline:
    z = np.arange(len(narrow), dtype=float)
    narrow_a, wide_a = np.array(narrow), np.array(wide)
    return SlabOutline(
        z,
        upper=np.stack([-narrow_a / 2, narrow_a / 2], axis=1),
        lower=np.stack([-wide_a / 2, wide_a / 2], axis=1),
        thickness=thickness,
    )


# Worked example of our own reference notes on board measure (computed there by hand): 54 mm, 3 m.
WORKED = slab([0.420, 0.440, 0.455, 0.500], [0.460, 0.478, 0.497, 0.540], 0.054)


def test_a_board_foot_is_144_cubic_inches():
    # Published with the unit: 1 bf = 0.00235974 m3, 1 m3 = 423.776 bf (last digit).
    assert volume_unit(TallyUnit.BF_SAWN) == pytest.approx(0.00235974, abs=5e-9)
    assert board_feet(1.0) == pytest.approx(423.776, abs=5e-4)
    assert board_feet(2 * INCH * 6 * INCH * 8 * FOOT) == pytest.approx(8.0)


# American Hardwood Export Council, page "Measurement" (NHLA tally), read: the four worked boards.
@pytest.mark.parametrize(
    ("width_in", "length_ft", "printed"), [(6.25, 8, 4), (6.5, 8, 4), (8, 12, 8), (10, 13, 11)]
)
def test_surface_measure_agrees_with_the_published_boards(width_in, length_ft, printed):
    assert surface_measure(width_in * INCH, length_ft * FOOT) == printed


def test_board_feet_are_surface_measure_times_nominal_thickness():
    # AHEC, same page: 2 in x 6 1/4 in x 8 ft is 8 bf.
    assert nominal_board_feet(6.25 * INCH, 8 * FOOT, 8) == 8


def test_a_piled_board_is_tallied_in_whole_inches_and_feet():
    # AHEC, same page: 5 1/4 in x 8 1/2 ft is tallied 5 in x 8 ft.
    assert tallied_inches(5.25 * INCH) == 5
    assert surface_measure(5 * INCH, 8.5 * FOOT) == surface_measure(5 * INCH, 8 * FOOT) == 3
    assert nominal_board_feet(5.25 * INCH, 8.5 * FOOT, 4, whole_inches=True) == 3


def test_exact_halves_go_where_they_are_told():
    # AHEC, same page: half inches up and down in turn; whose turn it is, the caller says.
    assert [tallied_inches(w * INCH, half_up=up) for w in (6.5, 7.5) for up in (True, False)] == [7, 6, 8, 7]
    assert tallied_inches(6.51 * INCH, half_up=False) == 7
    # 9 in x 10 ft is 7 1/2 ft2.
    assert [surface_measure(9 * INCH, 10 * FOOT, half_up=up) for up in (True, False)] == [8, 7]


def test_thin_stock_counts_as_one_inch():
    # E. M. Wengert, glossary at goodwoodcorp.com, read: below 1 in is sold by surface measure.
    assert nominal_board_feet(8 * INCH, 12 * FOOT, 3) == nominal_board_feet(8 * INCH, 12 * FOOT, 4) == 8


@pytest.mark.parametrize(
    ("rule", "volume", "feet"),
    [
        (TallyRule.NARROW, 0.07317, 31.0),
        (TallyRule.MEAN, 0.07641, 32.4),
        (TallyRule.WIDE, 0.07965, 33.8),
    ],
)
def test_the_worked_slab_by_each_face(rule, volume, feet):
    # Tolerance: the last printed digit.
    assert tally_volume(WORKED, rule, 0, 3) == pytest.approx(volume, abs=5e-6)
    assert tally(WORKED, rule, TallyUnit.M3, 0, 3) == pytest.approx(volume, abs=5e-6)
    assert tally(WORKED, rule, TallyUnit.BF_SAWN, 0, 3) == pytest.approx(feet, abs=0.05)


def test_the_worked_slab_sold_as_8_4():
    # Same notes: 17.78 in narrow x 9 ft / 12 = 13.3, so 13 and 26 bf.
    assert tally(WORKED, TallyRule.NARROW, TallyUnit.BF_NOMINAL, 0, 3, quarters=8) == 26
    # Rounded to the inch first, 18 in x 9 ft is 13 1/2, and then it is a matter of turn.
    width = face_area(WORKED.z, tally_width(WORKED, TallyRule.NARROW), 0, 3) / 3
    assert [nominal_board_feet(width, 3.0, 8, up, whole_inches=True) for up in (True, False)] == [28, 26]


def test_true_volume_needs_the_sections():
    section = np.full(4, 0.026)
    assert tally_volume(WORKED, TallyRule.SOLID, 0, 3, section) == pytest.approx(0.078)
    with pytest.raises(BadValue, match="section areas"):
        tally_volume(WORKED, TallyRule.SOLID, 0, 3)
    with pytest.raises(BadValue, match="Choose narrow face, mean of faces or wide face"):
        tally(WORKED, TallyRule.SOLID, TallyUnit.BF_NOMINAL, 0, 3, quarters=8)


def test_a_nominal_tally_needs_a_nominal_thickness():
    with pytest.raises(BadValue, match="Give one such as 12/4"):
        tally(WORKED, TallyRule.MEAN, TallyUnit.BF_NOMINAL, 0, 3)


def test_a_run_outside_the_slab_is_refused():
    with pytest.raises(BadValue, match=r"-0\.500 to 3\.000 m"):
        face_area(WORKED.z, WORKED.upper_width, -0.5, 3)


def test_an_empty_run_counts_nothing():
    for unit in TallyUnit:
        assert tally(WORKED, TallyRule.MEAN, unit, 1.5, 1.5, quarters=8) == 0


@given(
    widths=st.lists(st.floats(0, 2), min_size=2, max_size=8),
    cuts=st.tuples(st.floats(0, 1), st.floats(0, 1)).map(sorted),
)
def test_face_area_adds_up_and_equals_a_fine_sum(widths, cuts):
    z = np.linspace(0, 3.7, len(widths))
    a, b = (3.7 * c for c in cuts)
    parts = [face_area(z, np.array(widths), lo, hi) for lo, hi in ((0, a), (a, b), (b, 3.7))]
    assert sum(parts) == pytest.approx(face_area(z, np.array(widths), 0, 3.7), abs=1e-12)
    # Midpoint sum of the piecewise straight width; its error is bounded by kinks times cell size.
    n = 4000
    mid = a + (np.arange(n) + 0.5) / n * (b - a)
    assert parts[1] == pytest.approx(np.interp(mid, z, widths).mean() * (b - a), abs=1e-4)


@given(st.lists(st.tuples(st.floats(0, 2), st.floats(0, 2)), min_size=2, max_size=8))
def test_narrow_is_never_more_than_mean_nor_mean_than_wide(pairs):
    s = slab([p[0] for p in pairs], [p[1] for p in pairs], 0.05)
    narrow, mean, wide = (
        tally_volume(s, rule, 0, len(pairs) - 1)
        for rule in (TallyRule.NARROW, TallyRule.MEAN, TallyRule.WIDE)
    )
    assert narrow <= mean + 1e-12
    assert mean <= wide + 1e-12


def test_every_rule_can_be_printed():
    texts = {
        rule_text(rule, unit)
        for rule in TallyRule
        for unit in TallyUnit
        if (rule, unit) != (TallyRule.SOLID, TallyUnit.BF_NOMINAL)
    }
    assert len(texts) == len(TallyRule) * len(TallyUnit) - 1
    text = rule_text(TallyRule.NARROW, TallyUnit.BF_NOMINAL)
    for word in ("narrow face", "whole foot", "square foot", "nominal"):
        assert word in text


def test_recovery_is_a_share_of_the_log():
    share = recovery([0.3, 0.4], [0.25, 0.35], 1.0)
    assert (share.solid, share.tally) == (pytest.approx(0.7), pytest.approx(0.6))
    with pytest.raises(BadValue, match=r"at most the log's 1\.0000 m3"):
        recovery([0.6, 0.6], [0.5, 0.5], 1.0)
    with pytest.raises(BadValue, match="log volume"):
        recovery([], [], float("nan"))

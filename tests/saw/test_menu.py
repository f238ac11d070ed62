"""The thickness menu in lines of the grid, tally units and rates."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pithline.errors import BadValue
from pithline.saw.aims import SizeKind, ThicknessAim
from pithline.saw.menu import lines_in, menu
from pithline.saw.rates import Rates
from pithline.slab.tally import TallyUnit
from tests.saw.beam import AIMS, MILL, RATES, TIMBER, green, sawn

QUARTERS = ThicknessAim("12/4", SizeKind.ROUGH_DRY, 0.0762, 12)


def entries(*aims, unit=TallyUnit.M3, rates=RATES, mill=MILL):
    return menu(replace(AIMS, thicknesses=aims, unit=unit), rates, TIMBER, mill)


@pytest.mark.parametrize(
    ("size", "step", "lines"), [(0.080, 0.001, 80), (0.0801, 0.001, 81), (0.0762, 0.0254 / 32, 96)]
)
def test_sizes_are_rounded_up_to_whole_lines(size, step, lines):
    # 3 in is 96 thirty-seconds exactly; binary dust must not make it 97.
    assert lines_in(size, step) == lines


def test_a_quarter_name_is_rough_dry():
    # 76.2 mm over 1 - 5 % (mean of 3 and 7), and 1 mm of sawing variation: 81.21 mm, so 82 on the grid.
    (only,) = entries(QUARTERS)
    assert (only.lines, only.green, only.rate) == pytest.approx((82, 0.082, 1000.0))


def test_a_finished_size_stands_for_a_row_of_green_ones():
    # Thinnest: (60 + 5) / 0.97 + 1 = 68.01; thickest: (60 + 16) / 0.93 + 1 = 82.72.
    row = entries(ThicknessAim("60 mm finished", SizeKind.FINISHED, 0.060))
    assert [c.lines for c in row] == list(range(69, 84))


def test_what_a_square_metre_counts_for():
    # m3: its thickness. Board feet as sawn: 0.080 m over 0.002359737 m3. Nominal: 12/4 is 3 for each square
    # foot.
    (volume,) = entries(green(80))
    assert (volume.counted, volume.sold) == pytest.approx((0.080, 0.080))
    (board,) = entries(green(80), unit=TallyUnit.BF_SAWN)
    assert board.sold == pytest.approx(0.080 / 0.002359737)
    (nominal,) = entries(QUARTERS, unit=TallyUnit.BF_NOMINAL)
    assert (nominal.counted, nominal.sold) == pytest.approx((0.0762, 3.0))


@pytest.mark.parametrize(("mm", "sold"), [(80, 2.5), (81, 3.0), (100, 3.5), (21, 1.0)])
def test_green_sizes_are_sold_as_the_nominal_thickness_they_hold_once_dry(mm, sold):
    # Dry 95 %: 80 -> 76.0 (10/4 is 63.5, 12/4 is 76.2), 81 -> 76.95 (12/4), 100 -> 95 (14/4 is 88.9, 16/4
    # is 101.6), 21 -> 19.95 (3/4 is 19.05; what is under an inch counts as an inch).
    (only,) = entries(green(mm), unit=TallyUnit.BF_NOMINAL)
    assert only.sold == pytest.approx(sold)


def test_each_thickness_has_its_rate():
    rates = Rates("EUR", (("12/4", 900.0),), 700.0)
    assert [c.rate for c in entries(QUARTERS, green(50), rates=rates)] == [900.0, 700.0]


def test_a_thickness_outside_the_mills_depth_is_refused():
    # 330 mm of depth less the kerf of 10 mm; 320 mm just goes.
    entries(green(320))
    with pytest.raises(BadValue, match=r'aims.thickness is "321 mm green"; it must be 13 mm to 320 mm green'):
        entries(green(321))
    # 12/4 is refused by its green size.
    with pytest.raises(BadValue, match=r"12/4 \(82 mm green\).*13 mm to 70 mm green"):
        entries(QUARTERS, mill=replace(MILL, depth_max=0.080))


def test_an_empty_menu_and_one_without_a_nominal_name_are_refused():
    with pytest.raises(BadValue, match="at least one thickness"):
        entries()
    with pytest.raises(BadValue, match=r"thick enough for a nominal thickness.*bf as sawn"):
        entries(green(13), unit=TallyUnit.BF_NOMINAL)


def test_a_finished_size_is_sawn_as_thin_as_it_may_be():
    # The beam's faces are 400 mm wide, so 8 mm of flattening; a slab at its lowest, 60 mm finished, shrinks
    # by 3 to 7 %: from 68 / 0.97 + 1 = 71.1 to 68 / 0.93 + 1 = 74.1 mm. Wood over that would only be planed
    # away, so no slab takes the 83 mm that the widest flattening would ask for.
    made = sawn(thicknesses=(ThicknessAim("60 mm finished", SizeKind.FINISHED, 0.060),), least_width=0.1)
    assert made.slabs
    for slab in made.slabs:
        assert 0.072 - 1e-9 <= slab.outline.thickness <= 0.075 + 1e-9
        assert 0.060 - 1e-9 <= slab.finished < 0.061

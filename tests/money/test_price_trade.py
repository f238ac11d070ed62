"""Every row of the trade's own sums, and public price lists as plausibility."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pithline.errors import BadValue
from pithline.money.markup import margin_of_markup, price_at_margin, price_at_markup
from pithline.money.price.asking import built_up, shop_price
from pithline.money.price.piece import Dried, Piece
from pithline.money.price.premiums import PREMIUMS, customary_factor, thickness_factor
from pithline.money.price.thickness_reason import drying_bill, stack_space, thickness_reason
from pithline.slab.tallying import board_feet, face_area
from pithline.units import INCH, quarters
from tests.sources import table

ROWS = table("trade_prices")
PREMIUM = {p.key: p for p in PREMIUMS}


def _ours(row: dict[str, str]) -> float:
    widths = np.array([18.0, 20, 23, 22, 19]) * INCH
    z = np.linspace(0, 96 * INCH, 5)
    area = face_area(z, widths, 0, float(z[-1]))
    cubic = row["inputs"] == "1 cubic metre"
    size = (quarters(row["inputs"]) or 4) / 4 * INCH
    ways = {
        ("price thickness curve", "factor_k_0.4"): lambda: thickness_factor(size),
        ("price build-up", "asking_price"): lambda: built_up(40, 7.00, [1.30, 1.20, 1.50, 1.10, 1.00, 0.90]),
        ("board feet", "board_feet"): lambda: float(board_feet(1.0 if cubic else 2.5 * 20 * 96 * INCH**3)),
        ("live-edge width", "trapezoid_mean_width_in"): lambda: area / (96 * INCH) / INCH,
        ("live-edge width", "board_feet_trapezoid"): lambda: float(board_feet(2.5 * INCH * area)),
        # What we do not count: a plain mean gives the two ends as much say as what lies between.
        ("live-edge width", "simple_mean_width_in"): lambda: float(widths.mean() / INCH),
    }
    return ways[row["case"], row["quantity"]]()


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['case']}-{r['inputs'][:12]}-{r['quantity']}")
def test_each_row_of_the_trade(row):
    # Printed in full: rounding alone.
    assert _ours(row) == pytest.approx(float(row["value"]), rel=1e-9)


def test_every_row_is_there():
    assert len(ROWS) == 13


@pytest.mark.parametrize(
    ("thickness", "factor"),
    [
        # A dealer's retail list of cherry, undated (read): 4/4 5.25, 8/4 6.50, 12/4 9.00, 16/4 11.00 per bf.
        (8, 6.50 / 5.25),
        (12, 9.00 / 5.25),
        (16, 11.00 / 5.25),
        # The same of ash: 4/4 4.00, 8/4 5.00, 12/4 6.50, 16/4 8.00.
        (8, 5.00 / 4.00),
        (12, 6.50 / 4.00),
        (16, 8.00 / 4.00),
        # Wholesale green walnut FAS in a trade weekly of June 2025 (read): 4/4 2600, 8/4 3065 per 1000 bf.
        (8, 3065 / 2600),
    ],
)
def test_customary_thickness_is_plausible_against_public_lists(thickness, factor):
    """Plausibility only: no list of live-edge slabs was found, and lists differ by a third."""
    size = thickness / 4 * INCH
    thick = PREMIUM["thickness"]
    far = 2 * thick.doubt
    low, high = thickness_factor(size, thick.custom - far), thickness_factor(size, thick.custom + far)
    assert low < factor < high
    assert thickness_factor(size) > 1  # thick stock is dearer per board foot: common practice, no source


@pytest.mark.parametrize("ratio", [4585 / 2600, 1880 / 1250, 825 / 610])
def test_customary_drying_holds_the_printed_ratios(ratio):
    # Kiln-dried over green 4/4, walnut FAS, white oak and yellow-poplar 1C, trade weekly 2025 (read).
    dried = PREMIUM["kiln_dried"]
    assert abs(math.log(ratio) - dried.custom) < dried.doubt


def test_a_customary_slab_costs_up_to_twice_figured_square_lumber():
    """Common practice, no source: plausibility of the priors, nothing is reckoned from it."""
    slab = Piece("oak", 2 * INCH, 30 * INCH, 8 * 12 * INCH, 0.1, Dried.KILN, figure=1.0)
    lumber = Piece("oak", 2 * INCH, 8 * INCH, 8 * 12 * INCH, 0.1, Dried.KILN, live=False, figure=1.0)
    plain = Piece("oak", INCH, 8 * INCH, 8 * 12 * INCH, 0.1, Dried.KILN, live=False)
    assert 1 < customary_factor(slab) / customary_factor(lumber) < 2
    # The best-known sellers: several times plain lumber.
    assert 2 < customary_factor(slab) / customary_factor(plain) < 6


def test_markup_and_margin():
    # Pricing notes: 400 at 40 % margin is 666.67, at 40 % markup 560.00.
    assert price_at_margin(400, 0.4) == pytest.approx(666.67, abs=0.005)
    assert price_at_markup(400, 0.4) == pytest.approx(560)
    assert margin_of_markup(0.4 / 0.6) == pytest.approx(0.4)
    with pytest.raises(BadValue, match="under 100 %"):
        price_at_margin(400, 1.0)


def test_a_shop_price_is_near_and_round():
    assert [shop_price(p) for p in (3.2, 187.4, 412, 996, 1230, 1226, 1224)] == [
        5, 185, 410, 1000, 1250, 1250, 1200,
    ]  # fmt: skip


def test_space_and_days_by_hand():
    # 3 in wood on 1 in stickers, half of each layer wood: (3 + 1)/(3 x 0.5) = 2.667 m3 a m3.
    assert stack_space(3 * INCH, INCH, 0.5) == pytest.approx(8 / 3)
    bill = drying_bill(300, 8 / 3, 0.5, 4.0, 0.10, 0.2)
    # 300 days x 2.667 x 0.5 a m3 and day over 423.776 bf a m3; 4 x (1.1^(300/365.25) - 1); 4 x 0.2/0.8.
    assert bill.space == pytest.approx(300 * 8 / 3 * 0.5 / 423.776, rel=1e-5)
    assert bill.interest == pytest.approx(4 * (1.1 ** (300 / 365.25) - 1))
    assert bill.spoiled == pytest.approx(1.0)


def test_the_thickness_premium_leaves_the_seller_as_well_off():
    thick = drying_bill(780, stack_space(3 * INCH), 0.35, 4.0, 0.08, 0.15)
    thin = drying_bill(150, stack_space(INCH), 0.35, 4.0, 0.08, 0.05)
    reason = thickness_reason(thick, thin, 4.0)
    price_thin = 10.0
    margin = price_thin / (4.0 + thin.total)
    assert price_thin * reason.factor / (4.0 + thick.total) == pytest.approx(margin)
    assert reason.factor > 1
    same = thickness_reason(thin, thin, 4.0)
    assert same.factor == 1


def test_the_same_days_make_thick_stock_cheaper_to_dry():
    """A board foot of thick stock takes less room: it is the days that cost."""
    thick, thin = (drying_bill(150, stack_space(t * INCH), 0.35, 4.0, 0.0, 0.0).space for t in (3, 1))
    assert thick < thin

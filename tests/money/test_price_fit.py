"""The robust fit against general optimisers, and against sales whose truth is known."""

from __future__ import annotations

import datetime
import math

import numpy as np
import pytest
from scipy.optimize import least_squares, minimize

from pithline.errors import BadValue
from pithline.money.price.fit import fit_prices
from pithline.money.price.like_sales import by_use, carried, like
from pithline.money.price.piece import Dried, Piece, Sale
from pithline.money.price.premiums import PREMIUMS, customary_factor
from pithline.money.price.robust import HUBER, huber_fit
from pithline.units import INCH

SCATTER = 0.2


def table(rng: np.random.Generator, rows: int = 60, columns: int = 4) -> tuple[np.ndarray, np.ndarray]:
    """Rows with a tenth of them far off."""
    x = np.column_stack([np.ones(rows), rng.normal(size=(rows, columns - 1))])
    y = x @ np.linspace(1, 2, columns) + rng.normal(0, 0.3, rows)
    y[:: rows // 6] += 4
    return x, y


def drawn(rng: np.random.Generator, count: int, base: float = 4.0, odd: float = 0.0) -> list[Sale]:
    """Sales by custom's own premiums, a share `odd` of them at four times or a quarter of it."""
    sales = []
    for n in range(count):
        thickness, width, length = rng.choice([1, 2, 3]) * INCH, rng.uniform(0.25, 0.9), rng.uniform(1.2, 3.6)
        piece = Piece(
            "Northern red oak",
            float(thickness),
            float(width),
            float(length),
            float(thickness * width * length),
            Dried(str(rng.choice(["green", "air dried", "kiln dried"]))),
            bool(rng.random() < 0.4),
            bool(rng.random() < 0.2),
            bool(rng.random() < 0.8),
            bool(rng.random() < 0.2),
            float(rng.choice([0, 0, 0.3])),
            str(rng.choice(["table", "bench"])),
        )
        wild = rng.choice([0.25, 4.0]) if rng.random() < odd else 1.0
        price = piece.board_feet * base * customary_factor(piece) * math.exp(rng.normal(0, SCATTER)) * wild
        day = datetime.date(2023, 1, 1) + datetime.timedelta(days=int(rng.integers(900)))
        sales.append(Sale(f"{n}", piece, float(price), day))
    return sales


def test_slopes_against_scipys_least_squares():
    x, y = table(np.random.default_rng(1))
    ours = huber_fit(x, y, np.zeros(4), np.full(4, np.inf), scale=0.3)
    # scipy's huber loss bends where (residual/f_scale)^2 passes 1, the same place as ours.
    theirs = least_squares(
        lambda b: x @ b - y,
        np.zeros(4),
        loss="huber",
        f_scale=HUBER * 0.3,
        xtol=1e-14,
        ftol=1e-14,
        gtol=1e-14,
    )
    assert ours.slopes == pytest.approx(theirs.x, abs=1e-6)
    plain = np.linalg.lstsq(x, y, rcond=None)[0]
    assert abs(plain[0] - 1) > 5 * abs(ours.slopes[0] - 1)  # the control: least squares is pulled away


def test_slopes_with_a_prior_against_a_general_minimiser():
    x, y = table(np.random.default_rng(2), rows=14)
    prior, doubt = np.array([0.0, 1.5, 1.5, 1.5]), np.array([np.inf, 0.2, 0.05, 1.0])

    def loss(b: np.ndarray) -> float:
        size = np.abs(y - x @ b) / 0.3
        rho = np.where(size <= HUBER, size**2 / 2, HUBER * size - HUBER**2 / 2)
        return float(rho.sum() + ((b[1:] - prior[1:]) ** 2 / doubt[1:] ** 2).sum() / 2)

    theirs = minimize(loss, np.ones(4), method="BFGS", options={"gtol": 1e-10})
    ours = huber_fit(x, y, prior, doubt, scale=0.3)
    assert loss(ours.slopes) <= loss(theirs.x) + 1e-9
    assert ours.slopes == pytest.approx(theirs.x, abs=1e-5)


def test_scale_and_errors_are_as_large_as_they_say():
    rng = np.random.default_rng(3)
    scales, off = [], []
    for _ in range(100):
        x = np.column_stack([np.ones(40), rng.normal(size=(40, 3))])
        y = x @ [1.0, 2, 3, 4] + rng.normal(0, 0.5, 40)
        fit = huber_fit(x, y, np.zeros(4), np.full(4, np.inf))
        scales.append(fit.scale)
        off.append((fit.slopes[1] - 2) / math.sqrt(fit.covariance[1, 1]))
    # 100 draws: the mean scale has a standard error of about 0.5/sqrt(2 x 36 x 100) = 1.2 %: four of them.
    assert np.mean(scales) == pytest.approx(0.5, rel=0.048)
    # A standard deviation of 1, itself known to 1/sqrt(200) = 7 %: four of them.
    assert np.std(off) == pytest.approx(1.0, abs=0.28)


def test_an_exact_line_is_found_and_does_not_divide_by_zero():
    x = np.column_stack([np.ones(6), np.arange(6.0)])
    fit = huber_fit(x, x @ [2.0, 3.0], np.zeros(2), np.full(2, np.inf))
    assert fit.slopes == pytest.approx([2, 3])
    assert np.isfinite(fit.covariance).all()


@pytest.mark.parametrize("count", [14, 40])
def test_a_sale_lies_in_its_range_as_often_as_it_says(count):
    rng = np.random.default_rng(4)
    inside = []
    for _ in range(40):
        fit = fit_prices(drawn(rng, count))
        for sale in drawn(rng, 5):
            low, _, high = fit.expected(sale.piece)
            inside.append(low <= sale.per_board_foot <= high)
    # 200 draws of 80 %, five to a fit: standard error 3 to 5 %; a little too wide at few sales is no lie.
    assert 0.70 < np.mean(inside) < 0.94


def test_odd_sales_do_not_move_it_and_are_named():
    rng = np.random.default_rng(5)
    sales = drawn(rng, 60, odd=0.12)
    fit = fit_prices(sales)
    piece = Piece("Northern red oak", 2 * INCH, 0.6, 2.4, 0.073, Dried.KILN)
    assert fit.expected(piece)[1] == pytest.approx(4.0 * customary_factor(piece), rel=0.15)
    truth = [s for s in sales if abs(math.log(s.per_board_foot / 4.0 / customary_factor(s.piece))) > 0.7]
    assert truth
    assert {s.name for s in truth} <= set(fit.light)


def test_without_sales_of_a_mark_custom_stands():
    sales = [s for s in drawn(np.random.default_rng(6), 40) if s.piece.figure == 0]
    figure = next(f for f in fit_prices(sales).factors() if f.key == "figure")
    assert (figure.sales, figure.mid) == (0, pytest.approx(figure.custom))
    assert figure.own == pytest.approx(0, abs=1e-9)


def test_many_sales_overrule_custom():
    rng = np.random.default_rng(7)
    thick = next(p for p in PREMIUMS if p.key == "thickness")
    exponent = thick.custom + 2 * thick.doubt  # a user whose buyers pay far more for thick stock
    sales = []
    for s in drawn(rng, 400):
        more = (s.piece.thickness / INCH) ** (exponent - thick.custom)
        sales.append(Sale(s.name, s.piece, s.price * more, s.day))
    found = next(f for f in fit_prices(sales).factors() if f.key == "thickness")
    assert found.mid == pytest.approx(2**exponent, rel=0.04)
    assert found.own > 0.95


def test_lines_multiply_to_the_middle():
    fit = fit_prices(drawn(np.random.default_rng(8), 30))
    piece = Piece(
        "Northern red oak", 3 * INCH, 0.6, 2.4, 0.11, Dried.KILN, True, True, True, True, 0.5, "table"
    )
    assert math.prod(factor for _, factor in fit.lines(piece)) == pytest.approx(fit.expected(piece)[1])


def test_asked_prices_are_brought_down():
    rng = np.random.default_rng(9)
    paid = drawn(rng, 60)
    asked = [
        Sale(f"asked {s.name}", s.piece, s.price * 1.4, s.day, False, True, "invented")
        for s in drawn(rng, 60)
    ]
    piece = Piece("Northern red oak", 2 * INCH, 0.6, 2.4, 0.073, Dried.KILN)
    both, only = fit_prices(paid + asked).expected(piece)[1], fit_prices(paid).expected(piece)[1]
    assert both == pytest.approx(only, rel=0.08)


def test_no_sales_is_refused():
    with pytest.raises(BadValue, match="one or more"):
        fit_prices([])


def test_like_sales_are_like():
    piece = Piece("Northern red oak", 2 * INCH, 0.6, 2.4, 0.073, Dried.KILN)
    sales = drawn(np.random.default_rng(10), 80)
    near = like(sales, piece)
    assert 0 < len(near) < len(sales)
    for sale in near:
        assert sale.piece.dried is not Dried.GREEN
        assert 2 / 1.5 <= sale.piece.thickness / INCH <= 3
    first, *rest = carried(near, piece)
    assert all(first.far <= other.far for other in rest)


def test_a_sale_of_the_same_piece_is_carried_over_as_it_is():
    sale = drawn(np.random.default_rng(11), 1)[0]
    (same,) = carried([sale], sale.piece)
    assert same.price == pytest.approx(sale.price)
    assert same.far == 0


def test_by_use_a_piece_and_per_board_foot():
    day = datetime.date(2025, 1, 1)
    piece = Piece("oak", INCH, 0.3, 2.0, 0.0155, use="bench")
    sales = [Sale(str(n), piece, price, day) for n, price in enumerate((100.0, 200.0, 300.0))]
    sales.append(Sale("asked", piece, 9000.0, day, False, True, "x"))
    (bench,) = by_use(sales)
    assert (bench.use, bench.count) == ("bench", 3)
    # Quantiles between the three by straight lines: 0.1 and 0.9 lie a fifth of the way in.
    assert bench.piece == pytest.approx((120, 200, 280))
    assert bench.per_board_foot[1] == pytest.approx(200 / piece.board_feet)

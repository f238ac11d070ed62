"""A slab as plain lumber: the best boards against every choice tried by hand, and shapely."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pithline.errors import BadValue
from pithline.money.market_boards import market_boards
from pithline.money.price.piece import Piece
from pithline.money.price.plain import LEFT, How, by_share, ripped
from pithline.saw.rip.lone import rip_lone
from pithline.slab.outline import SlabOutline
from pithline.slab.tally import TallyUnit
from pithline.slab.taped import Width, taped_outline
from pithline.units import BOARD_FOOT, INCH

RATE = 5.60


def piece(length: float, width: float, thickness: float = 2 * INCH) -> Piece:
    return Piece("northern red oak", thickness, width, length, thickness * width * length)


def most_inches(width: float) -> int:
    """Of the sum of board widths from a rectangle: every choice of 3 to 12 in tried, with 4 mm kerfs."""
    best = 0
    for count in range(1, 1 + int(width / (3 * INCH))):
        for widths in itertools.combinations_with_replacement(range(3, 13), count):
            # Rips lie on whole millimetres, boards are not thinner than said.
            taken = sum(math.ceil(n * INCH * 1000 - 1e-6) for n in widths) + 4 * (count - 1)
            if taken <= math.floor(width * 1000 + 1e-6):
                best = max(best, sum(widths))
    return best


@pytest.mark.parametrize("wide", [0.10, 0.25, 0.306, 0.41, 0.62])
def test_a_rectangle_is_ripped_as_well_as_by_trying_every_choice(wide):
    # The edges lie on whole millimetres about the middle line, as the rips do.
    long = 96 * INCH
    made = ripped(piece(long, wide), taped_outline(long, 2 * INCH, [Width(None, wide, wide)]), RATE)
    assert made.how is How.RIPPED
    assert sum(width for width, _ in made.boards) == pytest.approx(most_inches(wide) * INCH)
    # 8 ft of 2 in stock: 16/12 board feet for every inch of width.
    assert made.board_feet == pytest.approx(most_inches(wide) * 16 / 12, rel=2e-3)
    assert made.price == pytest.approx(made.board_feet * RATE)
    assert made.spread == (made.price, made.price)


def test_boards_lie_on_both_faces_without_wane():
    faces = [Width(0.0, 0.70, 0.62), Width(1.2, 0.55, 0.66), Width(3.0, 0.42, 0.50)]
    outline = taped_outline(3.0, 0.08, faces)
    rip = rip_lone(outline, market_boards(1.0, TallyUnit.BF_SAWN), 0.08)
    wood = shapely.intersection_all(
        [
            shapely.Polygon(
                [*zip(outline.z, face[:, 0], strict=True), *zip(outline.z[::-1], face[::-1, 1], strict=True)]
            )
            for face in (outline.upper, outline.lower)
        ]
    )
    assert rip.boards
    for board in rip.boards:
        assert wood.buffer(1e-6).contains(
            shapely.box(board.start, board.left, board.end, board.left + board.width)
        )
    feet = sum(board.width * board.length for board in rip.boards) * 0.08 / BOARD_FOOT
    assert 0.5 < feet / (wood.area * 0.08 / BOARD_FOOT) < 1.0


@given(st.lists(st.floats(0.1, 0.9), min_size=2, max_size=4), st.floats(0.0, 0.2))
def test_a_wider_slab_is_never_worth_less(widths, more):
    def brings(extra: float) -> float:
        faces = [Width(None, width + extra, width + extra) for width in widths]
        outline = taped_outline(2.5, 0.06, faces)
        # Along the middle line: an edge that leads the rips may turn the other way in a wider slab.
        return rip_lone(outline, market_boards(1.0, TallyUnit.BF_SAWN), 0.06).value

    assert brings(more) >= brings(0.0) - 1e-9


def test_what_is_too_small_for_a_board_brings_nothing():
    made = ripped(piece(1.0, 0.5), taped_outline(1.0, 2 * INCH, [Width(None, 0.5, 0.5)]), RATE)
    assert (made.price, made.boards, made.how) == (0.0, (), How.RIPPED)


def test_without_widths_the_share_is_a_guess_with_its_range():
    slab = Piece("oak", 2 * INCH, 20 * INCH, 96 * INCH, 2 * 20 * 96 * INCH**3)
    # 26.67 bf, 55 to 80 % of it left, at 5.60.
    made = by_share(slab, RATE)
    assert made.how is How.GUESS
    assert (made.spread[0], made.price, made.spread[1]) == pytest.approx(
        [26.6667 * part * RATE for part in LEFT], rel=1e-5
    )
    said = by_share(slab, RATE, 0.6)
    assert said.how is How.SAID
    assert said.spread == (said.price, said.price)


def test_what_cannot_be_meant_is_refused():
    slab = piece(2.0, 0.5)
    with pytest.raises(BadValue, match="above 0 %"):
        by_share(slab, RATE, 0.0)
    with pytest.raises(BadValue, match="lumber rate is nan"):
        by_share(slab, math.nan)
    with pytest.raises(BadValue, match="as long as the piece"):
        ripped(slab, taped_outline(3.0, 2 * INCH, [Width(None, 0.5, 0.5)]), RATE)
    one = np.array([[0.0, 0.5]])
    lone = SlabOutline(np.array([0.0]), one, one, 0.05)
    with pytest.raises(BadValue, match="two places"):
        rip_lone(lone, market_boards(1.0, TallyUnit.BF_SAWN), 0.05)

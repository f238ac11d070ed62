"""Where the wood went, and what each loss is worth, against a beam worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from pithline.log.shape import LogShape
from pithline.saw.plan import Plan
from pithline.saw.planning import plan
from pithline.saw.uses.use import Use
from pithline.slab.tally import TallyRule, TallyUnit
from tests.saw.beam import AIMS, LIE, MILL, RATES, TIMBER, beam, green, sawn
from tests.saw.wishes import uses, with_uses
from tests.strategies import case


def went(made: Plan) -> dict[str, float]:
    return {line.name: line.volume for line in made.ledger.lines}


def test_every_litre_of_the_beam_is_on_one_line():
    # 0.4 x 0.401 x 2 m. Four kerfs of 10 mm; 200.5 - 160 mm above the first; 200.5 - 180 mm below the last;
    # three slabs of 100 mm, sold over 2 m less twice 50 mm of end trim.
    made = sawn()
    assert made.ledger.log == pytest.approx(0.3208)
    found = went(made)
    due = {
        "sold by the tally": 3 * 0.1 * 0.4 * 1.9,
        "kerf": 4 * 0.010 * 0.4 * 2,
        "opening piece": 0.0405 * 0.4 * 2,
        "stays on the ground": 0.0205 * 0.4 * 2,
        "waste between cuts": 0.0,
        "edges": 0.0,
        "too narrow or short": 0.0,
        "end trim": 3 * 0.1 * 0.4 * 0.1,
        "allowance": 0.0,
    }
    assert found == pytest.approx(due, abs=1e-12)
    assert sum(found.values()) == pytest.approx(0.3208)


def test_a_tapering_beam_loses_what_is_too_narrow():
    # Width 400 mm at the butt, 200 mm at the top: 300 mm is reached up to 1 m. Sold from 50 mm to 1000 mm,
    # 395 to 300 mm wide: 347.5 mm in the mean over 0.95 m. The rest of the 1.9 m: 300 to 205 mm over 0.95 m.
    made = sawn(beam(0.4, 0.2), least_width=0.3, least_length=0.5)
    found, n = went(made), len(made.slabs)
    assert found["sold by the tally"] == pytest.approx(n * 0.1 * 0.3475 * 0.95)
    assert found["too narrow or short"] == pytest.approx(n * 0.1 * 0.2525 * 0.95)
    assert found["end trim"] == pytest.approx(n * 0.1 * 0.05 * (0.3975 + 0.2025))
    assert [s.least_width for s in made.slabs] == pytest.approx([0.3] * n)


def test_counted_thinner_than_sawn_is_an_allowance():
    # 100 mm green dries to 95 mm (3 and 7 %, mean 5): sold as 14/4, 88.9 mm. 400 mm is 15.748 in; 1.9 m is
    # 6 whole feet; 15.748 x 6 / 12 = 7.87, so 8 square feet, times 3.5 = 28 board feet a slab, of
    # 0.00235974 m3 each.
    made = sawn(unit=TallyUnit.BF_NOMINAL)
    assert made.tally == pytest.approx(3 * 28)
    found = went(made)
    assert found["sold by the tally"] == pytest.approx(84 * 0.002359737)
    assert found["allowance"] == pytest.approx(3 * 0.1 * 0.4 * 1.9 - 84 * 0.002359737)


@pytest.mark.parametrize("rule", list(TallyRule))
def test_round_edges_are_accounted_for_by_every_tally_rule(rule):
    turn = np.linspace(0, 2 * math.pi, 120, endpoint=False)
    round_log = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    shape = LogShape.of(np.array([0.0, 3.0]), np.stack([0.3 * round_log, 0.25 * round_log]), np.full(2, 0.02))
    lie = replace(LIE, pith_butt=0.5, pith_top=0.5)
    made = plan(shape, lie, MILL, replace(AIMS, tally=rule), RATES, TIMBER, compare=False)
    found = went(made)
    # A frustum of the 120-cornered outline: area 60 sin(2 pi / 120) r2.
    log = 60 * math.sin(2 * math.pi / 120) * 3.0 * (0.3**2 + 0.3 * 0.25 + 0.25**2) / 3
    assert made.ledger.log == pytest.approx(log)
    assert sum(found.values()) == pytest.approx(log)
    # The narrow face leaves a live edge uncounted; the wide one counts wood that is not there.
    if rule is TallyRule.NARROW:
        assert found["edges"] > 0
    if rule is TallyRule.WIDE:
        assert found["edges"] < 0


def test_pieces_are_parted_from_what_is_sold_by_the_tally():
    # Three slabs of 1.9 m: at most one top of 1 m, 380 mm wide, at a price that beats the tally. It lies
    # at one end; 10 mm are cut away, and 890 mm are too short to be sold (1 m at least).
    top = Use("top", 0.38, 1.0, price=200.0, at_most=1)
    made = plan(beam(), LIE, MILL, AIMS, replace(RATES, uses=(top,)), TIMBER, compare=False)
    found = went(made)
    assert found["sold as pieces"] == pytest.approx(0.1 * 0.4 * 1.0)
    assert found["sold by the tally"] == pytest.approx(2 * 0.1 * 0.4 * 1.9)
    assert found["too narrow or short"] == pytest.approx(0.1 * 0.4 * 0.9)
    assert sum(found.values()) == pytest.approx(0.3208)
    assert made.ledger.lines[0].note == "1 piece, all their wood, edges too"
    assert made.ledger.lines[1].note.startswith("2 slabs")


@pytest.mark.parametrize("unit", list(TallyUnit))
def test_what_a_piece_leaves_is_tallied_by_itself(unit):
    # The same where 50 cm may be sold: 0.89 m beside the top. In nominal board feet that is two whole feet of
    # 15.748 in: 2.62, so 3 square feet, times 3.5.
    top = Use("top", 0.38, 1.0, price=200.0, at_most=1)
    aims = replace(AIMS, least_length=0.5, unit=unit)
    rates = replace(RATES, otherwise=1000.0 if unit is TallyUnit.M3 else 2.36, uses=(top,))
    made = plan(beam(), LIE, MILL, aims, rates, TIMBER, compare=False)
    found = went(made)
    (rest,) = (p for s in made.slabs if len(s.pieces) == 2 for p in s.pieces if not p.use)
    assert rest.area == pytest.approx(0.4 * 0.89)
    wood = 0.1 * 0.4 * (2 * 1.9 + 0.89)
    if unit is TallyUnit.BF_NOMINAL:
        assert rest.tally == pytest.approx(3 * 3.5)
        assert found["sold by the tally"] == pytest.approx((2 * 28 + 10.5) * 0.002359737)
    else:
        assert found["sold by the tally"] == pytest.approx(wood)
    assert found["sold by the tally"] + found["allowance"] == pytest.approx(wood)
    assert found["too narrow or short"] == pytest.approx(0.1 * 0.4 * 0.01)
    assert sum(found.values()) == pytest.approx(0.3208)


def test_every_litre_is_on_one_line_where_slabs_make_things():
    used, rests = 0.0, []
    for seed in (0, 2, 7, 8, 12, 16, 41):
        job = case(seed, 0.008, both_sides=True)
        job = with_uses(job.but(aims={"roll": job.roll}), uses(seed, job))
        made = plan(job.shape, job.lie, job.mill, job.aims, job.rates, job.timber, compare=False)
        found = went(made)
        assert sum(found.values()) == pytest.approx(made.ledger.log)
        assert found["too narrow or short"] > -1e-9
        used += found.get("sold as pieces", 0.0)
        rests += [p for s in made.slabs if len(s.pieces) == 2 for p in s.pieces if not p.use]
    assert used > 0.1
    assert len(rests) > 3
    assert all(p.area > 0 and p.tally > 0 for p in rests)


def worth(made: Plan) -> dict[str, float]:
    return {w.name: w.value for w in made.ledger.worths}


def test_what_start_height_opening_ground_and_bar_are_worth():
    # A slab sells for 0.1 x 0.4 x 1.9 m3 at 1000: 76. Within half a slab and kerf (55 mm) of the best start
    # at 160 mm lie the starts from 105 to 211 mm, whose kerf ends on the last line that touches the wood:
    # 55 of 107 leave room for two slabs only.
    made = sawn()
    assert made.net == pytest.approx(228)
    assert worth(made)["start height"] == pytest.approx(76 * 55 / 107)
    # 40.5 mm of opening against 3 x 100 mm over 1.9 of 2 m.
    assert worth(made)["opening piece"] == pytest.approx(228 * 0.0324 / 0.228)
    # 401 mm hold no fourth slab even without the ground, and the bar passes all.
    assert worth(made)["last piece"] == pytest.approx(0)
    assert worth(made)["bar"] == pytest.approx(0)


def test_the_ground_is_worth_the_slab_it_keeps():
    # Pith at 150 mm: no kerf below -90 mm. From 190 to -80 mm there is room for two slabs; without the ground
    # for three.
    low = sawn(lie=replace(LIE, pith_butt=0.15, pith_top=0.15))
    assert len(low.slabs) == 2
    assert worth(low)["last piece"] == pytest.approx(76)


def test_a_longer_bar_is_worth_the_widest_slabs():
    # A beam whose lower half is 400 mm wide and whose upper half is 300 mm; the bar passes 350 mm.
    # Above the step, from 191 to 0 mm, only one slab of 100 mm has both its cuts.
    stepped = np.array(
        [[-0.2, -0.2005], [0.2, -0.2005], [0.2, 0.0005], [0.15, 0.0005], [0.15, 0.2005], [-0.15, 0.2005]]
    )
    stepped = np.vstack([stepped, [[-0.15, 0.0005], [-0.2, 0.0005]]])
    shape = LogShape.of(np.array([0.0, 2.0]), np.stack([stepped] * 2), np.zeros(2))
    short = sawn(shape, mill=replace(MILL, bar=0.47), thicknesses=(green(100),))
    assert len(short.slabs) == 1
    longer = sawn(shape, thicknesses=(green(100),))
    assert worth(short)["bar"] == pytest.approx(longer.net - short.net)
    assert longer.net > short.net

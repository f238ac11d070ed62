"""What the kernels say that slabs earn by their uses, against the plain twin that tries every place.

Both reckon in double precision, in another order: 1e-9 of the value leaves six digits for that.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from pithline.saw.aims import SizeKind, ThicknessAim
from pithline.saw.solution import solve
from pithline.saw.uses.use import Grain, Use
from pithline.slab.tally import TallyUnit
from tests.saw.uses_twin import UsesTwin
from tests.saw.wishes import uses, with_uses
from tests.strategies import Case, case

STEP = 0.024  # some 15 to 40 lines: every face of every thickness is looked at
CLOSE = {"rel": 1e-9, "abs": 1e-9}
AS_SAWN = (TallyUnit.M3, TallyUnit.BF_SAWN)


def drawn(seed: int, **fixed: object) -> Case:
    """A small log, with costs of carrying and drying, and one to four uses."""
    job = case(seed, STEP, both_sides=True, **fixed)
    rng = np.random.default_rng(seed + 7)
    costs = {"per_kg": float(rng.choice([0.0, 0.02])), "per_month": float(rng.choice([0.0, 0.5]))}
    return with_uses(job.but(rates=costs), uses(seed, job))


def slabs(job: Case, twin: UsesTwin) -> Counter[str]:
    """Compare every slab and every pair; says how often each kind was worth something."""
    wants, seen = job.model.wants, Counter[str]()
    assert wants is not None
    solution = solve(job.model, job.roll, job.pitch, job.ground)
    assert solution.claimed is not None
    for o in range(len(twin.choices)):
        for f in range(solution.tables.costs.size):
            best = np.full(wants.bonus.size, -math.inf)
            for made, value in twin.claims(f, o).items():
                taken = [made.count(int(k)) for k in wants.counted]
                # More than can be sold of something is no claim at all.
                for c in np.flatnonzero((wants.taken == taken).all(axis=1)):
                    best[c] = max(best[c], value)
                    seen[("tally", "one", "two")[len(made)]] += value > -math.inf
            # What takes of a counted use and pays no more than nothing does is not worth a state.
            idle = (wants.bonus <= 0) & (best <= best[0])
            best[1:][idle[1:]] = -math.inf
            assert solution.claimed.values[o, :, f] == pytest.approx(best, **CLOSE), (o, f)
            for p, u in enumerate(wants.pairs):
                value = twin.pair(f, o, int(u))
                assert solution.claimed.paired[o, p, f] == pytest.approx(value, **CLOSE), (o, f, p)
                seen["pair"] += value > -math.inf
    return seen


def twin_of(job: Case, *, outermost: bool = False) -> UsesTwin:
    solution = solve(job.model, job.roll, job.pitch, job.ground)
    return UsesTwin(job, solution.first, solution.tables.costs.size, outermost=outermost)


def finished(job: Case) -> bool:
    return any(aim.kind is SizeKind.FINISHED for aim in job.aims.thicknesses)


@settings(max_examples=4)
@given(seed=st.integers(0, 2**32 - 1), unit=st.sampled_from(AS_SAWN))
@example(seed=2, unit=TallyUnit.M3)
@example(seed=7, unit=TallyUnit.BF_SAWN)
@example(seed=12, unit=TallyUnit.M3)
@example(seed=53, unit=TallyUnit.BF_SAWN)
def test_no_place_pays_more_than_the_kernels_know(seed, unit):
    job = drawn(seed, unit=unit)
    assume(not finished(job))  # see below
    slabs(job, twin_of(job))


def test_some_seeds_try_every_wish():
    jobs = [drawn(seed, unit=AS_SAWN[seed % 2]) for seed in (2, 7, 12, 53)]
    seen = sum((slabs(job, twin_of(job)) for job in jobs), Counter())
    assert min(seen[kind] for kind in ("tally", "one", "two", "pair")) > 15
    wanted = [use for job in jobs for use in (*job.aims.orders, *job.rates.uses)]
    assert {use.grain for use in wanted} == set(Grain)
    for wish in ("ordered", "pair", "figure", "clear_of_pith", "at_most", "thicknesses"):
        assert any(getattr(use, wish) for use in wanted), wish
    assert any(use.price is None for use in wanted)
    assert any(job.rates.per_kg for job in jobs)
    assert any(job.rates.per_month for job in jobs)


def test_a_piece_without_a_price_brings_the_rate_in_board_feet_too():
    # A foot by ten feet of 12/4: ten square feet, thirty board feet.
    aim = ThicknessAim("12/4", SizeKind.ROUGH_DRY, 0.0762, 12)
    job = case(1, unit=TallyUnit.BF_NOMINAL, thicknesses=(aim,))
    asked = Use("plank", 0.3048, 3.048)
    job = with_uses(job, (asked, replace(asked, name="two", pair=True)))
    wants = job.model.wants
    assert wants is not None
    rate = job.rates.rate("12/4")
    assert wants.price[0] == pytest.approx([30 * rate, 60 * rate])


@pytest.mark.parametrize("seed", [15, 16])
def test_nominal_board_feet_beside_a_use(seed):
    # Rounded feet may favour a place further in by a foot: so the outermost places are compared.
    job = drawn(seed, unit=TallyUnit.BF_NOMINAL)
    slabs(job, twin_of(job, outermost=True))


@pytest.mark.parametrize("seed", [19, 39])
def test_nobody_pays_for_planed_wood_beside_a_use(seed):
    job = drawn(seed, unit=TallyUnit.BF_SAWN)
    assert finished(job)
    slabs(job, twin_of(job))

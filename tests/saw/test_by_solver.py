"""Counts that have too many combinations for tables: by a general solver, and only those that bind."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import scipy.optimize

from pithline.errors import BadValue
from pithline.saw.field.card import field_card
from pithline.saw.planning import plan
from pithline.saw.solution import solve
from pithline.saw.uses import by_solver, wants
from pithline.saw.uses.as_needed import pieces_cut
from pithline.saw.uses.by_solver import ordered_pieces
from pithline.saw.uses.use import Use
from tests.saw.test_uses_against_highs import filled
from tests.saw.wishes import uses, with_uses
from tests.strategies import Case, case


def by_both(job: Case, monkeypatch: pytest.MonkeyPatch) -> None:
    """The solver's plan is worth what the tables' is, and keeps every count."""
    model = job.model
    assert model.wants is not None
    tables = solve(model, job.roll, job.pitch, job.ground)
    with monkeypatch.context() as few:
        few.setattr(wants, "MOST_STATES", 0)
        other = replace(job)
        assert other.model.wants is not None
        assert other.model.wants.by_solver
        found = solve(other.model, job.roll, job.pitch, job.ground)
    assert found.net == pytest.approx(tables.net, rel=1e-9, abs=1e-9)
    assert ordered_pieces(found, model) == filled(tables, job)
    wanted = (*job.aims.orders, *job.rates.uses)
    cut = pieces_cut(found, model, len(wanted))
    assert all(u.at_most is None or n <= u.at_most for n, u in zip(cut, wanted, strict=True))
    # Cuts from the top down, each a kerf and a piece above the next.
    assert all(a - b > model.reach.kerf for a, b in zip(found.cuts, found.cuts[1:], strict=False))
    assert len(found.takes) == len(found.slabs)


@pytest.mark.parametrize("seed", range(200, 224))
def test_the_solver_finds_what_the_tables_find(seed, monkeypatch):
    job = case(seed, 0.008, both_sides=True)
    by_both(with_uses(job, uses(seed, job)), monkeypatch)


@pytest.mark.parametrize("seed", [300, 313, 318, 342])
def test_waste_goes_no_further_than_the_mill_reaches(seed, monkeypatch):
    # With little depth the best walk through waste goes too far, and the jumps have to be listed.
    listed = []
    jumping = by_solver._jumping
    monkeypatch.setattr(by_solver, "_jumping", lambda *told: listed.append(seed) or jumping(*told))
    job = case(seed, 0.008, both_sides=True).but(mill={"depth_max": 0.12})
    by_both(with_uses(job, uses(seed, job)), monkeypatch)
    assert listed


MANY = tuple(
    Use(f"board {k}", 0.16 + 0.02 * k, 0.7 + 0.1 * (k % 4), price=60.0 + 9.0 * k, at_most=2) for k in range(9)
)


def job_of_many() -> Case:
    job = case(29, 0.008, both_sides=True, least_width=0.15)
    return replace(job, rates=replace(job.rates, currency="EUR", uses=MANY))


def test_caps_that_do_not_bind_are_left_out_of_the_count():
    job = job_of_many()
    assert job.model.wants is not None
    assert job.model.wants.by_solver  # 3 to the 9th
    whole = solve(job.model, job.roll, job.pitch, job.ground)
    fixed = replace(job.aims, roll_free=False, roll=job.roll)
    made = plan(job.shape, job.lie, job.mill, fixed, job.rates, job.timber, compare=False)
    here = solve(job.model, made.roll, made.pitch, job.ground)
    assert made.net == pytest.approx(here.net, rel=1e-9)
    assert whole.net > 0
    counts = {u.name: sum(p.use == u.name for s in made.slabs for p in s.pieces) for u in MANY}
    assert all(n <= 2 for n in counts.values())
    assert any("Not counted" in r for r in made.remarks)
    # What was left out is no longer said to be capped, and the card has its tables.
    assert field_card(made, job.timber, 0.008).sections


def test_a_card_of_too_many_orders_is_refused():
    job = job_of_many()
    orders = tuple(replace(u, ordered=True) for u in MANY)
    aims = replace(job.aims, roll_free=False, roll=job.roll, orders=orders)
    rates = replace(job.rates, uses=())
    made = plan(job.shape, job.lie, job.mill, aims, rates, job.timber, compare=False)
    assert sum(o.cut for o in made.orders) >= 1
    assert any("general solver" in r for r in made.remarks)
    with pytest.raises(BadValue, match=r"19,683 combinations.*Ask for fewer"):
        field_card(made, job.timber, 0.008)
    assert np.isfinite(made.net)


def test_orders_beyond_what_the_log_gives_need_no_count():
    job = job_of_many()
    orders = tuple(replace(u, ordered=True, at_most=99) for u in MANY)
    job = replace(job, aims=replace(job.aims, orders=orders), rates=replace(job.rates, uses=()))
    wanted = job.model.wants
    assert wanted is not None
    assert not wanted.by_solver
    assert wanted.next_state.shape[0] == 1
    found = solve(job.model, job.roll, job.pitch, job.ground)
    # The solver, told to count, fills as many and earns as much.
    counted = replace(job.model, wants=wanted._replace(by_solver=True))
    told = solve(counted, job.roll, job.pitch, job.ground)
    assert filled(found, job) == ordered_pieces(told, counted) > 0
    assert found.net == pytest.approx(told.net, rel=1e-9)


def test_a_plan_that_the_time_was_too_short_for_says_so(monkeypatch):
    job = job_of_many()
    orders = tuple(replace(u, ordered=True, at_most=4) for u in MANY)
    aims = replace(job.aims, roll_free=False, roll=job.roll, orders=orders)
    rates = replace(job.rates, uses=())
    solved = scipy.optimize.milp

    def out_of_time(*told, **options):
        answer = solved(*told, **options)
        answer.status = 1  # as scipy numbers it: the limit was reached, and what was found is in x
        return answer

    monkeypatch.setattr(scipy.optimize, "milp", out_of_time)
    made = plan(job.shape, job.lie, job.mill, aims, rates, job.timber, compare=False)
    assert any("not proved" in r for r in made.remarks)

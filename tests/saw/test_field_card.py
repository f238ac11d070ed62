"""The field card against planning what is left: the log is really sawn off at a height, and planned again."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from pithline.errors import BadValue, NoPlan
from pithline.saw.answer import answer
from pithline.saw.field.card import field_card, fitting_card
from pithline.saw.field.next_cut import all_open, line_of, next_cut, state_after
from pithline.saw.model import Model
from pithline.saw.plan import Plan
from pithline.saw.solution import Solution, solve
from pithline.saw.through import best_through
from tests.saw.wishes import uses, with_uses
from tests.strategies import Case, case

Floats = np.ndarray


def sawn_off(model: Model, roll: float, pitch: float, height: float) -> Model:
    """The model of what lies below a face, worked out from the outlines alone."""
    wood = model.wood
    points = 2 * wood.outlines.shape[1] + 2

    def below(outlines: Floats) -> Floats:
        sine, cosine = math.sin(roll), math.cos(roll)
        left = []
        for z, ring in zip(wood.z, outlines, strict=True):
            v, u = ring[:, 0] * cosine - ring[:, 1] * sine, ring[:, 0] * sine + ring[:, 1] * cosine
            # A hair above: a level edge exactly on a line of the grid is no width to the kernel.
            face = height + 1e-9 + pitch * (z - 0.5 * wood.z[-1])
            kept: list[tuple[float, float]] = []
            for k in range(len(u)):
                a, b = (v[k], u[k]), (v[(k + 1) % len(u)], u[(k + 1) % len(u)])
                if a[1] <= face:
                    kept.append(a)
                if (a[1] <= face) != (b[1] <= face):
                    kept.append((a[0] + (face - a[1]) / (b[1] - a[1]) * (b[0] - a[0]), face))
            if not kept:  # nothing is left here: a speck on the ground
                kept = [(0.0, float(u.min()))] * 3
            kept += [kept[-1]] * (points - len(kept))
            across, up = np.array(kept).T
            left.append(np.stack([across * cosine + up * sine, up * cosine - across * sine], axis=-1))
        return np.ascontiguousarray(left)

    return replace(
        model,
        wood=wood._replace(
            outlines=below(wood.outlines),
            bar_outlines=below(wood.bar_outlines),
            over_bark=below(wood.over_bark),
        ),
    )


def replanned(job: Case, model: Model, line: int, then: tuple[int, ...] = ()) -> float:
    """Best net value of the wood below a face that is sawn on at given lines, by planning it as a log."""
    rest = sawn_off(model, job.roll, job.pitch, line * model.reach.step)
    again = solve(rest, job.roll, job.pitch, job.ground)
    # The plan must leave a face just there: a cut in the air, whose cost is taken off again.
    opening = line + model.reach.kerf
    found = best_through(again, rest, (opening, *then), job.aims.pith)
    assert found.cuts[: 1 + len(then)] == (opening, *then)
    return found.net + float(again.tables.costs[opening - again.first])


def drawn(seed: int, wanted: bool) -> tuple[Case, Model, Solution]:
    job = case(seed)
    if wanted:
        job = with_uses(job, uses(seed, job))
    model = job.model
    return job, model, solve(model, job.roll, job.pitch, job.ground)


@pytest.mark.parametrize("wanted", [False, True], ids=["by the tally", "with uses and orders"])
def test_the_next_cut_is_what_planning_the_rest_of_the_log_again_would_say(wanted: bool) -> None:
    checked = sawn = 0
    for seed in range(22):
        job, model, solution = drawn(seed, wanted)
        faces = np.flatnonzero(solution.tables.allowed) - model.reach.kerf
        faces = faces[faces >= 0]
        if not faces.size:
            continue
        line = solution.first + int(np.random.default_rng(seed).choice(faces[faces.size // 4 :]))
        told = next_cut(solution, model, line)
        try:
            net = replanned(job, model, line)
        except NoPlan:  # a cut in the air that touches marked metal
            continue
        # The same widths from outlines with other corners: rounding only.
        assert told.to_come == pytest.approx(net, rel=1e-6, abs=1e-6)
        checked += 1
        if told.kind != "stop":
            cut = line - round(told.set_to / model.reach.step)
            assert replanned(job, model, line, (cut,)) == pytest.approx(net, rel=1e-6, abs=1e-6)
            sawn += 1
    assert checked >= 16
    assert sawn >= 12


def planned(job: Case, model: Model, solution: Solution) -> Plan:
    return answer(
        solution, job.roll, model, job.shape, job.lie, job.mill, job.aims, job.rates, job.timber, weigh=False
    )


def test_reading_cut_after_cut_from_the_card_saws_the_plan() -> None:
    followed = 0
    for seed in range(24):
        _, model, solution = drawn(seed, wanted=True)
        if not solution.cuts:
            continue
        kerf, cuts, state = model.reach.kerf, [solution.cuts[0]], all_open(model)
        first = next_cut(solution, model, solution.cuts[0] - kerf)
        opening = float(solution.tables.costs[solution.cuts[0] - solution.first])
        assert first.to_come - opening == pytest.approx(solution.net, rel=1e-9, abs=1e-6)
        line: int | None = first.line
        while line is not None:
            cut = next_cut(solution, model, line, state)
            if cut.kind == "pair":
                cuts.append(cut.line - round(cut.set_to / model.reach.step))
            if cut.below is not None:
                cuts.append(cut.below + kerf)
            line, state = cut.below, cut.state
        assert tuple(cuts) == solution.cuts
        followed += 1
    assert followed >= 15


def test_every_face_is_in_one_row_and_the_row_says_its_best_cut() -> None:
    rows = 0
    for seed in (1, 5, 8, 14, 17):
        job, model, solution = drawn(seed, wanted=seed % 2 == 0)
        if not solution.slabs:
            continue
        plan = planned(job, model, solution)
        card = field_card(plan, job.timber, 0.03)
        step, tilt = model.reach.step, 0.5 * job.pitch * float(model.wood.z[-1])
        section = card.sections[0]
        above = math.inf
        for row in section.rows:
            low, high = (round((b + tilt) / step) for b in (row.butt, row.highest_butt))
            assert high < above
            assert above == math.inf or high == above - 1
            above = low
            for line in range(low, high + 1):
                best = next_cut(solution, model, line)
                assert best.kind == row.cut.kind
                assert best.choice == row.cut.choice
                if best.kind == "waste":
                    down = best.height - tilt - best.set_to
                    same = row.cut.set_to if row.down_to is None else None
                    assert best.set_to == same or down == pytest.approx(row.down_to)
            if row.cut.kind in ("slab", "pair"):
                assert row.highest_butt - row.butt < card.spacing + 1e-9
            rows += 1
        assert section.rows[-1].cut.kind == "stop"
    assert rows > 40


def test_orders_that_are_cut_have_sections_of_their_own() -> None:
    found = 0
    for seed in range(60):
        job, model, solution = drawn(seed, wanted=True)
        if not solution.slabs or not job.aims.orders:
            continue
        plan = planned(job, model, solution)
        cut = [o for o in plan.orders if o.cut and o.wanted]
        if not cut:
            continue
        card = field_card(plan, job.timber, 0.05)
        whole = {u.name: u.at_most for u in (*plan.aims.orders, *plan.rates.uses) if u.at_most}
        assert {n: min(c, whole[n]) for n, c in card.sections[0].open} == dict(card.sections[0].open)
        order = cut[0].name
        last = dict(card.sections[-1].open)
        if len(card.sections) > 1 and last[order] < dict(card.sections[0].open)[order]:
            found += 1
        if found == 2:
            break
    assert found == 2


def test_a_card_fits_the_paper_it_is_given() -> None:
    job, model, solution = drawn(1, wanted=False)
    plan = planned(job, model, solution)
    cards = [field_card(plan, job.timber, spacing) for spacing in (0.01, 0.02, 0.05)]
    fine, tight = (fitting_card(cards, most) for most in (400, 12))
    assert fine.spacing == 0.01
    assert fine.rows_left_out == 0
    assert tight.rows + 2 * len(tight.sections) == 12
    assert tight.rows_left_out == cards[-1].rows + 2 - 12
    assert tight.sections[0].rows[-1].cut.kind == "stop"


def test_a_face_is_read_from_both_ends_and_refused_where_it_leans() -> None:
    job, model, solution = drawn(1, wanted=False)
    step, rise = model.reach.step, job.pitch * float(model.wood.z[-1])
    for line in (-20, 0, 11):
        middle = line * step + 0.4 * step  # a tape reads between two lines: the wood that is there counts
        assert line_of(solution, model, middle - rise / 2, middle + rise / 2) == line
    with pytest.raises(BadValue, match="Measure again"):
        line_of(solution, model, 0.0, rise + 0.02)
    with pytest.raises(BadValue, match="where the log is"):
        line_of(solution, model, 3.0, 3.0 + rise)


def test_what_is_sold_is_told_by_name() -> None:
    job, model, _ = next(
        found for seed in range(60) if (found := drawn(seed, wanted=True))[0].aims.orders and found[2].slabs
    )
    order = job.aims.orders[0]
    wants = model.wants
    assert wants is not None
    assert state_after(model, {}) == all_open(model)
    one = state_after(model, {order.name: 1})
    claim = int(wants.single[model.use_names.index(order.name)])
    assert one == wants.next_state[all_open(model), claim]
    with pytest.raises(BadValue, match="one of"):
        state_after(model, {"a boat": 1})
    with pytest.raises(BadValue, match="sold by the tally"):
        state_after(model, {order.name: 100})

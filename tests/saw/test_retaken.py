"""Which measurement to take again: a beam read otherwise by hand, and every field of the demo's record."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import NormalDist
from types import SimpleNamespace

import numpy as np
import pytest

from pithline.cli.plan_input import job_of
from pithline.log.lie import Lie
from pithline.log.record import LogRecord
from pithline.log.retakes import Errors, taped_fields
from pithline.log.shape import LogShape
from pithline.saw.plan import Plan, Retake
from pithline.saw.planning import plan
from pithline.saw.retaken import NODES, kept_cuts, retaken
from pithline.saw.uses.use import Use
from tests.saw.beam import AIMS, LIE, MILL, RATES, TALL, TIMBER, beam, sawn

DEMO = Path(__file__).parents[2] / "demo" / "hollow-oak.toml"
DEEP = replace(LIE, pith_butt=0.5, pith_top=0.5)  # the ground stops nothing
TENTH = 1.2816  # standard normal, 90 %


@dataclass
class Record:
    """As much of a log record as the planner asks for."""

    shape: LogShape
    ground: Lie

    def to_shape(self) -> LogShape:
        return self.shape

    def lie(self) -> Lie:
        return self.ground


@dataclass
class Reading:
    """One measurement of the beam."""

    by: Callable[[float], Record]
    field: str = "made up"
    value: str = "0"
    error: str = "1"


def tall(up: float = TALL, down: float = TALL) -> LogShape:
    square = np.array([[-0.2, -down], [0.2, -down], [0.2, up], [-0.2, up]])
    return LogShape.of(np.array([0.0, 2.0]), np.stack([square, square]), np.zeros(2))


def only(made: Plan, by: Callable[[float], Record]) -> Retake:
    (found,) = retaken(made, [Reading(by)], TIMBER)
    return found


def test_the_nodes_are_the_middles_of_six_equal_shares():
    due = [NormalDist().inv_cdf((2 * k + 1) / 12) for k in range(6)]
    assert list(NODES) == pytest.approx(due, abs=5e-5)


def test_a_width_moves_the_value_and_no_cut():
    # 228 for 400 mm: in proportion; 4 mm is one part in a hundred.
    found = only(sawn(), lambda z: Record(beam(0.4 + 0.004 * z, 0.4 + 0.004 * z), LIE))
    assert found.net_high == pytest.approx(228 * (1 + 0.01 * TENTH))
    assert found.net_low == pytest.approx(228 * (1 - 0.01 * TENTH))
    assert (found.kept_low, found.kept_high) == pytest.approx((found.net_low, found.net_high))
    assert found.swing == pytest.approx(2.28 * TENTH)
    assert (found.regret, found.moved) == (0, 0)


def test_wood_that_is_missing_below_costs_a_slab_unless_it_is_known():
    # Three slabs of 100 mm and two kerfs between them take 320 mm of 401 mm. Of equal plans the lowest is
    # taken: the last face at -200 mm, half a millimetre inside. If the wood ends higher, that slab is lost
    # (76); had one known it, all would have been sawn higher. So in half of all cases 76: 38.
    made = sawn(lie=DEEP)
    assert min(s.lower for s in made.slabs) == pytest.approx(-0.2)
    found = only(made, lambda z: Record(tall(down=TALL + 0.02 * z), DEEP))
    assert (found.net_low, found.kept_low, found.kept_high) == pytest.approx((228, 152, 228))
    assert found.regret == pytest.approx(38)
    # The wood then ends at -200.5 + 25.6 mm, so the face goes from -200 to -174 mm.
    assert found.moved == pytest.approx(0.026)


def test_ground_that_is_nearer_ends_the_sawing_unless_it_is_known():
    # The last kerf's lower side is at -180 mm, as deep as the ground lets. Were it nearer the last slab
    # stays where it is; known beforehand all is sawn a little higher.
    def by(z: float) -> Record:
        return Record(beam(), replace(LIE, pith_butt=0.24 + 0.01 * z, pith_top=0.24 + 0.01 * z))

    found = only(sawn(), by)
    assert (found.net_low, found.kept_low, found.kept_high) == pytest.approx((228, 152, 228))
    assert found.regret == pytest.approx(38)


def test_what_is_known_exactly_costs_nothing():
    exact = Errors(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    order = ("1 of bench: 38 cm x 1.5 m, 8/4, at 50",)
    for options in ({}, {"order": order, "use": ("wide: 45 cm x 1.8 m, at 1500, pair",)}):
        job = job_of(DEMO, (), options, False)
        made = plan(
            job.record.to_shape(),
            job.record.lie(),
            job.mill,
            job.aims,
            job.rates,
            job.timber,
            compare=False,
        )
        found = retaken(made, taped_fields(job.record, exact)[:6], job.timber)
        assert len(found) == 6
        for each in found:
            assert (each.regret, each.swing, each.moved) == pytest.approx((0, 0, 0), abs=1e-6)
            assert each.kept_low == pytest.approx(made.net)


def test_regrets_are_ranked_and_never_below_zero():
    job = job_of(DEMO, (), {}, False)
    made = plan(
        job.record.to_shape(), job.record.lie(), job.mill, job.aims, job.rates, job.timber, compare=False
    )
    found = retaken(made, taped_fields(job.record), job.timber)
    regrets = [round(r.regret, 6) for r in found]
    assert regrets == sorted(regrets, reverse=True)
    assert regrets[-1] >= 0
    assert all(r.kept_low <= r.net_low + 1e-9 and r.kept_high <= r.net_high + 1e-9 for r in found)
    # A staple that may lie deeper than it was marked is what a saw must fear most.
    assert found[0].field == "log.zones[1].depth"


def test_half_a_pair_is_sold_as_any_slab():
    use = Use("wide", 0.3, 1.5, pair=True, price=500.0)
    wanted = replace(RATES, uses=(use,))
    made = plan(beam(), LIE, MILL, AIMS, wanted, TIMBER, compare=False)
    assert any(s.pair_with for s in made.slabs)
    from pithline.saw.model import grounds, prepare
    from pithline.saw.solution import solve

    model = prepare(beam(), MILL, AIMS, wanted, TIMBER)
    own = solve(model, 0.0, 0.0, grounds(beam(), LIE, MILL, AIMS, np.zeros(1))[0])
    assert [pair for _, pair in own.takes] in ([0, 0, -1], [-1, 0, 0])
    stop = 2 if own.takes[0][1] == 0 else 3  # the cut that would free the pair's second slab
    allowed = own.tables.allowed.copy()
    allowed[own.cuts[stop] - own.first] = False
    other = SimpleNamespace(tables=own.tables._replace(allowed=allowed), first=own.first)
    kept = kept_cuts(own, other, model)
    assert kept.cuts == own.cuts[:stop]
    assert len(kept.slabs) == stop - 1
    assert all(pair < 0 for _, pair in kept.takes)


# Fields of the record ---------------------------------------------------


def demo() -> LogRecord:
    return job_of(DEMO, (), {}, False).record


def test_every_measured_field_of_the_demo_can_be_taken_again():
    fields = [each.field for each in taped_fields(demo())]
    assert fields == [
        "log.length",
        *(f"log.{end}.{side}" for end in ("butt", "top") for side in ("right", "up", "left", "down")),
        "log.stations[1].across",
        "log.bark",
        "log.sweep.amount",
        *(f"log.zones[{n}].{part}" for n in (1, 2) for part in ("from", "to", "depth")),
        *(f"lie.{name}" for name in ("pith_butt", "pith_top", "slope")),
    ]


def test_a_field_moves_what_it_names_and_nothing_else():
    record = demo()
    whole = record.to_shape()
    for each in taped_fields(record):
        assert each.by(0.0) == record, each.field
        moved = each.by(1.0)
        assert moved != record, each.field
        moved.to_shape()
    fields = {each.field: each for each in taped_fields(record)}
    top = fields["log.butt.up"].by(1.0).to_shape()
    assert top.outlines[0][:, 1].max() - whole.outlines[0][:, 1].max() == pytest.approx(0.004, abs=1e-4)
    np.testing.assert_allclose(top.outlines[-1], whole.outlines[-1])
    thick = fields["log.bark"].by(1.0).to_shape()
    assert thick.bark == pytest.approx(1.15 * whole.bark)
    deep = fields["log.zones[1].depth"].by(1.0).to_shape()
    assert deep.zones[0].radius - whole.zones[0].radius == pytest.approx(0.010)
    low = fields["lie.pith_butt"].by(-1.0).lie()
    assert low.pith_butt - record.lie().pith_butt == pytest.approx(-0.010)


@pytest.mark.parametrize(
    ("butt", "names"),
    [("62 cm", ["diameter"]), ("girth 195 cm", ["girth"])],
)
def test_what_was_assumed_is_not_to_be_taken_again(butt, names):
    words = {"species": "red oak", "length": "3 m", "butt": butt, "top": "54 cm"}
    record = job_of(None, (), words, False).record
    fields = [each.field for each in taped_fields(record)]
    assert fields == ["log.length", *(f"log.butt.{name}" for name in names), "log.top.diameter"]

"""A plan by a person's wish: drawn in full, never worth more than the best, refused with a reason."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from pithline.errors import BadValue
from pithline.log.written import from_table
from pithline.log.zones import ZoneKind
from pithline.saw.moved import MovedPlan, Wish, moved_plan
from pithline.saw.plan import Plan
from pithline.saw.planning import plan
from pithline.saw.timber import Timber
from pithline.saw.written.inputs import read_aims, read_mill, read_rates


@pytest.fixture(scope="module")
def job() -> tuple[Any, ...]:
    said = tomllib.loads((Path(__file__).parents[2] / "demo" / "hollow-oak.toml").read_text())
    record = from_table({name: said[name] for name in ("log", "lie")})
    mill, aims = read_mill(said["mill"]).value, read_aims(said["aims"]).value
    rates = read_rates(said["rates"], aims, record.species.name).value
    return record.to_shape(), record.lie(), mill, aims, rates, Timber.of(record.species, aims.moisture)


@pytest.fixture(scope="module")
def best(job: tuple[Any, ...]) -> Plan:
    return plan(*job, compare=False)


def wished(job: tuple[Any, ...], text: str) -> MovedPlan:
    wish = Wish.written(text)
    assert wish is not None
    return moved_plan(*job, wish)


def test_the_best_cuts_wished_for_are_the_best_plan(job: tuple[Any, ...], best: Plan) -> None:
    heights = sorted((c.upper for c in best.cuts), reverse=True)
    same = wished(job, str(Wish("stay", tuple(heights))))
    assert same.faults == ()
    assert same.plan.net == pytest.approx(best.net)
    assert [s.tally for s in same.plan.slabs] == pytest.approx([s.tally for s in best.slabs])
    assert same.best == pytest.approx(best.net)


def test_a_moved_cut_is_where_it_was_wished_and_costs_something(job: tuple[Any, ...], best: Plan) -> None:
    height = best.cuts[2].upper + 0.006
    moved = wished(job, f"follow {height:.6g}")
    assert any(c.upper == pytest.approx(height) for c in moved.plan.cuts)
    assert moved.plan.net < moved.best
    assert sum(line.volume for line in moved.plan.ledger.lines) == pytest.approx(moved.plan.ledger.log)
    alone = [height if c is best.cuts[2] else c.upper for c in best.cuts]
    stays = wished(job, str(Wish("stay", tuple(alone))))
    assert stays.plan.net <= moved.plan.net


def test_a_cut_into_metal_is_drawn_and_refused(job: tuple[Any, ...]) -> None:
    staple = next(z for z in job[0].zones if z.kind is ZoneKind.METAL)
    for way in ("follow", "stay"):
        found = wished(job, f"{way} {staple.y:.3f}")
        assert "metal" in found.faults[0]
        assert found.plan.net == -math.inf
        assert any(c.upper == pytest.approx(staple.y, abs=0.001) for c in found.plan.cuts)


def test_wishes_read_back_as_they_are_written() -> None:
    wish = Wish.written("follow 0.214 -0.069")
    assert wish == Wish("follow", (0.214, -0.069))
    assert Wish.written(str(wish)) == wish
    assert Wish.written("  ") is None


@pytest.mark.parametrize(
    "text", ["jump 0.1", "follow", "stay nan", "follow 1e9", "stay 0.1 x", "follow " + "0 " * 300]
)
def test_a_wish_that_cannot_be_meant_is_refused(text: str) -> None:
    with pytest.raises(BadValue, match="heights in metres"):
        Wish.written(text)

"""A kiln load's record: written, read back, drawn alike."""

from __future__ import annotations

import json

import numpy as np
import pytest
from shapely import Polygon

from pithline.dry.laying.charge import plan_charge
from pithline.dry.laying.contact import Floor
from pithline.dry.laying.layers import Room
from pithline.dry.laying.nesting import Effort
from pithline.dry.laying.share import shared
from pithline.dry.laying.stickers import Stickers, rows_along
from pithline.errors import BadValue
from pithline.sheets.charge_back import charge_of
from pithline.sheets.charge_json import charge_record
from pithline.sheets.layer_view import layer_view
from tests.dry.mixed_slabs import mixed_slabs


@pytest.fixture(scope="module", params=[(2, False), (7, True)])
def charge(request):
    seed, mass = request.param
    room = Room(Floor(4.2, 1.4, 0.01), 0.6)
    sticks = Stickers(0.025, 0.032, rows_along(4.2, 0.42))
    return plan_charge(mixed_slabs(seed, 12, mass=mass), room, sticks, effort=Effort(rounds=3, beam=16))


def test_what_was_written_is_read_back(charge):
    record = json.loads(json.dumps(charge_record(charge)))
    back = charge_of(record)
    turned = {laid.turn for layer in charge.layers for laid in layer.slabs}
    assert len(turned) > 2  # else turning back is not tried
    assert (back.room, back.shelves, back.left_out) == (charge.room, charge.shelves, charge.left_out)
    for one, other in zip(charge.layers, back.layers, strict=True):
        assert (one.height, one.mass) == (other.height, pytest.approx(other.mass))
        for laid, again in zip(one.slabs, other.slabs, strict=True):
            # The outline as the slab itself lies, found anew by its own turning; six digits were written.
            ring = np.add(again.slab.ring(again.turn), (again.along, again.across))
            assert ring == pytest.approx(laid.ring, abs=5e-6)
            assert again.slab.area == pytest.approx(Polygon(laid.ring).area, rel=1e-4)
    for one, other in zip(shared(charge, 300.0, 30.0), shared(back, 300.0, 30.0), strict=True):
        assert (one.name, other.cost) == (other.name, pytest.approx(one.cost, abs=0.01))
    first, second = (layer_view(c.layers, c.room.floor, c.stickers, "load") for c in (charge, back))
    assert first.count('class="slab"') == second.count('class="slab"')


@pytest.mark.parametrize(
    "spoil",
    [
        lambda r: [],
        lambda r: None,
        lambda r: "layers",
        lambda r: r.pop("sticks") and r,
        lambda r: {**r, "layers": [{}]},
        lambda r: {**r, "room": {**r["room"], "gap_m": None}},
        lambda r: r["layers"][0]["slabs"][0].update(outline_m=[]) or r,
        lambda r: r["layers"][0]["slabs"][0].update(outline_m=[[0, 0], [1, "x"]]) or r,
        lambda r: r["layers"][0]["slabs"][0].update(thickness_m=-1) or r,
        lambda r: r["layers"][0]["slabs"][0].pop("thickness_m") and r,
    ],
)
def test_a_record_of_something_else_is_refused(charge, spoil):
    with pytest.raises(BadValue):
        charge_of(spoil(json.loads(json.dumps(charge_record(charge)))))

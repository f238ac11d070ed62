"""A staple shorter than the spacing of the plan's stations must still be seen; rot ends between two."""

from __future__ import annotations

import numpy as np
import pytest

from pithline.log.lie import Lie
from pithline.log.shape import LogShape
from pithline.log.zones import Zone, ZoneKind
from pithline.saw.aims import Aims, SizeKind, ThicknessAim
from pithline.saw.mill import Mill
from pithline.saw.model import stations
from pithline.saw.plan import Plan
from pithline.saw.planning import plan
from pithline.saw.rates import Rates
from pithline.saw.timber import Timber

LENGTH, RADIUS = 4.0, 0.012


def sawn(*zones: Zone) -> Plan:
    turn = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    round_log = 0.3 * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    shape = LogShape.of(
        np.array([0.0, LENGTH]), np.stack([round_log] * 2), np.array([0.01, 0.01]), zones=zones
    )
    aims = Aims((ThicknessAim("80 mm green", SizeKind.GREEN, 0.080),))
    wood = Timber("a wood", 0.03, 0.06, 900.0, 950.0, 1000.0)
    return plan(shape, Lie(0.6, 0.6, 0.3, 0.3), Mill(), aims, Rates("EUR", (), 800.0), wood, compare=False)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8])
def test_no_cut_passes_metal_that_lies_between_two_stations(share: float) -> None:
    clear = sawn()
    z = stations(clear.shape, clear.aims.trim_butt, clear.aims.trim_top)
    at = z[7] + share * (z[8] - z[7])
    # In the middle of a kerf that the plan would saw if it did not know.
    hit = clear.cuts[2].face_butt + 0.5 * clear.kerf
    warned = sawn(Zone(ZoneKind.METAL, at - 0.005, at + 0.005, 0.1, hit, RADIUS))
    for cut in warned.cuts:
        upper, lower = cut.face_butt + warned.kerf, cut.face_butt
        assert upper <= hit - RADIUS + 1e-9 or lower >= hit + RADIUS - 1e-9
    assert warned.net < clear.net


def test_metal_is_told_where_it_was_recorded_and_not_where_stations_meet_it() -> None:
    told = [r for r in sawn(Zone(ZoneKind.METAL, 0.83, 0.88, 0.29, 0.0, 0.01)).remarks if "Metal" in r]
    assert len(told) == 1
    assert told[0].startswith("Metal at 0.83 m to 0.88 m from the butt: no cut passes where it was marked;")


@pytest.mark.parametrize("kind", [ZoneKind.ROT, ZoneKind.SPLIT])
@pytest.mark.parametrize("start", [1.30, 1.33, 1.36, 1.39])
def test_no_wood_is_sold_beyond_where_rot_begins(kind: ZoneKind, start: float) -> None:
    # Rot as wide as the log: what is sold lies before it or behind it, by the zone's own words.
    end = start + 0.57
    rotten = sawn(Zone(kind, start, end, 0.0, 0.0, 0.3))
    assert rotten.slabs
    for slab in rotten.slabs:
        assert slab.end <= start or slab.start >= end
        # And no more than a hair of sound wood is given away.
        assert slab.end >= start - 0.002 if slab.end <= start else slab.start <= end + 0.002

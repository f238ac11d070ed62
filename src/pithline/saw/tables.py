"""What the kernels read and write, packed in named tuples of arrays and numbers.

numba sees a named tuple as plain fields, so a kernel's signature stays readable.
Lines of the planner's grid count upward; every height is ``(first + i) * step``
above the pith line at mid-length.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

# Compiled code that an older version left on disk looks for Profile here, and fails without it.
from pithline.saw.block import Block, Profile

__all__ = ["Pay", "Profile", "Reach", "Setting", "Tables", "Wood"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]


class Wood(NamedTuple):
    """The log at the plan's stations. Lengths in metres."""

    outlines: Floats  # (stations, points, 2) under bark
    bar_outlines: Floats  # (stations, points, 2) what the bar must pass
    over_bark: Floats  # (stations, points, 2)
    z: Floats  # (stations,)
    usable_from: int
    usable_to: int  # one past the last usable station
    zones: Floats  # (zones, 3) x, y, radius
    present: Flags  # (zones, stations)
    spoils: Flags  # (zones,) takes sound wood away
    metal: Flags  # (zones,) no cut may pass
    spoilt: Flags  # (stations,) some zone spoils wood here
    figured: Flags  # (stations,) some zone shows figure here
    second: Floats  # (stations or 0, 2) second pith, NaN before the fork
    feather: float  # how far a crotch's figure reaches from the plane of both piths [m]


class Reach(NamedTuple):
    """What the mill can do, in lines or metres, and what a cut costs."""

    step: float  # [m]
    kerf: int
    bar: float  # widest chord [m]
    rail_clear: float  # rail above the highest bark [m]
    depth_max: int  # piece and kerf together
    least_waste: int
    most_waste: int
    cut_cost: float  # [money/m2]


class Pay(NamedTuple):
    """What a slab is worth."""

    thick: Whole  # (thicknesses,) in lines
    sold: Floats  # (thicknesses,) tally units per m2 of counted face
    rates: Floats  # (thicknesses,) [money/tally unit]
    finished: Floats  # (thicknesses,) wanted finished size, 0 where none [m]
    rule: int
    rounded: bool
    least_length: float  # [m]
    width_steps: Floats  # (steps, 2) least width [m], premium; first: least width, 0
    length_steps: Floats  # (steps, 2) least length [m], premium; first: 0, 0
    figure_premium: float
    shows: bool  # figure counts, by a premium or by a use's wish
    pith_rule: int
    skips: Floats  # (skips, 2) heights that no slab may hold, in the planes' own heights [m]
    deduction: float
    slab_cost: float
    per_volume: Floats  # (thicknesses,) carrying and drying of a slab [money/m3 of it]
    radial: float  # shrinkage to the wanted moisture [fraction]
    tangential: float
    flattening: Floats  # (steps, 2) up to this width [m], allowance [m]
    variation: float  # [m]


class Setting(NamedTuple):
    """One roll and pitch of the cutting planes."""

    sine: float
    cosine: float
    pitch: float  # [m/m]
    ground_butt: float  # lowest allowed lower side of a kerf, above the pith line [m]
    ground_top: float


class Tables(NamedTuple):
    """Room for one setting, reused from setting to setting."""

    left: Floats  # (stations, lines) edges of the sound wood; one row, reused, where only sums matter
    right: Floats
    width: Floats  # of the sound wood
    figured: Floats  # of it, the width that shows figure
    below: Floats  # area of the cross-section below a line [m2]
    values: Floats  # (thicknesses, lines) slab under a face, -inf where none
    face: Floats  # (lines,) sound wood along a line from end to end, where weight costs [m2]
    sawn: Floats  # (lines,) area that a cut along the line passes [m2]
    widest: Floats  # (lines,) widest place that the bar must pass there [m]
    costs: Floats  # (lines,) of the cut whose kerf has its upper side here
    passes: Flags  # (lines,) bar, pith rule and metal let a cut be here
    allowed: Flags  # (lines,) and the ground too
    starts: Flags  # (lines,) may be the first cut
    pith_low: Floats  # (piths,) the pith lines' range of heights [m]
    pith_high: Floats
    best: Floats  # (lines,) value of the wood below a face
    take: Whole  # (lines,) what to saw below it
    block: Block  # room

    @classmethod
    def of(cls, stations: int, lines: int, thicknesses: int, piths: int, edges: bool = True) -> Tables:
        """Empty tables; without `edges` only for sums, which saves the processor's cache."""
        wide = (stations, lines)
        return cls(
            left=np.zeros(wide if edges else (1, lines)),
            right=np.zeros(wide if edges else (1, lines)),
            width=np.zeros(wide),
            figured=np.zeros(wide),
            below=np.zeros(wide),
            values=np.zeros((thicknesses, lines)),
            face=np.zeros(lines),
            sawn=np.zeros(lines),
            widest=np.zeros(lines),
            costs=np.zeros(lines),
            passes=np.zeros(lines, dtype=np.bool_),
            allowed=np.zeros(lines, dtype=np.bool_),
            starts=np.zeros(lines, dtype=np.bool_),
            pith_low=np.zeros(piths),
            pith_high=np.zeros(piths),
            best=np.zeros(lines),
            take=np.zeros(lines, dtype=np.int64),
            block=Block.of(stations),
        )

    def cut_to(self, lines: int) -> Tables:
        """A copy of the first lines."""
        cut: dict[str, Any] = {
            name: np.copy(part if name.startswith("pith") else part[..., :lines])
            for name, part in self._asdict().items()
            if name != "block"
        }
        return self._replace(**cut)

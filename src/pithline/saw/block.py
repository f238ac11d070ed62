"""Room for one block of slabs, the same from block to block and from setting to setting.

Made once and not for every setting: what a kernel asks the system for anew comes as empty
pages, and clearing them took as long as the sums.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["BLOCK", "Block", "Profile", "UsesBlock"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Whole = NDArray[np.int64]

# Lines: their profiles stay in the second-level cache. No power of two, or the stations of a slab would
# all be kept in the same few places of the first.
BLOCK = 376


class Profile(NamedTuple):
    """Slabs side by side, station by station between the end trims. [m], [m2]"""

    narrow: Floats  # (usable stations, slabs) the narrower face
    counted: Floats  # the width that is tallied
    upto: Floats  # counted area from the first station
    shown: Floats  # figured area from the first station
    least: Floats  # (slabs,) least and greatest of the narrower face
    most: Floats

    @classmethod
    def of(cls, stations: int, slabs: int = 1) -> Profile:
        """Room for so many slabs."""
        across = (stations, slabs)
        return cls(
            narrow=np.zeros(across),
            counted=np.zeros(across),
            upto=np.zeros(across),
            shown=np.zeros(across),
            least=np.zeros(slabs),
            most=np.zeros(slabs),
        )


class Block(NamedTuple):
    """What the slabs of one block are worth by the tally."""

    profile: Profile
    share: Floats  # (BLOCK,) of its price that each slab is paid
    rates: Floats  # (BLOCK,) what a unit of its tally brings
    best: Floats  # (BLOCK,)
    found: Floats  # (5, BLOCK) the best run
    serves: Flags  # (BLOCK,)
    wanted: Flags  # (BLOCK,)

    @classmethod
    def of(cls, stations: int) -> Block:
        """Room for one block."""
        return cls(
            profile=Profile.of(stations, BLOCK),
            share=np.zeros(BLOCK),
            rates=np.zeros(BLOCK),
            best=np.zeros(BLOCK),
            found=np.zeros((5, BLOCK)),
            serves=np.zeros(BLOCK, dtype=np.bool_),
            wanted=np.zeros(BLOCK, dtype=np.bool_),
        )


class UsesBlock(NamedTuple):
    """What lengths of the slabs of one block make."""

    other: Profile  # of the slabs below, where two are a pair
    early: Floats  # (uses, BLOCK) earliest end and latest start of each use
    late: Floats
    own: Floats  # (uses, BLOCK) the use's price less the slab's cost
    hopes: Floats  # (uses, 2, BLOCK) the most that a wider part of the rest can bring
    sure: Floats  # (BLOCK,) premium for width that every run earns, and the most that any can
    highest: Floats
    area: Floats  # (BLOCK,) of the rest: what it brings, and at most, in m2 of face
    most: Floats
    each: Floats  # (BLOCK,) and what a square metre of it is paid
    cut: Floats  # (BLOCK,) where the rest begins or ends
    costs: Floats  # (BLOCK,) of the slab
    some: Flags  # (uses,) has a place in some slab
    runs: Whole  # (width steps, BLOCK) how often the slab reaches a width, and from where to where
    run_from: Floats
    run_to: Floats

    @classmethod
    def of(cls, stations: int, uses: int, steps: int) -> UsesBlock:
        """Room for one block."""
        return cls(
            other=Profile.of(stations, BLOCK),
            early=np.zeros((uses, BLOCK)),
            late=np.zeros((uses, BLOCK)),
            own=np.zeros((uses, BLOCK)),
            hopes=np.zeros((uses, 2, BLOCK)),
            sure=np.zeros(BLOCK),
            highest=np.zeros(BLOCK),
            area=np.zeros(BLOCK),
            most=np.zeros(BLOCK),
            each=np.zeros(BLOCK),
            cut=np.zeros(BLOCK),
            costs=np.zeros(BLOCK),
            some=np.zeros(uses, dtype=np.bool_),
            runs=np.zeros((steps, BLOCK), dtype=np.int64),
            run_from=np.zeros((steps, BLOCK)),
            run_to=np.zeros((steps, BLOCK)),
        )

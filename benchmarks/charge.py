"""How few layers a kiln charge takes: slid outlines against the exact plan of rectangles.

Mixed sets of 60 made-up slabs on a cart of 4.2 x 1.4 m, and how long a charge of 40 takes.
Targets: 8 % fewer layers than rectangles on the mean, never more; 40 slabs in 30 s.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

from pithline.dry.laying.charge import plan_charge
from pithline.dry.laying.contact import Floor
from pithline.dry.laying.layers import Room
from pithline.dry.laying.stickers import Stickers, rows_along

sys.path.insert(0, str(Path(__file__).parent.parent))  # for the made-up slabs of the tests

from tests.dry.mixed_slabs import mixed_slabs

ROOM = Room(Floor(4.2, 1.4), 99.0)
STICKS = Stickers(0.025, 0.032, rows_along(4.2, 0.42))
SETS = (11, 12, 13, 14, 15)


def main() -> None:
    plan_charge(mixed_slabs(1, 6), ROOM, STICKS)  # compiles
    fewer = []
    print("60 slabs: layers slid together, of rectangles, at least; time")
    for seed in SETS:
        began = time.perf_counter()
        (shelf,) = plan_charge(mixed_slabs(seed, 60), ROOM, STICKS).shelves
        took = time.perf_counter() - began
        proved = "" if shelf.rectangles_proved else " (not proved fewest)"
        assert shelf.at_least <= shelf.layers <= shelf.rectangle_layers
        fewer.append(1 - shelf.layers / shelf.rectangle_layers)
        print(
            f"set {seed}: {shelf.layers} {shelf.rectangle_layers}{proved} {shelf.at_least}; "
            f"{fewer[-1]:.1%} fewer, gap {shelf.gap}, {took:.1f} s"
        )
    print(
        f"on the mean {np.mean(fewer):.1%} fewer layers than rectangles, {min(fewer):.1%} to {max(fewer):.1%}"
    )
    for seed in SETS[:3]:
        began = time.perf_counter()
        (shelf,) = plan_charge(mixed_slabs(seed, 40), ROOM, STICKS).shelves
        took = time.perf_counter() - began
        print(
            f"40 slabs, set {seed}: {shelf.layers} layers, rectangles {shelf.rectangle_layers}, {took:.1f} s"
        )


if __name__ == "__main__":
    main()

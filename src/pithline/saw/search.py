"""The best roll and pitch, by trying them all."""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.saw.model import Model
from pithline.saw.solution import edges_matter, room
from pithline.saw.tables import Wood

__all__ = ["Found", "bark_pitch", "best_setting"]

Floats = NDArray[np.float64]

_THREADS = 2


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """Net value at every roll and pitch, and the best of them.

    Where orders come first, `net` holds what they count above their price too; -inf
    stands for a setting that was shown not to be the best without solving it.
    """

    rolls: Floats  # (rolls,) [rad]
    pitches: Floats  # (rolls, pitches) [m/m]
    net: Floats  # (rolls, pitches)

    @property
    def best(self) -> tuple[int, int]:
        """Index of the best roll and pitch; the first of equals."""
        r, p = np.unravel_index(int(np.argmax(self.net)), self.net.shape)
        return int(r), int(p)


def bark_pitch(wood: Wood, roll: float) -> float:
    """Rise of the bark along the top of the log against the pith line.

    A straight line through the highest bark at every station, by least squares, so
    that a flare at the butt does not decide alone. [m/m]
    """
    height = (wood.over_bark[..., 0] * math.sin(roll) + wood.over_bark[..., 1] * math.cos(roll)).max(axis=1)
    return float(np.polyfit(wood.z, height, 1)[0])


def best_setting(model: Model, rolls: Floats, pitches: Floats, ground: Floats) -> Found:
    """Value the best plan at every roll and pitch.

    Parameters
    ----------
    rolls : ndarray, shape (rolls,)
        [rad]
    pitches : ndarray, shape (pitches,)
        The same for every roll. [m/m]
    ground : ndarray, shape (rolls, 2)
        See `saw.model.grounds`. [m]
    """
    from pithline.saw import planner_kernel

    half = rolls.size // 2
    # Half a turn on, the same planes are counted from the other side: one table serves both.
    # Not for finished sizes, whose thinnest green thickness depends on which face is the upper.
    opposite = rolls.size % 2 == 0 and bool(np.allclose(rolls[half:], rolls[:half] + math.pi))
    both_ways = opposite and bool(np.allclose(pitches, -pitches[::-1])) and not (model.pay.finished > 0).any()
    both_ways = both_ways and not model.pay.skips.size  # these are heights of one way up
    turns = half if both_ways else rolls.size
    grounds = np.stack([ground[:turns], ground[-turns:]], axis=1)
    if model.wants is not None:
        from pithline.saw.uses.search import best_scores

        whole = best_scores(model, model.wants, rolls, pitches, grounds, both_ways)
        return Found(rolls, np.broadcast_to(pitches, whole.shape), whole)
    net = np.zeros((turns, 2, pitches.size))

    def part(which: NDArray[np.int64]) -> None:
        found = np.empty((which.size, 2, pitches.size))
        tables, turned = (room(model, edges_matter(model), float(np.abs(pitches).max())) for _ in range(2))
        planner_kernel.search(
            model.wood,
            model.reach,
            model.pay,
            rolls[which],
            pitches,
            grounds[which],
            both_ways,
            tables,
            turned,
            found,
        )
        net[which] = found

    # Two threads over halves of the rolls: the kernels let go of the interpreter's lock.
    parts = [np.arange(turns)[start::_THREADS] for start in range(_THREADS)]
    with ThreadPoolExecutor(_THREADS) as pool:
        list(pool.map(part, parts))
    whole = np.concatenate([net[:, 0], net[:, 1]]) if both_ways else net[:, 0]
    return Found(rolls, np.broadcast_to(pitches, whole.shape), whole)

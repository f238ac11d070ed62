"""The most worth that fits two limits at once, in whole units; compiled by numba."""

from __future__ import annotations

import numpy as np
from numba import njit

__all__ = ["fill"]


@njit(cache=True, nogil=True)
def fill(first, second, worth, most_first, most_second, chosen):  # type: ignore[no-untyped-def]
    """Best choice of things under two limits: its worth; `chosen` (things,) is filled in."""
    things = worth.shape[0]
    best = np.zeros((most_first + 1, most_second + 1))
    taken = np.zeros((things, most_first + 1, most_second + 1), np.bool_)
    for i in range(things):
        a, b, w = first[i], second[i], worth[i]
        if w <= 0 or a > most_first or b > most_second:
            continue
        # Downward, so that each is taken once.
        for x in range(most_first, a - 1, -1):
            for y in range(most_second, b - 1, -1):
                value = best[x - a, y - b] + w
                if value > best[x, y] + 1e-12:
                    best[x, y] = value
                    taken[i, x, y] = True
    x, y = most_first, most_second
    for i in range(things - 1, -1, -1):
        chosen[i] = taken[i, x, y]
        if chosen[i]:
            x -= first[i]
            y -= second[i]
    return best[most_first, most_second]

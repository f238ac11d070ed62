"""Where a rising function passes zero."""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["root"]


def root(rises: Callable[[float], float], low: float, high: float) -> float:
    """Where `rises` passes zero between `low` and `high`, by halving.

    Parameters
    ----------
    rises : callable
        Rising; a function that is negative all over gives `high`, a positive one `low`.
    low, high : float

    Returns
    -------
    where : float
        As fine as a float.

    >>> round(root(lambda x: x * x - 2, 0, 2), 12)
    1.414213562373
    """
    for _ in range(2000):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        low, high = (middle, high) if rises(middle) < 0 else (low, middle)
    return (low + high) / 2

"""What would change the answer most: each figure alone at its low and at its high."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pithline.money.likely import Likely

__all__ = ["Swing", "swings"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Swing:
    """One doubtful figure.

    Attributes
    ----------
    name : str
    low, high : float
        Its 10 and 90 %.
    at_low, at_high : float
        The result then, all else at its middle. [money]
    base : float
        The result with everything at its middle. [money]
    why : str
        Where the figure comes from.
    """

    name: str
    low: float
    high: float
    at_low: float
    at_high: float
    base: float
    why: str

    @property
    def swing(self) -> float:
        """Between the two ends; a figure may be best in its middle. [money]"""
        return max(self.at_low, self.at_high, self.base) - min(self.at_low, self.at_high, self.base)

    @property
    def turns(self) -> bool:
        """Whether one end gains and the other loses."""
        return min(self.at_low, self.at_high) < 0 < max(self.at_low, self.at_high)


def swings(figures: Mapping[str, Likely], result: Callable[[dict[str, Floats]], Floats]) -> tuple[Swing, ...]:
    """Move each figure alone.

    Parameters
    ----------
    figures : mapping of str to Likely
    result : callable
        From arrays of shape (cases,) by the same names to the results. [money]

    Returns
    -------
    tuple of Swing
        The largest first; figures that are sure are left out.
    """
    names = [name for name, figure in figures.items() if not figure.sure]
    cases = 1 + 2 * len(names)
    x = {name: np.full(cases, figure.mid) for name, figure in figures.items()}
    for n, name in enumerate(names):
        x[name][1 + 2 * n], x[name][2 + 2 * n] = figures[name].low, figures[name].high
    found = result(x)
    rows = [
        Swing(
            name,
            figures[name].low,
            figures[name].high,
            float(found[1 + 2 * n]),
            float(found[2 + 2 * n]),
            float(found[0]),
            figures[name].why,
        )
        for n, name in enumerate(names)
    ]
    return tuple(sorted(rows, key=lambda row: -row.swing))

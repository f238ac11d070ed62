"""A figure that nobody knows exactly: 10, 50 and 90 %, and draws from it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from pithline.errors import BadValue

__all__ = ["Likely", "likely"]

Floats = NDArray[np.float64]

# 90 % of a normal distribution lie below this many standard deviations above its middle.
_TENTH = 1.2815515655446004


@dataclass(frozen=True, slots=True)
class Likely:
    """What a figure may be.

    Attributes
    ----------
    low, mid, high : float
        10, 50 and 90 %; equal where it is known.
    least, most : float
        It cannot pass these.
    why : str
        Source, mark, or "said".
    """

    low: float
    mid: float
    high: float
    least: float = 0.0
    most: float = float("inf")
    why: str = ""

    @classmethod
    def known(cls, value: float, why: str = "said") -> Self:
        """A figure without doubt."""
        return cls(value, value, value, min(0.0, value), float("inf"), why)

    @property
    def sure(self) -> bool:
        """Whether there is no doubt about it."""
        return self.low == self.high

    def times(self, factor: float) -> Likely:
        """The same in another unit, or of something proportional."""
        return Likely(
            self.low * factor,
            self.mid * factor,
            self.high * factor,
            self.least * factor,
            self.most * factor,
            self.why,
        )

    def at(self, normal: Floats) -> Floats:
        """Turn standard normal draws into draws of this figure.

        Parameters
        ----------
        normal : ndarray, shape (draws,)

        Returns
        -------
        drawn : ndarray, shape (draws,)

        Notes
        -----
        Two half normal distributions that meet at `mid`, so that 10, 50 and 90 % are exactly the
        three figures (where `least` and `most` do not cut in). The tails are judgement.
        """
        side = np.where(normal < 0, self.mid - self.low, self.high - self.mid)
        return np.asarray(np.clip(self.mid + normal / _TENTH * side, self.least, self.most))


def likely(
    raw: object,
    field: str,
    parse: Callable[[str, str], float],
    spread: tuple[float, float] = (1.0, 1.0),
    *,
    least: float = 0.0,
    most: float = float("inf"),
    why: str = "",
) -> Likely:
    """Read ``2.6 m``, or ``2.4 m to 2.8 m`` for 10 to 90 %.

    Parameters
    ----------
    raw : object
    field : str
        Named in a refusal.
    parse : callable (text, field) -> float
    spread : (low, high)
        Of one figure alone: factors to its 10 and 90 %.
    least, most : float
    why : str
        Where that spread comes from.

    Raises
    ------
    BadValue
        What `parse` refuses, or a span whose end is below its beginning.
    """
    parts = re.split(r"\s+to\s+", raw.strip()) if isinstance(raw, str) else []
    if len(parts) == 2:
        # "2.4 to 2.8 m": the unit stands once, behind the second.
        unit = re.search(r"[a-zA-Z%'\"/³²].*$", parts[1])
        first = f"{parts[0]} {unit[0]}" if unit and re.fullmatch(r"[\d./ ]+", parts[0]) else parts[0]
        low, high = parse(first, field), parse(parts[1], field)
        if low > high:
            raise BadValue(field, raw, "from the lower to the higher figure", "Swap the two.")
        return Likely(low, (low + high) / 2, high, least, most, "said as a span")
    if not isinstance(raw, str):
        raise BadValue(field, raw, "a figure with its unit, or a span", 'Write "2.6 m" or "2.4 m to 2.8 m".')
    mid = parse(raw, field)
    return Likely(mid * spread[0], mid, mid * spread[1], least, most, why)

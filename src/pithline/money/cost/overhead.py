"""A month's overhead, shared over what was worked on or lay there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pithline.errors import BadValue
from pithline.money.cost.costs import OverheadKey

__all__ = ["Bearer", "share_overhead"]


@dataclass(frozen=True, slots=True)
class Bearer:
    """Something that bears overhead: a slab, a log, or work for others.

    Attributes
    ----------
    name : str
    hours : float
        Worked on it in the month. [h]
    volume : float
        [m3]
    value : float
        [money]
    slabs : float
    months : float
        Part of the month that it lay there. [month]
    """

    name: str
    hours: float = 0.0
    volume: float = 0.0
    value: float = 0.0
    slabs: float = 1.0
    months: float = 1.0

    def weight(self, key: OverheadKey) -> float:
        """How much of the overhead falls to it, against the others'."""
        match key:
            case OverheadKey.HOURS:
                return self.hours
            case OverheadKey.VOLUME:
                return self.volume
            case OverheadKey.VALUE:
                return self.value
            case OverheadKey.SLABS:
                return self.slabs
            case OverheadKey.SPACE:
                return self.volume * self.months


def share_overhead(amount: float, key: OverheadKey, bearers: Sequence[Bearer]) -> tuple[float, ...]:
    """Share a month's overhead by one key.

    Parameters
    ----------
    amount : float
        [money]
    key : OverheadKey
    bearers : sequence of Bearer

    Returns
    -------
    shares : tuple of float
        They add up to `amount`. [money]

    Raises
    ------
    BadValue
        Where nothing bears any of it by this key.
    """
    weights = [bearer.weight(key) for bearer in bearers]
    whole = sum(weights)
    if not whole > 0 or any(weight < 0 for weight in weights):
        raise BadValue(
            f"overhead by {key}", weights, "0 or more for each, and not all 0", "Share it by another key."
        )
    return tuple(amount * weight / whole for weight in weights)

"""How much of the log ends up in slabs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pithline.errors import BadValue

__all__ = ["Recovery", "recovery"]


@dataclass(frozen=True, slots=True)
class Recovery:
    """Shares of the log's volume under bark.

    Attributes
    ----------
    solid : float
        All wood of the slabs, rounded edges with it. [fraction]
    tally : float
        What the tally rule counts. [fraction]
    """

    solid: float
    tally: float


def recovery(solids: Iterable[float], tallies: Iterable[float], log_volume: float) -> Recovery:
    """Share of a log that its slabs hold.

    Always against the log, never against the standing tree: the two are easily
    mixed up and differ by stump, top and branches.

    Parameters
    ----------
    solids : iterable of float
        True volume of each slab. [m3]
    tallies : iterable of float
        Volume of each slab by the tally rule. [m3]
    log_volume : float
        Under bark. [m3]

    Returns
    -------
    Recovery

    Raises
    ------
    BadValue
        A log without volume, or slabs that hold more wood than their log.
    """
    if not log_volume > 0:
        raise BadValue("log volume", log_volume, "more than 0")
    solid = sum(solids)
    # The tally may exceed the log (wide face); true volume cannot.
    if solid > log_volume * (1 + 1e-9):
        raise BadValue("volume of the slabs", f"{solid:.4f} m3", f"at most the log's {log_volume:.4f} m3")
    return Recovery(solid / log_volume, sum(tallies) / log_volume)

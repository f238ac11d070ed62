"""Places in the log that are better or worse than clear wood."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Zone", "ZoneKind"]


class ZoneKind(StrEnum):
    """What a zone does to the wood in it."""

    FIGURE = "figure"  # burl, crotch, curl: worth more
    ROT = "rot"  # no sound wood
    SPLIT = "split"  # no sound wood
    METAL = "metal"  # no sound wood, and no cut may pass


@dataclass(frozen=True, slots=True)
class Zone:
    """A round bar of the log, parallel to the pith line, that differs from clear wood.

    A person says where along the log, at which hour of the clock and how deep;
    that is as much as can be known from outside, and a circle in the cross-section
    holds it whichever way the log is rolled.

    Attributes
    ----------
    kind : ZoneKind
    start, end : float
        Along the log from the butt. [m]
    x, y : float
        Centre, from the pith line, seen from the butt. [m]
    radius : float
        [m]
    note : str
        In the person's own words ("old fence staple").
    """

    kind: ZoneKind
    start: float
    end: float
    x: float
    y: float
    radius: float
    note: str = ""

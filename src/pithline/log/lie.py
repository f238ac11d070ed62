"""How the log lies: what the ground leaves for the saw."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Lie"]


@dataclass(frozen=True, slots=True)
class Lie:
    """The log on its bearers, as it was measured.

    Attributes
    ----------
    pith_butt, pith_top : float
        Height of the pith mark above the ground at each end. [m]
    bearer_butt, bearer_top : float
        Height of the log's underside (over bark) above the ground at each end. [m]
    side_slope : float
        Rise of the ground towards the side where the powerhead runs; negative where
        it falls away and so gives room. [m/m]
    powerhead_room : float
        Depth dug or free below the ground line on the powerhead's side. [m]
    """

    pith_butt: float
    pith_top: float
    bearer_butt: float = 0.0
    bearer_top: float = 0.0
    side_slope: float = 0.0
    powerhead_room: float = 0.0

"""The saw on its rail-guided frame: what it can reach and what it costs in time."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Mill"]


@dataclass(frozen=True, slots=True)
class Mill:
    """Limits of one mill. All lengths in metres.

    Attributes
    ----------
    bar : float
        Bar length from the saw's body to the nose.
    bar_lost : float
        Taken from it by clamps and nose; what is left cuts.
    clearance : float
        Kept free beside the log in every cut, both sides together.
    kerf : float
    depth_min, depth_max : float
        Distance that can be set between the guide and the upper side of the bar.
    step : float
        Smallest step of that setting; also the grid of the planner.
    rail : float or None
        Rail length; None where it was not said.
    overrun : float
        Rail needed beyond each end of the log to carry the carriage in and out.
    below_bar : float
        Room the saw needs under the lower side of the kerf.
    screw_low, screw_high : float
        Where the end brackets' screws sit, measured down from the rail's underside.
    minutes_per_area : float
        Sawing time. [min/m2]
    minutes_per_cut : float
        Wedges, setting, walking back. [min]
    minutes_per_turn : float
        To roll the log half over and chock it again. [min]
    """

    bar: float = 0.90
    bar_lost: float = 0.14
    clearance: float = 0.02
    kerf: float = 0.009
    depth_min: float = 0.013
    depth_max: float = 0.33
    step: float = 0.001
    rail: float | None = None
    overrun: float = 0.30
    below_bar: float = 0.06
    screw_low: float = 0.03
    screw_high: float = 0.09
    minutes_per_area: float = 5.0
    minutes_per_cut: float = 6.0
    minutes_per_turn: float = 15.0

    @property
    def usable(self) -> float:
        """Bar that is free to cut. [m]"""
        return self.bar - self.bar_lost

"""The end of a kiln run: bring the boards together, then take the drying stress out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pithline.dry.kiln.kiln import Kiln
from pithline.dry.kiln.sample_boards import Boards
from pithline.dry.psychrometrics import SEA_LEVEL, wet_bulb
from pithline.errors import BadValue
from pithline.wood.moisture import emc, humidity_for

__all__ = ["Finish", "Hold", "Stage", "finish", "stage"]

Stage = Literal["dry", "equalise", "condition", "done"]

_WARMER = 10 / 1.8  # equalising above the last dry bulb (Wengert, step 6C, read). [K]
_HOTTEST = (170 - 32) / 1.8  # conditioning, 170 to 180 °F (AH-188, Ch. 7, from memory). [°C]


@dataclass(frozen=True, slots=True)
class Hold:
    """Air to hold for a while.

    Attributes
    ----------
    temperature, wet_bulb : float
        [°C]
    humidity, emc : float
        [fraction]
    """

    temperature: float
    wet_bulb: float
    humidity: float
    emc: float


@dataclass(frozen=True, slots=True)
class Finish:
    """How to end a run.

    Attributes
    ----------
    begin, stop : float
        Equalise from when the driest board is at `begin` until the wettest is at `stop`.
        Dry basis. [fraction]
    equalise : Hold
    condition : Hold or None
        None where the kiln cannot damp its air.
    hours : tuple of float
        Of conditioning: least and most. [h]
    on_the_slab : tuple of str
        What has to be said on every slab of the load.
    remarks : tuple of str
    """

    begin: float
    stop: float
    equalise: Hold
    condition: Hold | None
    hours: tuple[float, float]
    on_the_slab: tuple[str, ...]
    remarks: tuple[str, ...]


def finish(
    target: float, kiln: Kiln, last: float, thick: bool, hardwood: bool = True, pressure: float = SEA_LEVEL
) -> Finish:
    """Equalising and conditioning for a wanted final moisture.

    Parameters
    ----------
    target : float
        Mean of the load, 5 to 15 %, dry basis. [fraction]
    kiln : Kiln
    last : float
        Last temperature of the run. [°C]
    thick : bool
        8/4 or thicker.
    hardwood : bool
    pressure : float
        Of the air. [Pa]

    Raises
    ------
    BadValue
        A target outside that range.

    Notes
    -----
    Equalise in air of 2 % below the target (3 for softwood), from when the driest board is
    there until the wettest is at the target; condition 4 % above it (3 for softwood) at the
    highest temperature allowed, 16 to 24 h at 4/4 and up to 48 h at 8/4, until a section cut
    into prongs stays straight.

    References
    ----------
    Equalising: E. M. Wengert, Drying oak lumber, step 6C (read). Conditioning: AH-188, Ch. 7
    (from memory).
    """
    if not 0.05 <= target <= 0.15:
        raise BadValue("target", f"{target * 100:g} %", "from 5 % to 15 %", 'Write "8 %".')
    below, above = (0.02, 0.04) if hardwood else (0.03, 0.03)
    remarks = []
    even = _hold(min(last + _WARMER, kiln.top), target - below, kiln, pressure)
    if even.emc > target - below + 1e-6:
        remarks.append(
            f"the kiln's driest air stops at {even.emc * 100:.1f} %, above the "
            f"{(target - below) * 100:.1f} % that equalising asks for: it takes longer, or does not end"
        )
    if not kiln.spray:
        told = "not conditioned: the kiln cannot damp its air, so drying stress is left in the wood; it may move when resawn or flattened on one face"  # noqa: E501
        return Finish(target - below, target, even, None, (0, 0), (told,), tuple(remarks))
    warm = min(max(last, _HOTTEST), kiln.top)
    damp = _hold(warm, target + above, kiln, pressure)
    if warm < _HOTTEST - 0.5:
        remarks.append(
            f"conditioning is meant for {_HOTTEST:.0f} °C and more; at {warm:.0f} °C it works slower, "
            "how much is not published: judge by the prongs"
        )
    return Finish(target - below, target, even, damp, (16.0, 48.0 if thick else 24.0), (), tuple(remarks))


def stage(boards: Boards, plan: Finish, conditioned: bool = False) -> Stage:
    """What to do next, by the sample boards.

    Parameters
    ----------
    boards : Boards
    plan : Finish
    conditioned : bool
        Conditioning is over, as the prongs say.

    Returns
    -------
    stage : {"dry", "equalise", "condition", "done"}
        "dry" means: go on by the schedule.
    """
    if boards.wettest > plan.stop + 1e-9:
        return "equalise" if boards.driest <= plan.begin + 1e-9 else "dry"
    return "done" if conditioned or plan.condition is None else "condition"


def _hold(temperature: float, wanted: float, kiln: Kiln, pressure: float) -> Hold:
    air = max(humidity_for(temperature, wanted), kiln.driest)
    return Hold(temperature, wet_bulb(temperature, air, pressure), air, float(emc(temperature, air)))

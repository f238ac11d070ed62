"""A published schedule turned into what one kiln can hold, from the moisture a load comes in with."""

from __future__ import annotations

from dataclasses import dataclass

from pithline.dry.kiln.kiln import Controls, Kiln
from pithline.dry.kiln.schedules import Schedule, Step
from pithline.dry.psychrometrics import SEA_LEVEL, wet_bulb
from pithline.errors import BadValue
from pithline.wood.moisture import emc, humidity_for

__all__ = ["AIR_DRIED", "FIRST_REST", "Setting", "settings", "step_for"]

# Stock this dry has been outdoors for months and begins with a rest in damp air.
AIR_DRIED = 0.30  # [fraction]; above it a meter says no more than "wet"
_NEAR = 0.5  # what a thermostat does not tell apart. [K]
FIRST_REST = (12, 24)  # of damp air for air-dried stock (AH-188, Ch. 7, from memory). [h]


@dataclass(frozen=True, slots=True)
class Setting:
    """What to set while the wettest half of the samples is between `upper` and `lower`.

    Attributes
    ----------
    upper, lower : float
        Moisture, dry basis; the first may begin and the last end within a step. [fraction]
    temperature, wet_bulb : float
        [°C]
    humidity, emc : float
        [fraction]
    published : Step
        As printed.
    within : bool
        The kiln can do as printed.
    remarks : tuple of str
    """

    upper: float
    lower: float
    temperature: float
    wet_bulb: float
    humidity: float
    emc: float
    published: Step
    within: bool
    remarks: tuple[str, ...] = ()


def step_for(plan: Schedule, moisture: float) -> Step:
    """The step that wood of a moisture belongs to.

    Parameters
    ----------
    plan : Schedule
    moisture : float
        Mean of the wettest half, dry basis. [fraction]

    Raises
    ------
    BadValue
        Not a moisture.
    """
    if not 0 < moisture < 4:  # NaN fails here too
        raise BadValue("moisture", moisture, "a fraction above 0 (35 % is 0.35)", 'Write "35 %".')
    return next(step for step in plan.steps if moisture > step.lower or step is plan.steps[-1])


def settings(
    plan: Schedule, kiln: Kiln, start: float, target: float, pressure: float = SEA_LEVEL
) -> tuple[Setting, ...]:
    """Every setting from the moisture at the start down to the target.

    Parameters
    ----------
    plan : Schedule
    kiln : Kiln
    start, target : float
        Moisture of the wettest half now, and wanted; dry basis. [fraction]
    pressure : float
        Of the air. [Pa]

    Returns
    -------
    settings : tuple of Setting
        A step hotter than the kiln becomes the kiln's top temperature and the humidity that
        gives the step's equilibrium moisture there: as gentle on the surface, and slower.
        One drier than the kiln holds becomes the driest that it holds.

    Raises
    ------
    BadValue
        The target is not below the start, or not a moisture.
    """
    first = step_for(plan, start)
    if not 0 < target < start:
        raise BadValue(
            "target", f"{target * 100:g} %", f"below the load's {start * 100:g} %", "Is it dry already?"
        )
    made = []
    for step in plan.steps[plan.steps.index(first) :]:
        if step.upper <= target:
            break
        upper, lower = min(step.upper, start), max(step.lower, target)
        made.append(_within(step, kiln, upper, lower, pressure))
    return tuple(made)


def _within(step: Step, kiln: Kiln, upper: float, lower: float, pressure: float) -> Setting:
    remarks = []
    temperature, air = step.dry_bulb, step.humidity
    cooler = temperature > kiln.top + _NEAR
    temperature = min(temperature, kiln.top)
    if cooler:
        air = humidity_for(temperature, step.emc)
        remarks.append("printed hotter than this kiln gets: the same equilibrium moisture at its top, slower")
    drier = air < kiln.driest
    if drier:
        air = kiln.driest
        remarks.append("printed drier than this kiln makes its air: its driest, slower")
    rests = float(emc(temperature, air))
    if rests >= lower:
        remarks.append(f"in this air wood comes to rest at {rests * 100:.1f} %: the step does not end")
    if not kiln.spray and air > 0.75:
        remarks.append("no spray: only the wood's own water makes the air so damp; vents shut, little drying")
    if kiln.controls is Controls.TEMPERATURE:
        remarks.append("humidity is not held by itself: read it and move the vents")
    elif kiln.controls is Controls.NOTHING:
        remarks.append("nothing is held: shade or vent before it gets hotter or drier than this")
    wet = wet_bulb(temperature, air, pressure)
    return Setting(upper, lower, temperature, wet, air, rests, step, not (cooler or drier), tuple(remarks))

"""Published kiln schedules: a code such as T4-D2 spelled out into steps."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache

from pithline.dry.printed import rows
from pithline.dry.psychrometrics import SEA_LEVEL, humidity, saturation_pressure
from pithline.errors import BadValue
from pithline.wood.moisture import emc

__all__ = ["LOWEST_WET_BULB", "SOURCE", "Schedule", "Step", "drying_force", "fahrenheit", "schedule"]

SOURCE = "USDA Forest Service, Dry Kiln Operator's Manual, Agriculture Handbook 188, 1991, Ch. 7"
LOWEST_WET_BULB = 90.0  # [°F]; few kilns hold it lower (FPL-GTR-57, introduction, read)
_TEMPERATURE_ENDS = (30, 25, 20, 15)  # [%]
_OPEN = 50.0  # listed depression that means "this or as much as the kiln can". [°F]


@dataclass(frozen=True, slots=True)
class Step:
    """One setting of the air while the wood's moisture falls from `upper` to `lower`.

    Attributes
    ----------
    upper, lower : float
        Moisture, dry basis; infinite at the start, 0 at the end. [fraction]
    dry_bulb, wet_bulb : float
        [°C]
    listed_depression : float
        As printed; the wet bulb is not let below `LOWEST_WET_BULB`. [K]
    humidity : float
        [fraction]
    emc : float
        Equilibrium moisture of that air. [fraction]
    held : bool
        The wet bulb stands at its lowest, so the depression is less than listed.
    """

    upper: float
    lower: float
    dry_bulb: float
    wet_bulb: float
    listed_depression: float
    humidity: float
    emc: float
    held: bool


@dataclass(frozen=True, slots=True)
class Schedule:
    """A code and its steps, with the mark of the tables it was read off."""

    code: str
    steps: tuple[Step, ...]
    mark: str
    sure: str


def fahrenheit(degrees: float) -> float:
    """Printed °F in °C."""
    return (degrees - 32) / 1.8


@cache
def schedule(code: str, pressure: float = SEA_LEVEL) -> Schedule:
    """Spell out a schedule code.

    Parameters
    ----------
    code : str
        ``T4-D2``: temperature (T1 to T14), moisture class (A to F), depression (1 to 8).
    pressure : float
        Of the air. [Pa]

    Returns
    -------
    schedule : Schedule
        The moisture ends of the temperature and of the depression, merged.

    Raises
    ------
    BadValue
        No such code.

    References
    ----------
    `SOURCE`, tables of temperature and of wet-bulb depression schedules (from memory: compare
    with the printed tables before drying wood that is worth much).
    """
    found = re.fullmatch(r"\s*(T(?:[1-9]|1[0-4]))\s*-?\s*([A-F])\s*([1-8])\s*", code.upper())
    if not found:
        raise BadValue(
            "schedule", code, "a code from T1-A1 to T14-F8", 'Write it like "T4-D2": see pithline kiln codes.'
        )
    heat, kind, number = found.groups()
    hot = next(row for row in rows("kiln_temperatures.csv") if row["letter"] == heat)
    temperatures = [float(hot[name]) for name in hot if name.endswith("_f")]
    row = next(row for row in rows("kiln_classes.csv") if row["class"] == kind)
    depression_ends = [int(row[f"step_{n}_to_percent"]) for n in range(1, 6)]
    dry = next(row for row in rows("kiln_depressions.csv") if row["number"] == number)
    depressions = [float(dry[f"step_{n}_f"]) for n in range(1, 7)]
    ends = sorted({*_TEMPERATURE_ENDS, *depression_ends}, reverse=True)
    steps = []
    for upper, lower in zip([None, *ends], [*ends, 0], strict=True):
        # A step holds where the moisture is above its lower end; the end itself belongs to the next.
        hotter = temperatures[sum(lower < end for end in _TEMPERATURE_ENDS)]
        drier = depressions[sum(lower < end for end in depression_ends)]
        steps.append(_step(upper, lower, hotter, drier, pressure))
    sure = min((hot["sure"], dry["sure"]), key=("low", "medium", "high").index)
    return Schedule(f"{heat}-{kind}{number}", tuple(_merged(steps)), "from memory", sure)


def drying_force(plan: Schedule) -> float:
    """How hard a schedule draws on wet wood: mean shortfall of vapour from 60 to 20 % moisture.

    Parameters
    ----------
    plan : Schedule

    Returns
    -------
    force : float
        Saturation pressure less vapour pressure of the air, mean over the moisture. [Pa]

    Notes
    -----
    Our own measure, to tell which of two codes is the more careful: checks and honeycomb are
    made while the wood is wet, so what happens below 20 % is not counted.
    """
    total = 0.0
    for step in plan.steps:
        part = max(min(step.upper, 0.60) - max(step.lower, 0.20), 0.0)
        total += part * float(saturation_pressure(step.dry_bulb)) * (1 - step.humidity)
    return total / 0.40


def _step(upper: int | None, lower: int, dry_f: float, listed_f: float, pressure: float) -> Step:
    wet_f = max(dry_f - listed_f, min(LOWEST_WET_BULB, dry_f))
    dry, wet = fahrenheit(dry_f), fahrenheit(wet_f)
    air = float(humidity(dry, wet, pressure))
    top = float("inf") if upper is None else upper / 100
    held = wet_f > dry_f - listed_f
    return Step(top, lower / 100, dry, wet, listed_f / 1.8, air, float(emc(dry, air)), held)


def _merged(steps: list[Step]) -> list[Step]:
    """Neighbours with the same air are one step."""
    kept: list[Step] = []
    for step in steps:
        if kept and _air(kept[-1]) == _air(step):
            step = replace(step, upper=kept.pop().upper)
        kept.append(step)
    return kept


def _air(step: Step) -> tuple[float, float]:
    return step.dry_bulb, step.listed_depression

"""A whole kiln run: settings with days, the end of it, water, energy, and what to say on the slabs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from pithline.dry.coefficient import wood_of
from pithline.dry.kiln.course import through_kiln
from pithline.dry.kiln.days import Lasting, run_days
from pithline.dry.kiln.energy import SPLIT, run_energy
from pithline.dry.kiln.equalise import Finish, finish
from pithline.dry.kiln.kiln import Kiln
from pithline.dry.kiln.load import Lead, Piece, added, check_water, lead, water_of
from pithline.dry.kiln.schedules import schedule
from pithline.dry.kiln.steps import AIR_DRIED, FIRST_REST, settings
from pithline.dry.kiln.sterilise import Heating, in_kiln
from pithline.dry.kiln.warm_up import SLOW, warm_up_hours
from pithline.dry.kiln.water import dry_wood
from pithline.dry.psychrometrics import SEA_LEVEL
from pithline.units import INCH
from pithline.wood.estimate import Estimate

__all__ = ["CAUTIONS", "Run", "kiln_run"]

CAUTIONS = (
    "Kiln heat burns and can set dust and wood on fire: nobody inside while hot; follow the maker's manual.",
    "Damp air and mains current kill: wiring in a kiln is an electrician's work, under local codes.",
    "Mould and its dust harm lungs: wear a mask. Nothing with solvents or fresh finish goes into a kiln.",
)


@dataclass(frozen=True, slots=True)
class Run:
    """What is expected of one load in one kiln.

    Attributes
    ----------
    lead : Lead
    rest_hours : tuple of float or None
        Damp air first, for air-dried stock. [h]
    steps : tuple of Lasting
    finish : Finish
    heating : Heating
    days : Estimate
        Steps, rest, conditioning and sterilising; equalising is not known before. [days]
    water : Estimate
        [kg]
    water_per_day : float
        At the safe pace. [kg/day]
    energy : Estimate
        [kWh]
    warm_up_hours : float
        From the first setting to the top, losses left out; infinite without a heater. [h]
    on_the_slab, remarks : tuple of str
    """

    lead: Lead
    rest_hours: tuple[float, float] | None
    steps: tuple[Lasting, ...]
    finish: Finish
    heating: Heating
    days: Estimate
    water: Estimate
    water_per_day: float
    energy: Estimate
    warm_up_hours: float
    on_the_slab: tuple[str, ...]
    remarks: tuple[str, ...]


def kiln_run(
    pieces: Sequence[Piece],
    kiln: Kiln,
    target: float,
    pressure: float = SEA_LEVEL,
    code: str | None = None,
    days_by: Literal["diffusion", "relation"] = "diffusion",
) -> Run:
    """Plan a run for a load.

    Parameters
    ----------
    pieces : sequence of Piece
    kiln : Kiln
    target : float
        Wanted mean moisture, dry basis. [fraction]
    pressure : float
        Of the air. [Pa]
    code : str, optional
        A schedule in place of the printed one.
    days_by : {"diffusion", "relation"}
        Days that the wood itself takes: by diffusion through the thickest slab, or by the published
        relation for red oak.

    Raises
    ------
    BadValue
        An empty load, a load that is dry already, a target that no kiln is run to.
    """
    led = lead(pieces)
    plan = schedule(code or led.choice.code, pressure)
    held = settings(plan, kiln, led.start, target, pressure)
    mass = added(dry_wood(piece.species, piece.volume) for piece in pieces)
    thick = led.thickest.thickness
    whose = led.slowest.species
    by_wood = through_kiln(held, thick, wood_of(whose)).days if days_by == "diffusion" else None
    steps = run_days(held, whose, thick, mass, kiln.water, led.safe, by_wood)
    hard = all(piece.species.group == "hardwood" for piece in pieces)
    end = finish(target, kiln, held[-1].temperature, thick > 1.8 * INCH, hard, pressure)
    heat = in_kiln(kiln, thick, held[-1].temperature, target, pressure=pressure)
    rest = FIRST_REST if led.start <= AIR_DRIED else None
    dried = added(step.days for step in steps)
    extra = (
        sum(rest or (0, 0)) / 2 / 24 + sum(end.hours) / 2 / 24 + (heat.total / 60 / 24 if heat.reaches else 0)
    )
    days = Estimate(dried.low + extra, dried.mid + extra, dried.high + extra, dried.guess, dried.basis)
    water = water_of(pieces, target)
    wet = water_of(pieces, target, SPLIT)
    dry = Estimate(water.low - wet.low, water.mid - wet.mid, water.high - wet.high, water.guess, water.basis)
    per_day, told = check_water(pieces, kiln, led)
    told_of = led.choice.remarks if code is None else (f"{plan.code} was chosen by hand",)
    rests_on = f"days by {'; '.join(steps[0].days.basis)}"
    remarks = (*told_of, *led.remarks, *told, *end.remarks, rests_on)
    if kiln.top < held[0].published.dry_bulb - 0.5:
        remarks += ("no step of the published schedule is within this kiln's heat: humidity rules, not heat",)
    warm = warm_up_hours(mass.high, target, held[-1].temperature, kiln.top, kiln.heat)
    volume = sum(piece.volume for piece in pieces)
    if heat.reaches and kiln.heat < SLOW * volume and held[-1].temperature < kiln.top:
        heats = f"the heater has {kiln.heat / volume / 1000:.1f} kW for each cubic metre"
        fast = f"fast sterilising is published with {SLOW / 1000:.0f} and more"
        remarks += (f"{heats}, {fast}: warming up takes {warm:.0f} h or longer",)
    return Run(
        led,
        rest,
        steps,
        end,
        heat,
        days,
        water,
        per_day,
        run_energy(kiln, wet, dry, days),
        warm,
        (*end.on_the_slab, *heat.on_the_slab),
        remarks,
    )

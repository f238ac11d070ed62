"""Kiln schedules and runs as JSON: every key with its unit, every mark kept."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from pithline.dry.kiln.codes import Choice, Code
from pithline.dry.kiln.equalise import Finish, Hold
from pithline.dry.kiln.kiln import Kiln
from pithline.dry.kiln.run import CAUTIONS, Run
from pithline.dry.kiln.schedules import Schedule, Step
from pithline.dry.kiln.steps import Setting
from pithline.dry.kiln.sterilise import Heating
from pithline.wood.estimate import Estimate

__all__ = [
    "choice_record", "code_record", "estimate_record", "finish_record", "heating_record", "kiln_record",
    "run_record", "schedule_record", "settings_record",
]  # fmt: skip


def schedule_record(plan: Schedule) -> dict[str, Any]:
    """A schedule as printed."""
    return {
        "code": plan.code,
        "mark": plan.mark,
        "remembered": plan.sure,
        "steps": [_step(step) for step in plan.steps],
    }


def code_record(code: Code) -> dict[str, Any]:
    """A line of the code index."""
    return {
        "code": code.code,
        "printed_for": code.wood,
        "thickness_quarters": list(code.quarters),
        "kind": code.kind,
        "mark": code.mark,
        "remembered": code.sure,
        "source": code.source,
        "note": code.note,
    }


def choice_record(choice: Choice) -> dict[str, Any]:
    """The code that was chosen, whose it is, and what has to be said."""
    return {
        "code": choice.code,
        "printed_for_this_wood_and_thickness": choice.own,
        "thickness_class_quarters": choice.quarters,
        "printed": code_record(choice.row),
        "remarks": list(choice.remarks),
    }


def settings_record(settings: Iterable[Setting]) -> list[dict[str, Any]]:
    """What to set, step by step, beside what is printed."""
    return [
        {
            "from_percent": _percent(each.upper),
            "to_percent": _percent(each.lower),
            "dry_bulb_c": round(each.temperature, 2),
            "wet_bulb_c": round(each.wet_bulb, 2),
            "humidity_percent": _percent(each.humidity),
            "emc_percent": _percent(each.emc),
            "within_reach": each.within,
            "remarks": list(each.remarks),
            "published": _step(each.published),
        }
        for each in settings
    ]


def finish_record(end: Finish) -> dict[str, Any]:
    """Equalising and conditioning."""
    return {
        "equalise_when_driest_percent": _percent(end.begin),
        "equalise_until_wettest_percent": _percent(end.stop),
        "equalise": _hold(end.equalise),
        "condition": _hold(end.condition) if end.condition else None,
        "condition_hours": list(end.hours) if end.condition else None,
        "remarks": list(end.remarks),
    }


def heating_record(heat: Heating) -> dict[str, Any]:
    """Sterilising by heat; minutes are null where the core never gets there."""
    return {
        "reaches_56_c": heat.reaches,
        "core_at_56_c_min": estimate_record(heat.minutes, 1) if heat.minutes else None,
        "total_with_hold_min": round(heat.total, 1) if math.isfinite(heat.total) else None,
        "on_the_slab": list(heat.on_the_slab),
        "remarks": list(heat.remarks),
    }


def kiln_record(kiln: Kiln) -> dict[str, Any]:
    """What the kiln can do."""
    return {
        "name": kiln.name,
        "top_c": round(kiln.top, 2),
        "water_kg_per_day": estimate_record(kiln.water, 2),
        "heat_w": kiln.heat,
        "fans_w": kiln.fans,
        "spray": kiln.spray,
        "controls": str(kiln.controls),
        "driest_humidity_percent": _percent(kiln.driest),
        "length_m": kiln.length,
        "width_m": kiln.width,
        "height_m": kiln.height,
        "energy_above_20_percent_kwh_per_kg": estimate_record(kiln.energy_wet, 3),
        "energy_below_20_percent_kwh_per_kg": estimate_record(kiln.energy_dry, 3),
    }


def run_record(run: Run, kiln: Kiln) -> dict[str, Any]:
    """Everything that is expected of a load."""
    return {
        "kiln": kiln_record(kiln),
        "schedule": choice_record(run.lead.choice),
        "steps_mark": "from memory",
        "goes_by": {
            "slowest": _piece(run.lead.slowest),
            "thickest": _piece(run.lead.thickest),
            "wettest": _piece(run.lead.wettest),
            "start_percent": _percent(run.lead.start),
            "safe_loss_percent_per_day": estimate_record(run.lead.safe.times(100), 3),
        },
        "damp_rest_hours": list(run.rest_hours) if run.rest_hours else None,
        "steps": [
            {**record, "days": estimate_record(step.days, 2), "limited_by": step.limit}
            for record, step in zip(settings_record(s.setting for s in run.steps), run.steps, strict=True)
        ],
        "finish": finish_record(run.finish),
        "sterilise": heating_record(run.heating),
        "days": estimate_record(run.days, 2),
        "water_kg": estimate_record(run.water, 2),
        "water_at_safe_pace_kg_per_day": round(run.water_per_day, 2),
        "warm_up_hours_at_least": round(run.warm_up_hours, 2) if math.isfinite(run.warm_up_hours) else None,
        "energy_kwh": estimate_record(run.energy, 1),
        "on_the_slab": list(run.on_the_slab),
        "remarks": list(run.remarks),
        "cautions": list(CAUTIONS),
    }


def estimate_record(amount: Estimate, digits: int) -> dict[str, Any]:
    """A range with its mark and what it rests on."""
    return {
        "low": round(amount.low, digits),
        "mid": round(amount.mid, digits),
        "high": round(amount.high, digits),
        "guess": amount.guess,
        "basis": list(amount.basis),
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "from_percent": None if math.isinf(step.upper) else _percent(step.upper),
        "to_percent": _percent(step.lower),
        "dry_bulb_c": round(step.dry_bulb, 2),
        "dry_bulb_f": round(step.dry_bulb * 1.8 + 32, 2),
        "depression_listed_f": round(step.listed_depression * 1.8, 2),
        "wet_bulb_c": round(step.wet_bulb, 2),
        "wet_bulb_f": round(step.wet_bulb * 1.8 + 32, 2),
        "wet_bulb_held_at_lowest": step.held,
        "humidity_percent": _percent(step.humidity),
        "emc_percent": _percent(step.emc),
    }


def _hold(air: Hold) -> dict[str, float]:
    return {
        "dry_bulb_c": round(air.temperature, 2),
        "wet_bulb_c": round(air.wet_bulb, 2),
        "humidity_percent": _percent(air.humidity),
        "emc_percent": _percent(air.emc),
    }


def _piece(piece: Any) -> dict[str, Any]:
    return {
        "name": piece.name,
        "species": piece.species.name,
        "thickness_m": round(piece.thickness, 6),
        "moisture_percent": _percent(piece.moisture),
    }


def _percent(share: float) -> float:
    return round(share * 100, 3)

"""A forecast as words and as JSON."""

from __future__ import annotations

import datetime
import math
from typing import Any

import click

from pithline import units
from pithline.dry.forecast import Forecast
from pithline.dry.profile import at_depth

__all__ = ["as_record", "show"]


def show(made: Forecast, wood: str, thickness: float, begin: datetime.date | None) -> None:
    """Print a forecast for a person."""
    start = made.start
    click.echo(
        f"{wood}, {units.show_length(thickness)} green, from {units.show_share(start.mid)} moisture "
        f"({units.show_share(start.low)} to {units.show_share(start.high)}):"
    )
    for ready in made.ready:
        mark = ready.milestone
        early, middle, late = (_when(day, begin) for day in ready.days)
        said = f"{middle} ({early} to {late})" if ready.likely else "not while this air lasts"
        few = f"; {ready.likely * 100:.0f} % of draws get there" if 0 < ready.likely < 0.995 else ""
        click.echo(f"  {mark.name}, {units.show_share(mark.moisture)}: {said}{few}")
    low, mid, high = (float(each[-1]) for each in made.mean)
    click.echo(
        f"  at the end, {_when(float(made.days[-1]), begin)}: {mid * 100:.1f} % "
        f"({low * 100:.1f} to {high * 100:.1f} %)"
    )
    strain, safe = made.strain, made.safe
    click.echo(
        f"Fastest while wet: {strain.loss * 100:.1f} % a day, day {strain.loss_day:.0f}; safe is below "
        f"{safe.low * 100:.1f} to {safe.high * 100:.1f} % a day."
    )
    click.echo(
        f"Check index at most {strain.index * 100:.1f} % of the width held back, day {strain.index_day:.0f} "
        "(our own measure: to compare slabs)."
    )
    click.echo(
        f'"One year per inch", as people say: {_when(made.folk_days, begin)}. It names no '
        "moisture and knows no weather."
    )
    if strain.loss > safe.low:
        sure = "Too fast" if strain.loss > safe.high else "Perhaps too fast"
        click.echo(f"{sure} for this wood: shade the stack, slow the air, coat the ends.", err=True)
    if made.extrapolated:
        click.echo("Extrapolated: nothing printed checks a slab this thick; the range is wider.", err=True)
    for remark in (*made.remarks, *safe.basis):
        if not remark.startswith("extrapolated"):  # said above
            click.echo(f"Rests on: {remark}.", err=True)


def as_record(made: Forecast, wood: str, thickness: float, begin: datetime.date | None) -> dict[str, Any]:
    """The forecast as JSON."""
    middle = made.middle
    every = slice(None, None, 7)
    core = middle.profile[every, 0]
    quarter = at_depth(middle.profile, middle.face, middle.depths, thickness / 4)[every]
    return {
        "schema": "pithline/dry/1",
        "species": wood,
        "thickness_green_m": thickness,
        "begin": begin.isoformat() if begin else None,
        "start_percent": _three(made.start.low, made.start.mid, made.start.high),
        "milestones": [
            {
                "name": each.milestone.name,
                "moisture_percent": round(each.milestone.moisture * 100, 3),
                "source": each.milestone.source,
                "days": dict(zip(("p10", "p50", "p90"), map(_finite, each.days), strict=True)),
                "dates": [_date(day, begin) for day in each.days],
                "reached_fraction": round(each.likely, 4),
            }
            for each in made.ready
        ],
        "course": {
            "days": [round(float(day), 3) for day in made.days],
            **{
                f"mean_{name}_percent": [round(float(value) * 100, 3) for value in row]
                for name, row in zip(("p10", "p50", "p90"), made.mean, strict=True)
            },
        },
        "middle": {
            "days": [round(float(day), 3) for day in middle.times[every]],
            "mean_percent": _percents(middle.mean[every]),
            "core_percent": _percents(core),
            "quarter_depth_percent": _percents(quarter),
            "face_percent": _percents(middle.face[every]),
            "error_percent": round(middle.error * 100, 4),
            "balance_fraction": middle.balance,
        },
        "largest_loss_wet_percent_per_day": round(made.strain.loss * 100, 4),
        "largest_loss_day": round(made.strain.loss_day, 1),
        "safe_loss_percent_per_day": _three(made.safe.low, made.safe.mid, made.safe.high),
        "check_index_percent": round(made.strain.index * 100, 4),
        "check_index_day": round(made.strain.index_day, 1),
        "extrapolated": made.extrapolated,
        "one_year_per_inch_days": round(made.folk_days, 1),
        "basis": [*made.remarks, *made.safe.basis],
    }


def _when(day: float, begin: datetime.date | None) -> str:
    if not math.isfinite(day):
        return "never"
    months = f"day {day:.0f}"
    return f"{months}, {_date(day, begin)}" if begin else months


def _date(day: float, begin: datetime.date | None) -> str | None:
    if begin is None or not math.isfinite(day):
        return None
    return (begin + datetime.timedelta(days=math.ceil(day))).isoformat()


def _finite(day: float) -> float | None:
    return round(day, 2) if math.isfinite(day) else None


def _percents(values: Any) -> list[float | None]:
    return [round(float(v) * 100, 3) if math.isfinite(v) else None for v in values]


def _three(low: float, mid: float, high: float) -> dict[str, float]:
    return {"low": round(low * 100, 4), "mid": round(mid * 100, 4), "high": round(high * 100, 4)}

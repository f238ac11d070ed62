"""``pithline halve --trim``: the bulge taken off the sides instead of parting the log."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pithline.cli.plan_input import Job
    from pithline.saw.parts.side_trims import Trims
    from pithline.saw.plan import Plan
    from pithline.units import System

__all__ = ["show_trims", "trim_document", "trims_of"]


def trims_of(job: Job) -> tuple[Trims, Plan | None, Plan | None]:
    """The trims that pay most, the plan of what they leave, and the plan without them."""
    from dataclasses import replace

    from pithline.errors import NoPlan
    from pithline.saw.aims import Following
    from pithline.saw.model import prepare
    from pithline.saw.parts.side_trims import trimmed, trims_needed
    from pithline.saw.planning import choose_setting, plan

    shape, lie = job.record.to_shape(), job.record.lie()
    # Trimmed sides stand square to the cuts, and these run parallel to the pith.
    level = replace(job.aims, follow=Following.PITH)
    model = prepare(shape, job.mill, level, job.rates, job.timber)
    roll = choose_setting(model, shape, lie, job.mill, level)[0]
    aims = replace(level, roll=roll, roll_free=False, crotch_plane=False)
    found = trims_needed(shape, lie, job.mill, aims, job.rates, job.timber, roll)

    def planned(log: Any) -> Plan | None:
        try:
            return plan(log, lie, job.mill, aims, job.rates, job.timber, compare=False)
        except NoPlan:
            return None

    whole = planned(shape)
    return found, planned(trimmed(shape, found, aims)) if found.cuts else whole, whole


def trim_document(found: Trims, made: Plan | None, whole: Plan | None, job: Job) -> dict[str, Any]:
    """The same for JSON; money is in tally units where there is no currency."""
    return {
        "schema": "pithline/trim/1",
        "currency": job.rates.currency,
        "tally_unit": str(job.aims.unit),
        "roll_deg": round(math.degrees(found.roll), 3),
        "trims": [
            {
                "side": c.side,
                "face_from_pith_mm": 1000 * c.face,
                "width_mm": 1000 * c.width,
                "passes": c.passes,
                "area_m2": c.area,
                "minutes": c.minutes,
                "cost": c.cost,
            }
            for c in found.cuts
        ],
        "trimmed": _sums(made, found),
        "whole": _sums(whole, None),
        "bar_without_limit_net": found.net_unlimited,
    }


def _sums(made: Plan | None, trims: Trims | None) -> dict[str, Any]:
    more = (0, 0.0, 0.0, 0.0) if trims is None else (len(trims.cuts), trims.area, trims.minutes, trims.cost)
    if made is None:
        return {"slabs": 0, "cuts": 0, "net": 0.0, "tally": 0.0, "area_m2": 0.0, "minutes": 0.0}
    return {
        "slabs": len(made.slabs),
        "cuts": len(made.cuts) + more[0],
        "net": made.net - more[3],
        "tally": made.tally,
        "area_m2": made.area + more[1],
        "minutes": made.minutes + more[2],
    }


def show_trims(data: dict[str, Any], system: System) -> None:
    """Print the trims, and the log with and without them."""
    from pithline.units import show_length

    for cut in data["trims"]:
        face = show_length(abs(cut["face_from_pith_mm"]) / 1000, system)
        click.echo(
            f"Trim the {cut['side']} side (seen from the butt): face {face} from the pith line all along, "
            f"{show_length(cut['width_mm'] / 1000, system)} wide, "
            f"{'one pass' if cut['passes'] == 1 else 'two passes from opposite sides'}, "
            f"{cut['area_m2']:.2f} m2, {cut['minutes']:.0f} min"
        )
    if not data["trims"]:
        click.echo("No side trim pays: the bar reaches what is worth sawing, or the trims cost more.")
    if data["roll_deg"]:
        click.echo(f"Left and right hold once the log is rolled by {data['roll_deg']:.0f}° anticlockwise.")
    click.echo()
    heads = ("slabs", "cuts", "tally", "net", "m2", "min")
    click.echo(f"{'':<37}" + "".join(f"{h:>9}" for h in heads))
    for name, r in (("sides trimmed, trims paid", data["trimmed"]), ("the log as it is", data["whole"])):
        figures = f"{r['slabs']:>9}{r['cuts']:>9}{r['tally']:>9.4g}{r['net']:>9.2f}"
        click.echo(f"{name:<37}{figures}{r['area_m2']:>9.2f}{r['minutes']:>9.0f}")
    click.echo(f"{'a bar without limit':<37}{'':>27}{data['bar_without_limit_net']:>9.2f}")
    unit, money = data["tally_unit"], data["currency"]
    click.echo(
        f"\nTally in {unit}; net in {money or unit}. Trims are upright: roll the log a quarter turn, "
        "or saw them along a line by hand. That time is not counted."
    )
